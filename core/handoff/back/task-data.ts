import { fail, ok, type Problem, stop } from '../../base/problem.ts';
import { toAcres } from '../../base/units.ts';
import type { NamedBytes } from '../../formats/types.ts';
import { unzipFiles } from '../../formats/zip.ts';
import { area_m2 } from '../../geo/area.ts';
import { intersection } from '../../geo/clip.ts';
import { coverCells } from '../../geo/cover.kernel.ts';
import type { Lattice, LngLat, MultiPolygon } from '../../geo/types.ts';
import { readTaskData } from '../task-data/read.ts';
import type { TaskData, TaskDataTask } from '../task-data/types.ts';
import { gather, NOTHING_ASKED, unlike } from './gather.ts';
import { melt } from './melt.kernel.ts';
import type { Looked, OpenedPiece, RateCandidate, Told } from './types.ts';

/** The zip among some files that holds ISO 11783-10 task data; null where none does. */
export const taskDataOf = (files: readonly NamedBytes[]): NamedBytes | null =>
  files.find(({ name, bytes }) => {
    if (bytes[0] !== 0x50 || bytes[1] !== 0x4b) return false;
    const inside = unzipFiles(bytes, name);
    return inside.ok && inside.value.some((file) => /(^|\/)taskdata\.xml$/i.test(file.name));
  }) ?? null;

/** More rates than these are not cut at the boundary one by one: their cells stand whole. */
const MOST_CUT = 200;

/**
 * A task of ISO 11783-10 task data as a prescription: all cells of one rate are one piece, cut at the boundary of the
 * task's field where the file has one (cells wholly past it are left out: they are the rest of the grid's box). With more
 * than 200 rates cells on the boundary stay whole. The file's figures are mg/m2, shown in lb/ac.
 *
 * Layers are the tasks, candidates the products of one. Problems: those of `readTaskData`; `back-layer-which`,
 * `back-layer-unknown`, `back-column-unknown`, `back-rate-which`, `back-rate-none` (no grid, or no mass per area), those of `gather`.
 */
export function lookAtTaskData({ name: file, bytes }: NamedBytes, told: Told): Looked {
  const read = readTaskData(bytes, file);
  if (!read.ok) return { asked: NOTHING_ASKED, read };
  const layers = unlike(read.value.tasks.map((task) => task.name || task.id));
  const failed = (asked: Looked['asked'], problem: Problem): Looked => ({
    asked,
    read: fail(...read.problems, problem),
  });
  const at = told.layer === undefined ? (layers.length === 1 ? 0 : -1) : layers.indexOf(told.layer);
  const task = read.value.tasks[at];
  const layer = layers[at];
  const named = { ...NOTHING_ASKED, layers };
  if (!task || layer === undefined) {
    const names = layers.join(', ');
    return failed(
      named,
      told.layer === undefined
        ? stop('back-layer-which', `${file} holds ${layers.length} tasks: ${names}.`, 'Say which is to be opened.', {
            file,
          })
        : stop('back-layer-unknown', `There is no ${told.layer} among ${names}.`, 'Choose one of them.', { file }),
    );
  }
  const products = unlike(task.products.map((product, i) => product || `value ${i + 1}`));
  const candidates = products.flatMap((column, i): RateCandidate[] => {
    const rates = (task.values_lbPerAc[i] ?? new Float64Array()).filter((rate) => rate >= 0);
    const [least, most] = [Math.min, Math.max].map((of) => rates.reduce((a, b) => of(a, b), rates[0] ?? Number.NaN));
    return rates.length === 0 ? [] : [{ column, least: least ?? 0, most: most ?? 0, records: rates.length, rank: 3 }];
  });
  const asked = { ...named, layer, candidates };
  const column = told.column ?? (candidates.length === 1 ? candidates[0]?.column : undefined);
  const values = task.values_lbPerAc[column === undefined ? -1 : products.indexOf(column)];
  if (!task.grid || candidates.length === 0)
    return failed(
      asked,
      stop('back-rate-none', `${layer} in ${file} has no grid of rates by mass.`, 'Ask for task data with one.', {
        file,
      }),
    );
  if (column === undefined)
    return failed(
      asked,
      stop(
        'back-rate-which',
        `${layer} in ${file} spreads several products: ${candidates.map((one) => one.column).join(', ')}.`,
        'Say which of them is to be looked at.',
        { file },
      ),
    );
  if (!values)
    return failed(
      asked,
      stop(
        'back-column-unknown',
        `${layer} in ${file} has no product ${column}.`,
        `Choose one of ${products.join(', ')}.`,
        {
          file,
          column,
        },
      ),
    );
  const pieces = piecesOf(task.grid, values, boundaryOf(read.value, task));
  const { value, problems } = gather(
    {
      name: layer,
      files: [file],
      format: 'task data',
      column,
      unit: 'lb/ac',
      unitFrom: 'mass per area, mg/m²',
      product: task.products[products.indexOf(column)] ?? '',
      pass: task.name,
      records: pieces.length,
    },
    pieces,
    file,
  );
  return { asked: { ...asked, column, unit: 'lb/ac' }, read: ok(value, [...read.problems, ...problems]) };
}

