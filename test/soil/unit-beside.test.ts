import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { makeSoil } from '../../core/pipeline/soil-stage.ts';
import { type StartInput, startPlan } from '../../core/plan/start.ts';
import { unitLines } from '../../core/soil/unit-beside.ts';
import { box, table } from './tables.ts';

const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const file = (name: string, text: string) => ({ name, bytes: encodeUtf8(text) });
const boundary = file('field.geojson', JSON.stringify({ type: 'MultiPolygon', coordinates: FIELD }));
const start = (lines: readonly string[], extra: Partial<StartInput> = {}) =>
  startPlan({ name: 'F', boundary: [boundary], samples: [file('lab.csv', lines.join('\n'))], ...extra });
const rows = (k: string) => [
  `Sample,Lat,Long,${k},Ca,CEC`,
  'a,42.701,-94.235,364,7228,20',
  'b,42.702,-94.236,334,7024,21',
  'c,42.703,-94.236,180,2400,12',
];

describe('a unit that stands beside the table', () => {
  it.each([
    ['K in lb/acre', 'lb/ac', false, 'k'],
    ['All nutrients in lb/acre (furrow slice 6 2/3 in.)', 'lb/ac', false, 'k,ca,mg,na'],
    ['Results in mg K2O/100 g', 'mg/100 g', true, 'k'],
    ['mg/kg', 'ppm', false, 'k,ca,mg,na'],
    ['Ca, Mg, K in ppm. CEC in meq/100 g', 'ppm', false, 'k,ca,mg'],
    ['Potassium: pounds per acre', 'lb/ac', false, 'k'],
  ])('"%s" tells %s', (line, unit, oxide, of) => {
    const found = unitLines(table('lab', ['Sample;K', `${line};`, 'a;12']));
    expect(found.map((one) => [one.unit, one.oxide, [...one.of].join()])).toEqual([[unit, oxide, of]]);
  });

  it.each([
    'Results are on dry basis. 1 ppm = 2 lb/A.',
    'Apply 120 lb/acre K2O',
    'P in ppm',
    'Yield goal 200 bu/acre',
    'CEC in meq/100 g',
  ])('"%s" tells none of a cation', (line) => {
    expect(unitLines(table('lab', ['Sample;K', `${line};`, 'a;12']))).toEqual([]);
  });

  it.each([
    ['above', ['All nutrients in lb/acre,,,,,', ...rows('K')], 'lb/ac'],
    ['below', [...rows('K'), '', 'All nutrients in lb/acre'], 'lb/ac'],
  ])('%s stops the plan with the option that tells it, and goes on once it is told', (_where, lines, unit) => {
    const out = start(lines);
    const stop = out.problems.find(({ code }) => code === 'start-columns');
    expect([out.ok, stop?.severity]).toEqual([false, 'stop']);
    expect(stop?.message).toContain('beside the table stands "All nutrients in lb/acre"');
    expect(stop?.remedy).toContain(`--column "K=k:${unit}" --column "Ca=ca:${unit}"`);
    const told = start(lines, {
      columns: [
        { column: 'K', is: 'k', unit: 'lb/ac' },
        { column: 'Ca', is: 'ca', unit: 'lb/ac' },
      ],
    });
    if (!told.ok) throw new Error(JSON.stringify(told.problems));
    const soil = makeSoil(told.value, FIELD);
    expect(soil.ok && soil.value.samples[0]?.k_ppm).toBe(182);
    expect(soil.problems.map(({ code }) => code)).not.toContain('soil-unit-beside');
  });

  it('is told with what else holds the column back', () => {
    const stop = start(['K in lb/acre,,,,,', ...rows('STK')]).problems.find(({ severity }) => severity === 'stop');
    expect(stop?.message).toContain('it reads as soil test K');
    expect(stop?.message).toContain('beside the table stands "K in lb/acre"');
    expect(stop?.remedy).toContain('--column "STK=k:lb/ac"');
  });

  it('is the unit, without a doubt, where it is the one that would be assumed', () => {
    const out = start(['mg/kg,,,,,', ...rows('K')]);
    if (!out.ok) throw new Error(JSON.stringify(out.problems));
    expect(out.value.guesses.find((one) => one.includes('"K"'))).toBe(
      'samples: column "K" is K in ppm (header "K"; beside the table stands "mg/kg")',
    );
    expect(makeSoil(out.value, FIELD).problems.map(({ code }) => code)).not.toContain('soil-column-doubt');
  });

  it('is a caution of the soil stage where it contradicts the heading', () => {
    const out = start(['K in lb/acre,,,,,', ...rows('K ppm')]);
    if (!out.ok) throw new Error(JSON.stringify(out.problems));
    const soil = makeSoil(out.value, FIELD);
    const found = soil.problems.filter(({ code }) => code === 'soil-unit-beside');
    expect(found.map(({ message, at }) => [message, at?.column])).toEqual([
      ['Column "K ppm" is read in ppm, and beside the table stands "K in lb/acre".', 'K ppm'],
    ]);
  });
});
