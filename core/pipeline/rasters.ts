import { breathe, type RunHooks } from '../base/hooks.ts';
import { caution, ok, type Problem, type Result } from '../base/problem.ts';
import { readRaster } from '../formats/geotiff-read.ts';
import type { Bounds } from '../geo/bounds.ts';
import type { FieldGrid, Lattice } from '../geo/types.ts';
import { ontoLattice } from '../layers/onto-lattice.ts';
import type { OwnRaster } from '../plan/schema.ts';
import type { OwnLayer, SurfacesOut } from '../surfaces/types.ts';
import type { RunRequest } from './types.ts';

/**
 * The surfaces with the plan's own rasters beside the measured layers, as `own.<id>` in the plan's order. A raster that cannot be
 * read, or has no value on the field, is told as a caution and left out; nothing else is lost by it.
 * Problems: those of readRaster as cautions; `raster-missing`, `raster-twice`, `raster-empty`, note-like caution `raster-partly`.
 */
export async function withRasters(
  made: Result<SurfacesOut>,
  request: RunRequest,
  hooks: RunHooks,
): Promise<Result<SurfacesOut>> {
  const { rasters } = request.plan;
  if (!made.ok || rasters.length === 0) return made;
  const surfaces = made.value;
  const own: OwnLayer[] = [];
  const problems: Problem[] = [];
  for (const [number, raster] of rasters.entries()) {
    await breathe(hooks, 'surfaces', number, rasters.length);
    const twice = own.some((layer) => layer.id === `own.${raster.id}`);
    const read = twice
      ? { layer: null, problems: [twiceNamed(raster)] }
      : await layerOf(raster, surfaces.grid, request);
    if (read.layer) own.push(read.layer);
    problems.push(...read.problems);
  }
  return ok({ ...surfaces, own: [...surfaces.own, ...own] }, [...made.problems, ...problems]);
}

interface Read {
  readonly layer: OwnLayer | null;
  readonly problems: readonly Problem[];
}

async function layerOf(raster: OwnRaster, grid: FieldGrid, request: RunRequest): Promise<Read> {
  const entry = request.plan.inputs.find((input) => input.path === raster.file);
  const bytes = request.inputs.get(raster.file);
  if (!entry || !bytes) return { layer: null, problems: [missing(raster)] };
  const read = await readRaster(
    { name: entry.name, bytes },
    { band: raster.band, crs: raster.crs, window: boundsOf(grid.lattice), fill: raster.fill },
  );
  const told = read.problems.map((problem) => asCaution(problem, raster));
  if (!read.ok) return { layer: null, problems: told };
  const { values, known_ac, how } = ontoLattice(read.value, grid);
  if (known_ac === 0) return { layer: null, problems: [...told, empty(raster, entry.name)] };
  const partly = partlyKnown(raster, entry.name, values, grid);
  return {
    layer: {
      id: `own.${raster.id}`,
      name: raster.name,
      unit: raster.unit === '' ? read.value.unit.slice(0, 20) : raster.unit,
      decimals: decimalsFor(values),
      values,
      known_ac,
      reading: [...read.value.reading, HOW_WORDS[how]],
    },
    problems: partly ? [...told, partly] : told,
  };
}

const HOW_WORDS = {
  mean: 'each cell has the mean of the pixels whose centres lie in it',
  bilinear: 'each cell has the value between the pixels about its centre',
} as const;

const boundsOf = ({ west_deg, south_deg, dLng_deg, dLat_deg, cols, rows }: Lattice): Bounds => ({
  west: west_deg,
  south: south_deg,
  east: west_deg + cols * dLng_deg,
  north: south_deg + rows * dLat_deg,
});

/** Decimals that tell a hundredth of the layer's spread: 0 from 100 on, and one more for each tenth of it, 6 at most. */
export function decimalsFor(values: Float64Array): number {
  let min = Infinity;
  let max = -Infinity;
  for (const value of values) {
    if (value < min) min = value;
    if (value > max) max = value;
  }
  const spread = max - min;
  if (!(spread > 0)) return 1;
  return Math.min(6, Math.max(0, Math.ceil(2 - Math.log10(spread) - 1e-9)));
}

const setting = (raster: OwnRaster) => `rasters.${raster.id}`;

/** A stop of one raster is none of the surfaces. */
const asCaution = (problem: Problem, raster: OwnRaster): Problem => ({
  ...problem,
  severity: problem.severity === 'stop' ? 'caution' : problem.severity,
  stage: 'surfaces',
  at: { ...problem.at, setting: problem.code === 'tif-fill' ? `${setting(raster)}.fill` : setting(raster) },
  message: problem.severity === 'stop' ? `${problem.message} The layer "${raster.name}" is left out.` : problem.message,
});

const missing = (raster: OwnRaster): Problem =>
  caution(
    'raster-missing',
    `The file of the layer "${raster.name}" is not among the plan’s inputs, so the layer is left out.`,
    'Take the raster in again, or take the layer out of the plan.',
    { file: raster.file, setting: setting(raster) },
  );

const twiceNamed = (raster: OwnRaster): Problem =>
  caution(
    'raster-twice',
    `Two layers have the id "${raster.id}"; the second, "${raster.name}", is left out.`,
    'Give each raster an id of its own.',
    { file: raster.file, setting: setting(raster) },
  );

const empty = (raster: OwnRaster, file: string): Problem =>
  caution(
    'raster-empty',
    `${file} has no value anywhere on the field, so the layer "${raster.name}" is left out.`,
    'Check its band, its no-data value and its coordinate system.',
    { file, setting: setting(raster) },
  );

/** Said from a hundredth of the field on. */
function partlyKnown(raster: OwnRaster, file: string, values: Float64Array, grid: FieldGrid): Problem | null {
  let known_m2 = 0;
  let ground_m2 = 0;
  grid.cover_m2.forEach((area_m2, cell) => {
    ground_m2 += area_m2;
    if (!Number.isNaN(values[cell])) known_m2 += area_m2;
  });
  const without = 1 - known_m2 / ground_m2;
  return without < 0.01
    ? null
    : caution(
        'raster-partly',
        `${file} has no value on ${Math.round(100 * without)} % of the field, so "${raster.name}" is not known there.`,
        'Nothing to do, unless zones or a comparison need that ground.',
        { file, setting: setting(raster) },
      );
}
