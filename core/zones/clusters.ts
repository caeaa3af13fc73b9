import { kMeansCluster } from 'simple-statistics';
import { fail, ok, type Result, stop } from '../base/problem.ts';
import { layerName, layerValues } from '../layers/layer.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import { type Classified, UNKNOWN_KEY, UNKNOWN_NAME } from './classify.ts';
import type { ZonesSettings } from './settings.ts';

/** Cells that centres are found from, spread evenly; all cells are then given to the nearest centre. */
const MOST_CELLS = 1500;
/** Starts from different cells; the closest fit of all is taken, since k-means stops at the first rest it finds. */
const STARTS = 60;

/**
 * Cells in k clusters of several layers: k-means (Lloyd, IEEE Trans. Inf. Theory 28(2), 1982, by simple-statistics) on layers brought to mean 0 and
 * standard deviation 1 over the field, so that ppm and percent weigh alike. Seeded: the same seed, the same zones.
 *
 * Clusters are numbered by the mean of the first layer, from the lowest; keys are `k1`, `k2` .... A cell without a value in any of
 * the layers is `unknown`. Stops: `zones-no-layer`, `zones-nothing-known`, `zones-too-few-cells` (fewer different cells than clusters).
 */
export function clusterCells(surfaces: SurfacesOut, settings: ZonesSettings): Result<Classified> {
  const { layers, k, seed } = settings.clusters;
  const { cover_m2 } = surfaces.grid;
  const columns: Float64Array[] = [];
  for (const layer of [...new Set(layers)]) {
    const values = layerValues(surfaces, layer);
    const { name } = layerName(surfaces, layer);
    if (!values) {
      const message = `There is no surface of ${name} to make clusters of.`;
      return fail(
        stop('zones-no-layer', message, 'Choose layers that were measured.', { setting: 'zones.clusters.layers' }),
      );
    }
    columns.push(standardised(values, cover_m2));
  }
  const cells: number[] = [];
  for (let cell = 0; cell < cover_m2.length; cell++)
    if ((cover_m2[cell] ?? 0) > 0 && columns.every((column) => Number.isFinite(column[cell] ?? Number.NaN)))
      cells.push(cell);
  if (cells.length === 0) {
    const message = 'No cell of the field has a value in all of the layers.';
    return fail(
      stop('zones-nothing-known', message, 'Choose layers that share some ground.', {
        setting: 'zones.clusters.layers',
      }),
    );
  }
  const pointOf = (cell: number): number[] => columns.map((column) => column[cell] ?? 0);
  const step = Math.max(1, cells.length / MOST_CELLS);
  const some = Array.from({ length: Math.min(cells.length, MOST_CELLS) }, (_, i) =>
    pointOf(cells[Math.floor(i * step)] ?? 0),
  );
  const centres = bestCentres(some, k, seed);
  if (!centres) {
    const message = `The field has fewer kinds of ground than the ${k} clusters asked for.`;
    return fail(stop('zones-too-few-cells', message, 'Ask for fewer clusters.', { setting: 'zones.clusters.k' }));
  }
  const ordered = [...centres].sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0));
  const labels = new Int16Array(cover_m2.length);
  for (let cell = 0; cell < labels.length; cell++) if ((cover_m2[cell] ?? 0) > 0) labels[cell] = k + 1;
  for (const cell of cells) labels[cell] = nearestCentre(columns, cell, ordered) + 1;
  const names = layers.map((layer) => layerName(surfaces, layer).name).join(', ');
  const classes = ordered.map((_, i) => ({
    key: `k${i + 1}`,
    name: `cluster ${i + 1}`,
    what: `cluster ${i + 1} of ${k} by ${names}`,
  }));
  return ok({ labels, classes: [...classes, { key: UNKNOWN_KEY, name: UNKNOWN_NAME, what: UNKNOWN_NAME }] });
}

/** Values less their mean over their standard deviation, by ground; 0 everywhere on even ground, NaN where unknown. */
function standardised(values: Float64Array, cover_m2: Float64Array): Float64Array {
  let weight = 0;
  let sum = 0;
  values.forEach((value, cell) => {
    const cover = cover_m2[cell] ?? 0;
    if (cover <= 0 || !Number.isFinite(value)) return;
    weight += cover;
    sum += cover * value;
  });
  const mean = sum / weight;
  let squares = 0;
  values.forEach((value, cell) => {
    const cover = cover_m2[cell] ?? 0;
    if (cover > 0 && Number.isFinite(value)) squares += cover * (value - mean) ** 2;
  });
  const sd = Math.sqrt(squares / weight);
  return values.map((value) => (Number.isFinite(value) ? (sd > 0 ? (value - mean) / sd : 0) : Number.NaN));
}

function bestCentres(points: number[][], k: number, seed: number): readonly number[][] | null {
  if (new Set(points.map(String)).size < k) return null;
  const random = seeded(seed);
  let best: { readonly centres: number[][]; readonly squares: number } | null = null;
  for (let start = 0; start < STARTS; start++) {
    const centres = centresFrom(points, k, random);
    if (!centres) continue;
    const squares = points.reduce((sum, point) => sum + Math.min(...centres.map((centre) => away2(point, centre))), 0);
    if (!best || squares < best.squares * (1 - 1e-12)) best = { centres, squares };
  }
  return best?.centres ?? null;
}

/** Null where a centre lost all its cells on the way: the library gives that start up. */
function centresFrom(points: number[][], k: number, random: () => number): number[][] | null {
  try {
    return kMeansCluster(points, k, random).centroids;
  } catch {
    return null;
  }
}

const away2 = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, value, i) => sum + (value - (b[i] ?? 0)) ** 2, 0);

function nearestCentre(
  columns: readonly Float64Array[],
  cell: number,
  centres: readonly (readonly number[])[],
): number {
  let best = 0;
  let least = Infinity;
  for (let at = 0; at < centres.length; at++) {
    let distance = 0;
    for (let i = 0; i < columns.length; i++) distance += ((columns[i]?.[cell] ?? 0) - (centres[at]?.[i] ?? 0)) ** 2;
    if (distance >= least) continue;
    least = distance;
    best = at;
  }
  return best;
}

/** Numbers in [0, 1) that a seed settles. Source: mulberry32, T. Ettinger, public domain. */
function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}
