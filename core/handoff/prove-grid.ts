import { fail, ok, type Result } from '../base/problem.ts';
import { KG_PER_LB, M2_PER_ACRE, toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import { coverCells } from '../geo/cover.kernel.ts';
import { toDegrees, toUnits } from '../geo/ring.ts';
import type { Lattice } from '../geo/types.ts';
import type { Places } from './points.kernel.ts';
import { NEAR, OUTSIDE } from './points.ts';
import { perUnit_lbPerAc } from './prove-set.ts';
import { readTaskData } from './task-data/read.ts';
import type { TaskData, TaskDataGrid } from './task-data/types.ts';
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
 * boundary, and its rates against the plan's at the points that lie farther than a cell from any border to another rate, to half of 1 mg/m2.
 * Problems: those of the reader.
 */
export function proveGrid(
  bytes: Uint8Array,
  told: TaskDataOut,
  { sets, points, rateUnit }: Manifest,
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
  let [compared, wrong, greatest, product_lb] = [0, 0, 0, 0];
  const near = HALF_MG_LB_PER_AC / perUnit_lbPerAc(rateUnit);
  told.tasks.forEach(({ pass, product, grid_lb }, i) => {
    const task = tasks[Math.floor(i / products)];
    const values = task?.values_lbPerAc[i % products];
    const pounds = task?.grid && values ? poundsOn(read.value, task.grid, values) : Number.NaN;
    product_lb += pounds;
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

/** Pounds of a grid's values on the ground of the task data's own boundary. */
function poundsOn({ partfields }: TaskData, grid: TaskDataGrid, values: Float64Array): number {
  const exact = (deg: number): number => toDegrees(toUnits(deg));
  const lattice: Lattice = {
    west_deg: exact(grid.minEast_deg),
    south_deg: exact(grid.minNorth_deg),
    dLng_deg: exact(grid.sizeEast_deg),
    dLat_deg: exact(grid.sizeNorth_deg),
    cols: grid.columns,
    rows: grid.rows,
  };
  const { cover_m2 } = coverCells(
    lattice,
    partfields.flatMap(({ boundary }) => boundary),
  );
  return cover_m2.reduce((sum, m2, cell) => sum + (m2 > 0 ? (m2 / M2_PER_ACRE) * (values[cell] ?? Number.NaN) : 0), 0);
}
