import { breathe, type RunHooks } from '../base/hooks.ts';
import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { makeFieldGrid } from '../geo/lattice.ts';
import type { FieldGrid, MultiPolygon } from '../geo/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { compositeSurfaces } from './composites.ts';
import { aboutDensity, aboutFar, aboutOutside, aboutRadius, acresWhere, densityOf, outsideOf } from './coverage.ts';
import { deriving } from './derive.ts';
import { blankRows, type Group, groupsOf, jobOf, LEAST_SAMPLES } from './groups.ts';
import { idwRows, tileSide } from './idw.kernel.ts';
import { errorOf, type IdwJob, idwAt, predictOthers } from './idw.ts';
import { outlierProblems, residualsOf } from './residuals.ts';
import { MOST_FOR_SCAN, scanLayers, scanProblems } from './scan.ts';
import type { MeasuredId, SurfacesSettings } from './settings.ts';
import {
  type ErrorScan,
  LAYER_NAMES,
  type LayerError,
  type LayerId,
  type SampleResidual,
  type SurfacesOut,
} from './types.ts';
import { wayText } from './ways.ts';

export interface SurfacesInput {
  readonly soil: SoilOut;
  /** Ground to be spread: boundary less keep-out. */
  readonly ground: MultiPolygon;
  readonly settings: SurfacesSettings;
}

/** Cells worked out between two breaths. */
const CELLS_A_BREATH = 20_000;
/** Pairs of samples weighed between two breaths of leave-one-out. */
const PAIRS_A_BREATH = 2_000_000;

/**
 * Surfaces of the measured quantities over the field's lattice, what follows from them, and how far they can be trusted.
 *
 * Points: inverse distance (`idwAt`), each quantity with its own power, neighbours and radius (`wayOf`), in a flat frame about the field with the
 * WGS84 radii, for cells that share ground with the field, at the cell's centre; what follows from them is `derive`'s. Composites: constant on
 * their polygons, never across them (`compositeSurfaces`). A layer without values is absent; cells off the ground are NaN, and those with no
 * sample in the radius.
 * Leave-one-out: errors and residuals of the settings in use, and errors over other settings (`scanLayers`). Density, farthest spot and ground
 * outside the samples' hull: `densityOf`, `outsideOf`.
 *
 * Stops: `surfaces-few-samples`, and those of the lattice. Cautions and notes: `surfaces-layer-few`, `surfaces-partly`, `surfaces-radius`,
 * `surfaces-far`, `surfaces-no-better` (an error as large as the mean's), `surfaces-better-setting`, `surfaces-high-cv`, `surfaces-scan-cut`,
 * `surfaces-outlier`, `surfaces-outliers-more`, `surfaces-sparse`, `surfaces-outside-hull`, `surfaces-uncovered`. Throws Cancelled.
 * Cost: cells x neighbours x layers, and samples^2 x layers up to `MOST_FOR_ALL` samples.
 */
export async function makeSurfaces(input: SurfacesInput, hooks: RunHooks): Promise<Result<SurfacesOut>> {
  const { soil, ground, settings } = input;
  const grid = makeFieldGrid(ground, settings.cell_m);
  if (!grid.ok) return grid;
  if (soil.kind === 'composites') {
    const made = compositeSurfaces(soil, grid.value, settings);
    return ok(made.value, [...grid.problems, ...made.problems]);
  }
  if (soil.samples.length < LEAST_SAMPLES) return fail(...grid.problems, fewSamples(soil.samples.length));
  await breathe(hooks, 'surfaces', 0, 1);
  const made = await interpolate(soil, grid.value, settings, hooks);
  return ok(made.value, [...grid.problems, ...made.problems]);
}

const fewSamples = (count: number): Problem =>
  stop(
    'surfaces-few-samples',
    `${count === 1 ? 'One sample is' : `${count} samples are`} too few for a surface; it takes ${LEAST_SAMPLES}.`,
    'Add samples, keep rows that were set aside, or give the values on zone polygons.',
  );

/** What the groups add to, in turn. */
interface Made {
  readonly layers: Partial<Record<LayerId, Float64Array>>;
  readonly errors: Partial<Record<MeasuredId, LayerError>>;
  readonly scans: Partial<Record<MeasuredId, ErrorScan>>;
  readonly residuals: Partial<Record<MeasuredId, readonly SampleResidual[]>>;
  readonly methods: Partial<Record<MeasuredId, string>>;
  readonly problems: Problem[];
}

