import { expect, it } from 'vitest';
import type { Problem } from '../../core/base/problem.ts';
import { readFiles } from '../../core/formats/read.ts';
import { readSoil } from '../../core/soil/read.ts';
import { type SoilSettings, soilSettingsSchema } from '../../core/soil/settings.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { box, point, shapes, table } from './tables.ts';

const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const IDS = ['S1', 'S2', 'S3', 'S4', 'S5', 'S6'];
const POINTS = shapes(
  'points',
  ['ID'],
  IDS.map((id, n) => [point(-94.2385 + n * 0.0012, 42.704), id] as const),
);
const HEAD = 'Sample ID;K ppm;Ca ppm;Mg ppm;Na ppm;pH;Buffer pH;CEC;%K;%Ca;%Mg;%H;Depth;Date;OM';
/** Whatever a row may hold that is odd, beside rows that are not. */
const ODD = [
  'S1;n.d.;1500;300;<5;6;6.6;12;3;60;20;17;0-6;2025-03-01;3',
  'S1;180;1500;300;20;6;6.6;12;3;60;20;17;0-6;2025-03-01;3',
  'S2;0;0;x;>900;66;;0;130;60;20;0;foo;never;300',
  's2;<20;1500;300;20;5;;9;3;60;20;3;0-8;2025-03-01;3',
  'S3;99999;1500;300;-4;6;6.6;12;3;60;20;17;0-6;2025-03-01;3',
  'S4;180 lb/ac;1500;300;20;8;6.6;3;3;60;20;40;6-24;2024-03-01;3',
  'S5;180;1500;300;20;8;6.6;3;9;60;20;40;0-6;2025-03-01;3',
  'S6;180;1500;300;20;6.6;6.6;30;9;60;20;40;0-6;2025-03-01;3',
  ';180;1500;300;20;6;6.6;12;3;60;20;17;0-6;2025-03-01;3',
  'S16;180;1500;300;20;6;6.6;12;3;60;20;17;0-6;2025-03-01;3',
];
const TOLD: readonly Partial<Record<keyof SoilSettings, unknown>>[] = [
  {},
  { belowLimit: 'set aside', aboveLimit: 'set aside', notDetected: 'zero', extractant: 'Mehlich-3' },
  {
    cec: 'summation',
    acidity: { form: '8 x (8 - buffer pH)' },
    factors: 'rounded',
    saturation: 'lab, else worked out',
  },
  { acidity: { form: 'no acidity' }, notDetected: 'set aside', convention: 'furrow slice', tolerance_pct: 0.1 },
  { year: 1999 },
  { depthTold: '90-120' },
  { extractant: 'ammonium acetate', conversion: { to: 'Mehlich-3', factor: 1.14, region: 'Ohio' } },
  { crs: 'EPSG:999999' },
  {
    sameIds: [{ lab: 'S99', point: 'S1' }],
    decisions: [
      { file: 'lab.csv', row: 3, keep: true, why: '', who: '', when: '' },
      { file: 'lab.csv', row: 99, keep: false, why: 'gone', who: 'me', when: '2026-01-01' },
    ],
  },
];
const HEADS = [
  HEAD,
  HEAD.replace('K ppm', 'K lb/ac'),
  HEAD.replace('K ppm', 'K'),
  HEAD.replace('K ppm', 'K mg/L'),
  HEAD.replace('Ca ppm', 'Ca meq'),
  HEAD.replace('K ppm', 'Chalk'),
  HEAD.replace('Sample ID', 'Whatever'),
];

/** What people read of a run: problems with their rows', and sentences. */
function textsOf(): readonly string[] {
  const all: string[] = [];
  const told = (problems: readonly Problem[]): void => {
    for (const { message, remedy, detail } of problems) all.push(message, remedy, detail ?? '');
  };
  const run = (samples: ReturnType<typeof table>, points: typeof POINTS | null, choices: object): void => {
    const settings = soilSettingsSchema.safeParse(choices);
    if (!settings.success) throw new Error(settings.error.message);
    const out = readSoil({ points, samples, boundary: FIELD, settings: settings.data });
    told(out.problems);
    if (!out.ok) return;
    all.push(...out.value.reading, ...out.value.differences.map((one) => one.cause));
    for (const row of [...out.value.rows, ...out.value.pointRows]) told(row.reasons);
  };
  for (const head of HEADS)
    for (const choices of TOLD) {
      run(table('lab', [head, ...ODD]), POINTS, choices);
      run(table('lab', [head, ...ODD.slice(5, 6)]), POINTS, choices);
      run(table('lab', [head, ...ODD]), null, choices);
    }
  const lab = readFiles(fixture('soil/messy-lab.csv'), {});
  const points = readFiles(fixture('soil/messy-points.csv'), {});
  if (lab.ok && points.ok && lab.value[0] && points.value[0])
    for (const choices of TOLD) run(lab.value[0], points.value[0], choices);
  return [...new Set(all)];
}
const TEXTS = textsOf();
/** Without what a file says itself. */
const own = (text: string): string => text.replaceAll(/"[^"]*"/g, '""').replaceAll(/\[[^\]]*\]/g, '');

it('no inner name reaches a person', () => {
  expect(TEXTS.length).toBeGreaterThan(150);
  const inner = /\b[a-z]+_[a-zA-Z]\w*\b|\b[a-z]+[A-Z]\w*\b|\bsoil-[a-z]|\bundefined\b|\bNaN\b|\bnull\b|\[object/;
  // pH is a word.
  expect(TEXTS.filter((text) => inner.test(own(text).replaceAll(/\bpH\b/g, 'acid')))).toEqual([]);
});

it('one is one, and more are more', () => {
  const many =
    /(?<![\d.,-])1 (more )?(rows|samples|points|ids|cells|columns|values|differ\b|of [^.]* differ\b)|\b(0|[2-9]|\d\d+) (row|sample|point|cell|column|value)\b(?! id)/;
  expect(TEXTS.filter((text) => many.test(own(text)))).toEqual([]);
});

it('every sentence ends as one', () => {
  expect(TEXTS.filter((text) => /[a-z]\.\.$|,$|: $|\bof \./.test(text))).toEqual([]);
});
