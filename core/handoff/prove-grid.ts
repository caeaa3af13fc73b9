import { fail, ok, type Result } from '../base/problem.ts';
import { KG_PER_LB, M2_PER_ACRE, toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import { coverCells } from '../geo/cover.kernel.ts';
import { toDegrees, toUnits } from '../geo/ring.ts';
import type { Lattice } from '../geo/types.ts';
import type { Places } from './points.kernel.ts';
import { NEAR, OUTSIDE } from './points.ts';
import { perUnit_lbPerAc } from './prove-set.ts';
import { cutName, taskNames } from './task-data/names.ts';
import { readTaskData } from './task-data/read.ts';
import type { TaskData, TaskDataGrid, TaskDataShown, TaskDataTask } from './task-data/types.ts';
import { validateTaskData } from './task-data/validate.ts';
import type { Manifest, ManifestChannel, ProofLine, TaskDataOut } from './types.ts';

/** Half of 1 mg/m2, the unit of the grid's values, in lb/ac. */
const HALF_MG_LB_PER_AC = (0.5 * M2_PER_ACRE) / (KG_PER_LB * 1e6);
/** Of the grid's pounds: figures in the manifest have three decimals, and the sums another order. */
const POUNDS_TOLERANCE = 1e-8;
const LAST_DIGIT_LB = 0.001;

/** What reading the task data back came to. */
export interface GridProof {
  readonly lines: readonly ProofLine[];
  readonly compared: number;
  /** In the unit of the files. */
  readonly greatest: number;
  readonly acres: number;
  readonly product_lb: number;
}

/**
 * The task data read back by a reader that shares nothing with the writer: the standard's rules, the pounds that each grid makes on the ground of its own
 * boundary, its rates out of the field and without a position, its products and names, how it is shown, and its rates against the plan's at the points that lie farther than a cell from any border to another rate, to half of 1 mg/m2.
 * Problems: those of the reader.
 */
export function proveGrid(
  bytes: Uint8Array,
  told: TaskDataOut,
  { plan, sets, points, rateUnit }: Manifest,
  places: Places | null,
): Result<GridProof> {
  const file = told.path;
  const read = readTaskData(bytes, file);
  if (!read.ok) return fail(...read.problems);
  const { tasks } = read.value;
  const breaks = validateTaskData(bytes);
  const products = Math.max(1, Math.round(told.tasks.length / Math.max(1, tasks.length)));
  const channels = sets.flatMap((set) => set.channels);
  const lines: ProofLine[] = [
    { file, what: 'rules of the standard', planned: 'kept', found: breaks[0] ?? 'kept', holds: breaks.length === 0 },
    {
      file,
      what: 'tasks',
      planned: `${told.tasks.length / products}`,
      found: `${tasks.length}`,
      holds: tasks.length * products === told.tasks.length,
    },
  ];
  const passes = told.tasks.filter((_, i) => i % products === 0).map(({ pass }) => pass);
  const names = passes.length > 0 ? taskNames(plan, passes) : [];
  lines.push({
    file,
    what: 'names of the tasks',
    planned: names.join('; '),
    found: tasks.map(({ name }) => name).join('; '),
    holds: names.length === tasks.length && names.every((name, i) => sameName(name, tasks[i]?.name ?? '')),
  });
  let [compared, wrong, greatest, product_lb] = [0, 0, 0, 0];
  const near = HALF_MG_LB_PER_AC / perUnit_lbPerAc(rateUnit);
  told.tasks.forEach((planned, i) => {
    const { pass, product, grid_lb } = planned;
    const task = tasks[Math.floor(i / products)];
    const values = task?.values_lbPerAc[i % products];
    const on = task?.grid && values ? onGround(read.value, task.grid, values, planned.outside_lbPerAc) : NOTHING;
    const { pounds } = on;
    product_lb += pounds;
    lines.push(...beyondLines(file, planned, told.shown, task ?? null, i % products));
    lines.push({
      file,
      what: `cells off the field, ${product}, ${pass}`,
      planned: 'as outside, or 0',
      found: on.astray === 0 ? 'as outside, or 0' : `${on.astray} have another rate`,
      holds: on.astray === 0,
    });
    lines.push({
      file,
      what: `pounds of ${product}, ${pass}`,
      planned: grid_lb.toFixed(3),
      found: pounds.toFixed(3),
      holds: Math.abs(pounds - grid_lb) <= POUNDS_TOLERANCE * grid_lb + LAST_DIGIT_LB,
    });
    const channel = channels.find((one) => one.pass === pass && one.product === product);
    if (!places || !channel) return;
    for (const [at, rate] of innerRates(channel, points?.inner ?? '')) {
      const found =
        task?.rateAt(places.lng[at] ?? Number.NaN, places.lat[at] ?? Number.NaN)[i % products] ?? Number.NaN;
      const off = Math.abs(found / perUnit_lbPerAc(rateUnit) - rate);
      compared++;
      if (!(off <= near + 0.5 / 10 ** channel.decimals)) wrong++;
      if (off > greatest || Number.isNaN(off)) greatest = Number.isNaN(greatest) ? greatest : off;
    }
  });
  if (points?.inner != null)
    lines.push({
      file,
      what: 'rates at points',
      planned: `${compared} compared, a cell and more from any border`,
      found: wrong === 0 ? 'all the same, to the grid’s unit' : `${wrong} differ`,
      holds: wrong === 0,
    });
  const acres = toAcres(area_m2(read.value.partfields.flatMap(({ boundary }) => boundary)));
  return ok({ lines, compared, greatest, acres, product_lb });
}

/** Points far from borders, with the plan's rate there. */
function innerRates({ atPoints }: ManifestChannel, inner: string): [number, number][] {
  return (atPoints ?? '')
    .split(' ')
    .flatMap((text, at): [number, number][] =>
      inner[at] === '1' && text !== NEAR && text !== OUTSIDE ? [[at, Number(text)]] : [],
    );
}

/** The rates beyond the grid, what they are of and how they are shown, of one product in one task. */
function beyondLines(
  file: string,
  { pass, product, outside_lbPerAc, noPosition_lbPerAc }: TaskDataOut['tasks'][number],
  shown: TaskDataOut['shown'],
  task: TaskDataTask | null,
  at: number,
): ProofLine[] {
  const of = `${product}, ${pass}`;
  const zone = (code: number | null | undefined) => task?.zones.find((one) => one.code === code);
  const rate = (what: string, code: number | null | undefined, planned: number): ProofLine => {
    const found = zone(code)?.rates_lbPerAc[at] ?? Number.NaN;
    const holds = Math.abs(found - planned) <= HALF_MG_LB_PER_AC * (1 + 1e-6);
    return { file, what: `${what}, ${of}`, planned: `${planned} lb/ac`, found: `${found.toFixed(2)} lb/ac`, holds };
  };
  const zones = task?.zones ?? [];
  const name = cutName(product);
  const names = [...new Set(zones.map((one) => one.products[at] ?? ''))];
  const shows = [...new Set(zones.map((one) => shownText(one.shown[at])))];
  const asked = shownText({ ...shown, offset: 0 });
  return [
    rate('rate outside', task?.codes.outside, outside_lbPerAc),
    rate('rate by default', task?.codes.default, outside_lbPerAc),
    rate('rate without a position', task?.codes.positionLost, noPosition_lbPerAc),
    {
      file,
      what: `product, ${of}`,
      planned: name,
      found: names.join(', '),
      holds: names.length === 1 && sameName(name, names[0] ?? ''),
    },
    {
      file,
      what: `unit shown, ${of}`,
      planned: asked,
      found: shows.join(', '),
      holds: shows.length === 1 && shows[0] === asked,
    },
  ];
}

/** Blanks in an attribute may come back as others (XML 1.0, 3.3.3). */
const sameName = (a: string, b: string): boolean => a.replace(/\s+/g, ' ').trim() === b.replace(/\s+/g, ' ').trim();

const shownText = (shown: TaskDataShown | null | undefined): string =>
  shown ? `${shown.unit}, times ${shown.scale}, ${shown.offset} added, ${shown.decimals} decimals` : 'not told';

const NOTHING = { pounds: Number.NaN, astray: 0 };

/**
 * Pounds of a grid's values on the ground of the task data's own boundary, and how many of the cells that its ground does not reach, holes
 * and keep-outs among them, have a rate that is neither 0 nor the one outside.
 */
function onGround(
  { partfields }: TaskData,
  grid: TaskDataGrid,
  values: Float64Array,
  outside_lbPerAc: number,
): { readonly pounds: number; readonly astray: number } {
  const exact = (deg: number): number => toDegrees(toUnits(deg));
  const lattice: Lattice = {
    west_deg: exact(grid.minEast_deg),
    south_deg: exact(grid.minNorth_deg),
    dLng_deg: exact(grid.sizeEast_deg),
    dLat_deg: exact(grid.sizeNorth_deg),
    cols: grid.columns,
    rows: grid.rows,
  };
  const { cover_m2, crossed } = coverCells(
    lattice,
    partfields.flatMap(({ boundary }) => boundary),
  );
  let [pounds, astray] = [0, 0];
  const same = (a: number, b: number): boolean => Math.abs(a - b) <= HALF_MG_LB_PER_AC * (1 + 1e-6);
  for (const [cell, m2] of cover_m2.entries()) {
    const rate = values[cell] ?? Number.NaN;
    if (m2 > 0) pounds += (m2 / M2_PER_ACRE) * rate;
    else if (crossed[cell] !== 1 && !same(rate, 0) && !same(rate, outside_lbPerAc)) astray++;
  }
  return { pounds, astray };
}
