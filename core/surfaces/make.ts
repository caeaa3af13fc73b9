import { breathe, type RunHooks } from '../base/hooks.ts';
import { caution, fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { M2_PER_ACRE } from '../base/units.ts';
import { toLocal } from '../geo/frame.ts';
import { cellCentre, makeFieldGrid } from '../geo/lattice.ts';
import type { FieldGrid, MultiPolygon } from '../geo/types.ts';
import type { SoilOut, SoilSample } from '../soil/types.ts';
import { makeBuckets } from './buckets.kernel.ts';
import { compositeSurfaces } from './composites.ts';
import { derive } from './derive.ts';
import { idwRows, tileSide } from './idw.kernel.ts';
import { errorOf, type IdwJob, predictOthers } from './idw.ts';
import { MEASURED, MEASURED_LAYERS, type MeasuredLayer } from './measured.ts';
import type { SurfacesSettings } from './settings.ts';
import { LAYER_NAMES, type LayerError, type LayerId, type SurfacesOut } from './types.ts';

export interface SurfacesInput {
  readonly soil: SoilOut;
  /** Ground to be spread: boundary less keep-out. */
  readonly ground: MultiPolygon;
  readonly settings: SurfacesSettings;
}

/** Fewest samples that a surface is made from. */
export const LEAST_SAMPLES = 3;
/** Cells worked out between two breaths. */
const CELLS_A_BREATH = 20_000;
/** Pairs of samples weighed between two breaths of leave-one-out. */
const PAIRS_A_BREATH = 2_000_000;

/**
 * Surfaces of the measured quantities over the field's lattice, and what follows from them.
 *
 * Points: inverse distance (`idwAt`) in a flat frame about the field with the WGS84 radii, for cells that share ground with the field, at
 * the cell's centre; K, Ca and Mg saturation from the cell's own cations and CEC, by the factor set of the samples. Composites: constant on
 * their polygons, never across them. A layer without values is absent; cells off the ground are NaN.
 * Leave-one-out errors are of the power and neighbours in use.
 *
 * Stops: `surfaces-few-samples`, and those of the lattice. Cautions and notes: `surfaces-layer-few`, `surfaces-partly`, `surfaces-far`,
 * `surfaces-no-better` (an error as large as the mean's), `surfaces-uncovered`. Throws Cancelled. Cost: cells x neighbours x layers.
 */
export async function makeSurfaces(input: SurfacesInput, hooks: RunHooks): Promise<Result<SurfacesOut>> {
  const { soil, ground, settings } = input;
  const grid = makeFieldGrid(ground, settings.cell_m);
  if (!grid.ok) return grid;
  if (soil.kind === 'composites') {
    const made = compositeSurfaces(soil, grid.value);
    return ok(made.value, [...grid.problems, ...made.problems]);
  }
  if (soil.samples.length < LEAST_SAMPLES)
    return fail(
      ...grid.problems,
      stop(
        'surfaces-few-samples',
        `${soil.samples.length === 1 ? 'One sample is' : `${soil.samples.length} samples are`} too few for a surface; it takes ${LEAST_SAMPLES}.`,
        'Add samples, keep rows that were set aside, or give the values on zone polygons.',
      ),
    );
  return interpolate(soil, grid.value, grid.problems, settings, hooks);
}

interface Group {
  readonly layers: MeasuredLayer[];
  readonly samples: readonly SoilSample[];
}

/** Layers by the samples that have them: one search serves every layer of a group. K has them all and comes first. */
function groupsOf(samples: readonly SoilSample[], problems: Problem[]): readonly Group[] {
  const groups = new Map<string, Group>();
  for (const layer of MEASURED_LAYERS) {
    const having = samples.filter((sample) => Number.isFinite(MEASURED[layer](sample)));
    if (having.length === 0) continue;
    const { name } = LAYER_NAMES[layer];
    if (having.length < LEAST_SAMPLES) {
      problems.push(
        caution(
          'surfaces-layer-few',
          `${name} was measured at ${having.length} of ${samples.length} samples: too few for a surface.`,
          'Nothing is shown for it; add the missing values to have it.',
        ),
      );
      continue;
    }
    if (having.length < samples.length) {
      const without = samples.filter((sample) => !Number.isFinite(MEASURED[layer](sample))).map((sample) => sample.id);
      problems.push(
        note(
          'surfaces-partly',
          `${name} is missing at ${without.length} of ${samples.length} samples; its surface comes from the others.`,
          'Add the missing values if the ground about them matters.',
          undefined,
          `Without it: ${without.join(', ')}.`,
        ),
      );
    }
    const key = having.map((sample) => sample.row).join();
    const group = groups.get(key);
    if (group) group.layers.push(layer);
    else groups.set(key, { layers: [layer], samples: having });
  }
  return [...groups.values()];
}

async function interpolate(
  soil: SoilOut,
  grid: FieldGrid,
  before: readonly Problem[],
  settings: SurfacesSettings,
  hooks: RunHooks,
): Promise<Result<SurfacesOut>> {
  const problems: Problem[] = [...before];
  const groups = groupsOf(soil.samples, problems);
  const { rows, cols } = grid.lattice;
  const layers: Partial<Record<LayerId, Float64Array>> = {};
  const errors: Partial<Record<LayerId, LayerError>> = {};
  const nearest_m = new Float32Array(rows * cols).fill(Number.NaN);
  let done = 0;
  for (const [number, group] of groups.entries()) {
    const job = jobOf(group, grid, settings, number === 0 ? nearest_m : new Float32Array(rows * cols));
    const side = tileSide(job);
    const band = Math.max(1, side) * Math.max(1, Math.round(CELLS_A_BREATH / (cols * Math.max(1, side))));
    for (let row = 0; row < rows; row += band) {
      await breathe(hooks, 'surfaces', done + row, groups.length * rows);
      idwRows(job, side, row, Math.min(row + band, rows));
    }
    done += rows;
    const others = predictOthers(job.buckets.x, job.buckets.y, job.values, settings.power, settings.neighbours);
    const n = group.samples.length;
    const piece = Math.max(1, Math.round(PAIRS_A_BREATH / job.k));
    for (let from = 0; from < n; from += piece) {
      await breathe(hooks, 'surfaces', done, groups.length * rows);
      others.predict(from, Math.min(from + piece, n));
    }
    group.layers.forEach((layer, index) => {
      const out = job.out[index];
      const z = job.values[index];
      const predicted = others.predicted[index];
      if (!out || !z || !predicted) return;
      layers[layer] = out;
      const { samples, rmse, mae, meanRmse } = errorOf(z, predicted);
      errors[layer] = { samples, rmse, mae, meanRmse };
    });
  }
  await breathe(hooks, 'surfaces', done, groups.length * rows);
  derive(layers, soil.factors);
  const far_ac = farAcres(grid, nearest_m, settings.far_m);
  problems.push(...aboutErrors(errors), ...aboutFar(far_ac, settings));
  const n = soil.samples.length;
  const near =
    settings.neighbours === 0 || settings.neighbours >= n ? `all ${n} samples` : `${settings.neighbours} neighbours`;
  return ok(
    { grid, layers, errors, nearest_m, far_ac, method: `inverse distance, power ${settings.power}, ${near}` },
    problems,
  );
}

function jobOf(group: Group, grid: FieldGrid, settings: SurfacesSettings, nearest_m: Float32Array): IdwJob {
  const { lattice, frame } = grid;
  const { samples } = group;
  const places = samples.map((sample) => toLocal(frame, sample.at));
  const [x0, y0] = toLocal(frame, cellCentre(lattice, 0));
  const n = samples.length;
  return {
    buckets: makeBuckets(
      Float64Array.from(places, ([x]) => x),
      Float64Array.from(places, ([, y]) => y),
    ),
    values: group.layers.map((layer) => Float64Array.from(samples, MEASURED[layer])),
    power: settings.power,
    k: settings.neighbours === 0 ? n : Math.min(settings.neighbours, n),
    x0,
    y0,
    dx: lattice.dLng_deg * frame.mPerDegLng,
    dy: lattice.dLat_deg * frame.mPerDegLat,
    cols: lattice.cols,
    rows: lattice.rows,
    wanted: grid.cover_m2,
    out: group.layers.map(() => new Float64Array(lattice.cols * lattice.rows).fill(Number.NaN)),
    nearest_m,
  };
}

/** Acres of the field whose cells lie farther than `far_m` from their nearest sample. */
export function farAcres(grid: FieldGrid, nearest_m: Float32Array, far_m: number): number {
  let far_m2 = 0;
  nearest_m.forEach((distance, cell) => {
    if (distance > far_m) far_m2 += grid.cover_m2[cell] ?? 0;
  });
  return far_m2 / M2_PER_ACRE;
}

function aboutErrors(errors: Partial<Record<LayerId, LayerError>>): readonly Problem[] {
  const { k_ppm: k } = errors;
  if (!k || k.rmse < k.meanRmse) return [];
  return [
    caution(
      'surfaces-no-better',
      `Leave-one-out error of K is ${k.rmse.toFixed(1)} ppm, no less than that of the field’s mean (${k.meanRmse.toFixed(1)}).`,
      'Try another power or number of neighbours, or sample closer; the samples tell little about one another.',
      { setting: 'surfaces.power' },
    ),
  ];
}

function aboutFar(far_ac: number, settings: SurfacesSettings): readonly Problem[] {
  if (far_ac < 0.05) return [];
  return [
    caution(
      'surfaces-far',
      `${far_ac.toFixed(1)} ac lie farther than ${settings.far_m} m (${Math.round(settings.far_m / 0.3048)} ft) from any sample.`,
      'Add samples there, or set a hand rate; the map hatches this ground.',
      { setting: 'surfaces.far_m' },
    ),
  ];
}