async function interpolate(
  soil: SoilOut,
  grid: FieldGrid,
  settings: SurfacesSettings,
  hooks: RunHooks,
): Promise<{ readonly value: SurfacesOut; readonly problems: readonly Problem[] }> {
  const { samples } = soil;
  const { groups, problems } = groupsOf(samples, settings);
  const { rows, cols } = grid.lattice;
  const common = wayText(settings, samples.length);
  const made: Made = { layers: {}, errors: {}, scans: {}, residuals: {}, methods: {}, problems: [...problems] };
  let nearest_m: Float32Array | null = null;
  const total = groups.reduce((sum, group) => sum + rows + 2 * group.samples.length, 0);
  let before = 0;
  for (const [number, group] of groups.entries()) {
    const job = jobOf(group, grid);
    const start = before;
    const breath = (done: number): Promise<void> => breathe(hooks, 'surfaces', start + done, total);
    await fillCells(job, breath);
    if (number === 0) nearest_m = job.nearest_m;
    await leaveOut(group, job, made, (done) => breath(rows + done));
    await trySettings(group, job, made, (done) => breath(rows + group.samples.length + done));
    for (const id of group.layers) {
      const text = wayText(group.way, group.samples.length);
      if (text !== common) made.methods[id] = text;
    }
    made.problems.push(...radiusProblems(group, job, grid, settings));
    before += rows + 2 * group.samples.length;
  }
  nearest_m ??= new Float32Array(rows * cols).fill(Number.NaN);
  const { layers, errors, scans, residuals, methods } = made;
  const itself = layers.kSat_pct !== undefined;
  const last = (): Promise<void> => breathe(hooks, 'surfaces', total, total);
  for (const step of deriving(layers, soil.factors)) {
    await last();
    step();
  }
  await last();
  const density = densityOf(grid, samples.length, nearest_m);
  await last();
  const far_ac = farAcres(grid, nearest_m, settings.far_m);
  await last();
  const outside = outsideOf(
    grid,
    samples.map((sample) => sample.at),
  );
  const method = itself ? `${common}; K saturation interpolated itself` : common;
  return {
    value: { grid, layers, own: [], errors, scans, residuals, density, nearest_m, far_ac, ...outside, method, methods },
    problems: [
      ...made.problems,
      ...aboutErrors(errors),
      ...scanProblems({ errors, scans }, settings, samples.length),
      ...aboutFar(far_ac, settings),
      ...aboutDensity(density),
      ...aboutOutside(outside.outsideHull_ac),
      ...outlierProblems(residuals),
    ],
  };
}

type Breath = (done: number) => Promise<void>;

async function fillCells(job: IdwJob, breath: Breath): Promise<void> {
  const side = tileSide(job);
  const band = Math.max(1, side) * Math.max(1, Math.round(CELLS_A_BREATH / (job.cols * Math.max(1, side))));
  for (let row = 0; row < job.rows; row += band) {
    await breath(row);
    const end = Math.min(row + band, job.rows);
    blankRows(job, row, end);
    idwRows(job, side, row, end);
  }
}

/** Errors and residuals of the settings in use. */
async function leaveOut(group: Group, job: IdwJob, made: Made, breath: Breath): Promise<void> {
  const { power, neighbours, radius_m } = group.way;
  const n = group.samples.length;
  const others = predictOthers(job.buckets.x, job.buckets.y, job.values, power, neighbours, radius_m);
  const piece = Math.max(1, Math.round(PAIRS_A_BREATH / job.k));
  for (let from = 0; from < n; from += piece) {
    await breath(from);
    others.predict(from, Math.min(from + piece, n));
  }
  for (const [index, layer] of group.layers.entries()) {
    await breath(n);
    const [out, z, predicted] = [job.out[index], job.values[index], others.predicted[index]];
    if (!out || !z || !predicted) continue;
    made.layers[layer] = out;
    const { samples, rmse, mae, meanRmse } = errorOf(z, predicted);
    if (samples > 0) made.errors[layer] = { samples, rmse, mae, meanRmse };
    made.residuals[layer] = residualsOf(group.samples, z, predicted, (from, at) => {
      const [of, to] = [placesOf(job, from), placesOf(job, at)];
      const values = Float64Array.from(from, (i) => z[i] ?? Number.NaN);
      return idwAt(of.x, of.y, values, to.x, to.y, power, neighbours, radius_m);
    });
  }
}

const placesOf = ({ buckets }: IdwJob, samples: readonly number[]) => ({
  x: Float64Array.from(samples, (i) => buckets.x[i] ?? Number.NaN),
  y: Float64Array.from(samples, (i) => buckets.y[i] ?? Number.NaN),
});

/** Errors over other settings, unless the samples are too many for it. */
async function trySettings(group: Group, job: IdwJob, made: Made, breath: Breath): Promise<void> {
  if (group.samples.length > MOST_FOR_SCAN) return;
  const scan = scanLayers(job.buckets.x, job.buckets.y, job.values, group.way.radius_m);
  for (const [from, to] of scan.pieces) {
    await breath(from);
    scan.step(from, to);
  }
  await breath(group.samples.length);
  for (const [index, one] of scan.scans().entries()) {
    const layer = group.layers[index];
    const error = layer && made.errors[layer];
    if (error && one) made.scans[layer] = { ...one, samples: error.samples };
  }
}

function radiusProblems(group: Group, job: IdwJob, grid: FieldGrid, settings: SurfacesSettings): readonly Problem[] {
  const { radius_m } = group.way;
  const [cells] = job.out;
  if (radius_m === null || !cells) return [];
  const [first] = group.layers;
  const own = first && settings.ways[first]?.radius_m !== undefined;
  return aboutRadius(
    acresWhere(grid, (cell) => Number.isNaN(cells[cell])),
    radius_m,
    group.layers.map((layer) => LAYER_NAMES[layer].name),
    own ? `surfaces.ways.${first}.radius_m` : 'surfaces.radius_m',
  );
}

/** Acres of the field whose cells lie farther than `far_m` from their nearest sample. */
const farAcres = (grid: FieldGrid, nearest_m: Float32Array, far_m: number): number =>
  acresWhere(grid, (cell) => (nearest_m[cell] ?? 0) > far_m);

function aboutErrors({ k_ppm: k }: Partial<Record<MeasuredId, LayerError>>): readonly Problem[] {
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
