import { expect, it } from 'vitest';
import { reportLines } from '../../app/cli/print.ts';
import { type BuildReport, failedReport, type ZoneReport } from '../../app/cli/reports.ts';
import { USAGE } from '../../app/cli/usage.ts';

const LEFT = {
  caps_lbK2OPerAc: 0,
  budget_lbK2OPerAc: 0,
  machine_lbK2OPerAc: 0,
  distinctRates_lbK2OPerAc: 0,
  choice_lbK2OPerAc: 0,
};
const zone = (letter: string, changes: Partial<ZoneReport> = {}): ZoneReport => ({
  zone: letter,
  key: letter,
  acres: 10,
  k_ppm: 150,
  kSat_pct: 3,
  cec_meq: 12,
  governing: 'ppm',
  rate_lbPerAc: 250,
  passes: [
    { name: 'first', rate_lbPerAc: 200 },
    { name: 'second', rate_lbPerAc: 50 },
  ],
  k2o_lbPerAc: 150,
  undone_lbK2OPerAc: 0,
  leftBy: LEFT,
  cost_perAc: 60,
  exact_lbPerAc: 250,
  answers: { ppmAlone: 250, saturationAlone: 100, thisPlan: 250 },
  override: null,
  lines: [],
  ...changes,
});
function built(changes: Partial<BuildReport>): readonly string[] {
  const empty = failedReport({ kind: 'build', plan: 'p', out: 'o' }, []);
  if (empty.kind !== 'build') throw new Error('not a build');
  const totals = {
    acres: 20,
    product_lb: 2500,
    product_tons: 1.25,
    exact_lb: 2500,
    zones_lb: 2500,
    cells: null,
    k2o_lb: 1500,
    cost: 600,
    byPass: [],
    byProduct: [],
  };
  return reportLines({ ...empty, totals, ...changes });
}
/** Cells of a zone's row. */
const row = (lines: readonly string[], letter: string): readonly string[] =>
  lines
    .find((line) => line.trim().startsWith(`${letter} `))
    ?.trim()
    .split(/\s{2,}/) ?? [];

it('a withheld zone has no pounds in any pass, and a followed guide stands where a target would govern', () => {
  const withheld = zone('B', { rate_lbPerAc: null, passes: [], k2o_lbPerAc: null, cost_perAc: null });
  const zones = [zone('A'), withheld];
  const own = built({ zones });
  expect(row(own, 'A').slice(5, 11)).toEqual(['ppm', '250', '100', '250', '200', '50']);
  expect(row(own, 'B').slice(8, 12)).toEqual(['withheld', '-', '-', '-']);
  const guided = built({ zones, guide: 'Tri-State 2020' });
  expect(row(guided, 'A')[5]).toBe('guide');
  expect(row(guided, 'B')[5]).toBe('-');
});

it('tells K2O that stays undone by what left it', () => {
  const off = { ...LEFT, choice_lbK2OPerAc: 90 };
  const held = { ...LEFT, caps_lbK2OPerAc: 12, distinctRates_lbK2OPerAc: 3 };
  const said = built({ zones: [zone('A', { leftBy: off }), zone('B', { leftBy: held })] }).filter((line) =>
    line.includes('undone '),
  );
  expect(said.filter((line) => line.includes('over the field'))).toEqual([
    '  undone   120 lb K2O over the field, left by the caps',
    '  undone   30 lb K2O over the field, left by the limit on different rates',
    '  undone   900 lb K2O over the field, left on ground that gets nothing by choice',
  ]);
});

it('writes a loss with its sign before the dollar', () => {
  const way = {
    rule: 'all alike',
    tons: 1,
    cost: 600,
    undone_lbK2O: 0,
    shortAcres: 0,
    gap_dollars: 0,
    zones: [],
  } as const;
  const lines = built({ budget: [{ ...way, return_dollars: { low: -9595, middle: -4700, high: 120 } }] });
  expect(lines.find((line) => line.includes('all alike'))).toContain('may return -$9,595 to $120 over its cost');
});

it('by cells: says what the zones ask, what cells changed, and totals of the files', () => {
  const of = {
    acres: 20,
    product_tons: 1.2,
    exact_lb: 2510,
    zones_lb: 2500,
    cells: { what: 'Cells and the limit on change', change_lb: -100 },
    k2o_lb: 1440,
    cost: 600,
    byPass: [{ name: 'first', acres: 20, product_lb: 2400 }],
    byProduct: [],
    product_lb: 2400,
  };
  const lines = built({ totals: of, zones: [zone('A')] });
  expect(lines).toContain('           before rounding 2,510 lb, after 2,500 lb by zones, -0.01 short tons');
  expect(lines).toContain('  cells    Cells and the limit on change take 100 lb: 2,400 lb in the files');
  expect(lines).toContain('  zones    what each asks, before cutting into cells');
  expect(built({}).join()).not.toContain('cells');
});

const proof = (strays: number) => ({
  proved: true,
  lines: [],
  acres: 20,
  product_tons: 1.25,
  problems: [],
  points: null,
  strays,
  byHashAlone: [],
});

it('says that files lie there which are not the plan’s, though the plan’s are proved', () => {
  const lines = (strays: number) =>
    reportLines({ kind: 'prove', folder: 'f', ok: strays === 0, problems: [], proof: proof(strays) }).at(-1);
  expect(lines(0)).toBe('  result   proved: read back from the disk, 20.00 ac and 1.25 short tons, as planned');
  expect(lines(1)).toBe("  result   proved, but 1 file here is not the plan's: see the problems");
  expect(lines(2)).toContain("proved, but 2 files here are not the plan's");
});

it('the help of build names what it writes', () => {
  for (const what of ['geojson', 'shapefile', 'taskdata', 'CSV', 'GeoTIFF', 'sheet.html'])
    expect(USAGE.build).toContain(what);
  for (const line of USAGE.build.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
});