function boundaryOf({ partfields }: TaskData, { partfield }: TaskDataTask): MultiPolygon {
  return partfields.find(({ id }) => id === partfield)?.boundary ?? [];
}

function piecesOf(
  grid: NonNullable<TaskDataTask['grid']>,
  values: Float64Array,
  boundary: MultiPolygon,
): readonly OpenedPiece[] {
  const lattice: Lattice = {
    west_deg: grid.minEast_deg,
    south_deg: grid.minNorth_deg,
    dLng_deg: grid.sizeEast_deg,
    dLat_deg: grid.sizeNorth_deg,
    cols: grid.columns,
    rows: grid.rows,
  };
  const cover_m2 = boundary.length > 0 ? coverCells(lattice, boundary).cover_m2 : null;
  const runs = new Map<number, MultiPolygon[number][]>();
  for (let row = 0; row < lattice.rows; row++) {
    for (let col = 0; col < lattice.cols; ) {
      const first = row * lattice.cols + col;
      const rate = values[first] ?? Number.NaN;
      let length = 1;
      if (cover_m2 && (cover_m2[first] ?? 0) === 0) {
        col++;
        continue;
      }
      while (
        col + length < lattice.cols &&
        Object.is(values[first + length], rate) &&
        (!cover_m2 || (cover_m2[first + length] ?? 0) > 0)
      )
        length++;
      const list = runs.get(rate);
      const run = runOf(lattice, row, col, length);
      if (list) list.push(run);
      else runs.set(rate, [run]);
      col += length;
    }
  }
  const cut = boundary.length > 0 && runs.size <= MOST_CUT;
  return [...runs]
    .sort(([a], [b]) => a - b)
    .map(([rate, cells], index) => {
      const whole = melt(cells) ?? cells;
      const polygons = cut ? intersection(whole, boundary) : whole;
      // Below 0 is no rate, as in any other file.
      const figure = rate >= 0 ? rate : Number.NaN;
      return { row: index + 1, polygons, acres: toAcres(area_m2(polygons)), rate_lbPerAc: figure, asWritten: figure };
    })
    .filter(({ polygons }) => polygons.length > 0);
}

/** Cells of one row side by side, with a corner at each of them, so that runs of neighbouring rows share their edges. */
function runOf(lattice: Lattice, row: number, col: number, length: number): MultiPolygon[number] {
  const at = (c: number, r: number): LngLat => [
    lattice.west_deg + c * lattice.dLng_deg,
    lattice.south_deg + r * lattice.dLat_deg,
  ];
  const ring: LngLat[] = [];
  for (let c = col; c <= col + length; c++) ring.push(at(c, row));
  for (let c = col + length; c >= col; c--) ring.push(at(c, row + 1));
  const [first] = ring;
  return [first ? [...ring, first] : ring];
}
