import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import type { Dataset, NamedBytes } from '../../core/formats/types.ts';
import { makeSoil } from '../../core/pipeline/soil-stage.ts';
import type { RunRequest } from '../../core/pipeline/types.ts';
import { startPlan } from '../../core/plan/start.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import { pickLab, sheetDepth, sheetYear } from '../../core/soil/tables.ts';
import { deepFreeze } from '../freeze.ts';
import { book, type Cells } from './book.ts';
import { box, table } from './tables.ts';

const rowsOf = (k: number): readonly Cells[] => [
  ['ID', 'Lat', 'Long', 'K ppm', 'CEC'],
  ['a', 42.701, -94.235, k, 10],
  ['b', 42.702, -94.236, k + 1, 11],
];
const YEARS = book([
  ['Results 2018', rowsOf(90)],
  ['Results 2022', rowsOf(180)],
  [
    'Notes',
    [
      ['Page', 'Said'],
      ['one', 'thanks'],
    ],
  ],
]);
const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const boundary: NamedBytes = {
  name: 'field.geojson',
  bytes: encodeUtf8(JSON.stringify({ type: 'MultiPolygon', coordinates: FIELD })),
};

/** The soil stage of a plan started with these choices. */
function soilOf(soil: object) {
  const started = startPlan({ name: 'F', boundary: [boundary], samples: [YEARS], soil });
  if (!started.ok) return { started, read: null };
  const { plan, inputs } = started.value;
  const request: RunRequest = { plan, inputs };
  return { started, read: makeSoil(request, FIELD) };
}
const firstK = (soil: object): number | undefined => {
  const { read } = soilOf(soil);
  return read?.ok ? read.value.samples[0]?.k_ppm : undefined;
};

describe('several sheets of lab values', () => {
  it('takes the latest by the sheets’ names, and says how to take another', () => {
    const { started, read } = soilOf({});
    expect(firstK({})).toBe(180);
    const caution = started.problems.find(({ code }) => code === 'soil-other-tables');
    expect(caution?.message).toContain('lab.xlsx, sheet Results 2018 (2 rows)');
    expect(caution?.remedy).toContain('--sheet "Results 2018"');
    expect(read?.problems.map(({ code }) => code)).toContain('soil-other-tables');
  });

  it('takes the one that is told, whatever its case, and is then silent about the others', () => {
    expect(firstK({ sampleTable: 'results 2018' })).toBe(90);
    expect(soilOf({ sampleTable: 'Results 2018' }).read?.problems.map(({ code }) => code)).not.toContain(
      'soil-other-tables',
    );
  });

  it('stops at a name that no sheet has, and tells those there are', () => {
    const { started } = soilOf({ sampleTable: '2019' });
    const stop = started.problems.find(({ code }) => code === 'soil-no-table');
    expect([started.ok, stop?.severity]).toEqual([false, 'stop']);
    expect(stop?.remedy).toContain('"Results 2018", "Results 2022"');
  });

  it('takes the year that is told from the sheet’s name, and its samples are of that year', () => {
    const { read } = soilOf({ year: 2018 });
    expect(read?.ok && read.value.samples.map(({ k_ppm, year }) => [k_ppm, year])).toEqual([
      [90, 2018],
      [91, 2018],
    ]);
    const none = soilOf({ year: 2020 }).read;
    expect(none?.problems.find(({ code }) => code === 'soil-no-series')?.message).toContain('it has 2022, 2 rows');
  });

  it('reads a year of a name only where it stands alone', () => {
    expect(['2022', 'Fall 2022', '2018-2022', 'Job 120225', 'S'].map((sheet) => sheetYear({ sheet }))).toEqual([
      2022,
      2022,
      null,
      null,
      null,
    ]);
    expect(pickLab([], {})).toBeNull();
  });
});

describe('sheets of several depths', () => {
  const DEPTHS = book([
    ['6-12 in', rowsOf(90)],
    ['0-6 in', rowsOf(180)],
  ]);
  const soil = (file: NamedBytes, extra: object = {}) => {
    const started = startPlan({ name: 'F', boundary: [boundary], samples: [file], ...extra });
    if (!started.ok) throw new Error(JSON.stringify(started.problems));
    const { plan, inputs, guesses } = started.value;
    const read = makeSoil({ plan, inputs }, FIELD);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    return { plan, guesses, soil: read.value, problems: read.problems };
  };

  it('the one from the surface is read, wherever it stands, and its depth is said', () => {
    const { soil: out, plan, guesses, problems } = soil(DEPTHS);
    expect(out.samples.map(({ k_ppm, depth_in }) => [k_ppm, depth_in])).toEqual([
      [180, 6],
      [181, 6],
    ]);
    expect(plan.soil.depth_in).toBe(6);
    expect(guesses.join('\n')).toContain(`6 in. as the sheet's name "0-6 in" says: 0-6 in`);
    expect(out.reading.join('\n')).toContain('Depth: 6 in., as the name of the sheet tells: 0-6 in.');
    expect(problems.find(({ code }) => code === 'soil-other-tables')?.message).toContain('sheet 6-12 in');
  });

  it('a depth of 20 cm is that of the sheet, the latest year goes before a shallower one, subsoil comes last', () => {
    expect(soil(book([['Fall 2022 0-20 cm', rowsOf(180)]])).plan.soil.depth_in).toBe(7.87);
    const years = book([
      ['2020 0-6 in', rowsOf(90)],
      ['2024 0-8 in', rowsOf(180)],
      ['2024 8-24 in', rowsOf(40)],
    ]);
    expect(soil(years).soil.samples[0]?.k_ppm).toBe(180);
    const subsoil = book([
      ['Subsoil', rowsOf(90)],
      ['Topsoil', rowsOf(180)],
    ]);
    expect(soil(subsoil).soil.samples[0]?.k_ppm).toBe(180);
  });

  it('a sheet below the surface is said to be so on its rows, and another depth set is said too', () => {
    const deep = soil(DEPTHS, { soil: { sampleTable: '6-12 in' } });
    expect(deep.problems.map(({ code }) => code)).toContain('soil-subsoil');
    const set = soil(DEPTHS, { depth_in: 8 });
    expect(set.problems.find(({ code }) => code === 'soil-depth-heading')?.message).toContain(
      'The name of the sheet names 0-6 in, and the depth sampled is set to 8 in.',
    );
  });

  it('reads no day and no count of a name as a depth', () => {
    expect(['Results', '6-12', 'Sheet 0-6', '0-6', '2021-2022'].map((sheet) => sheetDepth({ sheet })?.told)).toEqual([
      undefined,
      undefined,
      undefined,
      '0-6 in',
      undefined,
    ]);
  });
});

describe('a year that is told', () => {
  const read = (samples: Dataset, year: number) =>
    readSoil({ points: null, samples, boundary: FIELD, settings: deepFreeze(soilSettingsSchema.parse({ year })) });

  it('is that of a heading', () => {
    const lab = table('lab', ['ID;Lat;Long;K ppm 2018;CEC', 'a;42.701;-94.235;120;10', 'b;42.702;-94.236;130;10']);
    const out = read(lab, 2018);
    expect(out.ok && out.value.samples.map(({ year }) => year)).toEqual([2018, 2018]);
  });

  it('stops with the reason where a file tells none', () => {
    const lab = table('lab', ['ID;Lat;Long;K ppm;CEC', 'a;42.701;-94.235;120;10', 'b;42.702;-94.236;130;10']);
    const stop = read(lab, 2018).problems.find(({ code }) => code === 'soil-no-series');
    expect(stop?.message).toBe(
      'lab.csv tells no year, so its tests cannot be said to be of 2018: no column holds a date, and neither the heading of K nor the sheet names a year.',
    );
  });
});
