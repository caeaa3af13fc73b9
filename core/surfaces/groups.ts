import { caution, note, type Problem } from '../base/problem.ts';
import type { FieldGrid } from '../geo/types.ts';
import type { SoilSample } from '../soil/types.ts';
import { makeBuckets } from './buckets.kernel.ts';
import { gridPlace, localPlaces } from './coverage.ts';
import type { IdwJob } from './idw.ts';
import { MEASURED, measuredIds } from './measured.ts';
import type { MeasuredId, SurfacesSettings } from './settings.ts';
import { LAYER_NAMES } from './types.ts';
import { type Way, wayOf } from './ways.ts';

/** Fewest samples that a surface is made from. */
export const LEAST_SAMPLES = 3;

/** Layers over the same samples and made the same way: one search serves them all. */
export interface Group {
  readonly layers: MeasuredId[];
  readonly samples: readonly SoilSample[];
  readonly way: Way;
}

/**
 * The measured layers, each with the samples that have it, grouped. K comes first.
 * Problems: `surfaces-layer-few` (no layer from fewer than 3 samples), `surfaces-partly` (some samples lack it).
 */
export function groupsOf(
  samples: readonly SoilSample[],
  settings: SurfacesSettings,
): { readonly groups: readonly Group[]; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const groups = new Map<string, Group>();
  for (const layer of measuredIds(settings)) {
    const at = samples.flatMap((sample, index) => (Number.isFinite(MEASURED[layer](sample)) ? [index] : []));
    const having = samples.filter((sample) => Number.isFinite(MEASURED[layer](sample)));
    // What the soil test never had is not missed, unless the plan asks for it by name.
    if (having.length === 0 && layer !== 'kSat_pct') continue;
    if (having.length < LEAST_SAMPLES) {
      problems.push(tooFew(layer, having.length, samples.length));
      continue;
    }
    if (having.length < samples.length) problems.push(partly(layer, samples));
    const way = wayOf(settings, layer);
    const key = JSON.stringify([way, at]);
    const group = groups.get(key);
    if (group) group.layers.push(layer);
    else groups.set(key, { layers: [layer], samples: having, way });
  }
  return { groups: [...groups.values()], problems };
}

function tooFew(layer: MeasuredId, having: number, all: number): Problem {
  const { name } = LAYER_NAMES[layer];
  return caution(
    'surfaces-layer-few',
    `${name} was measured at ${having} of ${all} samples: too few for a surface.`,
    layer === 'kSat_pct'
      ? 'It is worked out from K and CEC instead, where both are there; add the missing values to interpolate it itself.'
      : 'Nothing is shown for it; add the missing values to have it.',
    layer === 'kSat_pct' ? { setting: 'surfaces.saturation' } : undefined,
  );
}

function partly(layer: MeasuredId, samples: readonly SoilSample[]): Problem {
  const without = samples.filter((sample) => !Number.isFinite(MEASURED[layer](sample))).map((sample) => sample.id);
  return note(
    'surfaces-partly',
    `${LAYER_NAMES[layer].name} is missing at ${without.length} of ${samples.length} samples; its surface comes from the others.`,
    'Add the missing values if the ground about them matters.',
    undefined,
    `Without it: ${without.join(', ')}.`,
  );
}

/** Cells to work out: as many as an `IdwJob` has, of which those above 0 in `wanted`. */
interface Cells {
  readonly cols: number;
  readonly rows: number;
  readonly wanted: Float64Array;
}

/** The group's values over the cells of a grid, still to be blanked and worked out; `cells` are the grid's own unless others are handed in. */
export function jobOf(
  group: Group,
  grid: FieldGrid,
  { cols, rows, wanted }: Cells = { ...grid.lattice, wanted: grid.cover_m2 },
): IdwJob {
  const { samples, way } = group;
  const { x, y } = localPlaces(
    grid,
    samples.map((sample) => sample.at),
  );
  const n = samples.length;
  return {
    buckets: makeBuckets(x, y),
    values: group.layers.map((layer) => Float64Array.from(samples, MEASURED[layer])),
    power: way.power,
    k: way.neighbours === 0 ? n : Math.min(way.neighbours, n),
    radius_m: way.radius_m,
    ...gridPlace(grid),
    cols,
    rows,
    wanted,
    out: group.layers.map(() => new Float64Array(cols * rows)),
    nearest_m: new Float32Array(cols * rows),
  };
}

/** Sets rows that are about to be worked out to NaN, which cells off the ground keep. In pieces: all of a large grid at once is a long breath. */
export function blankRows({ out, nearest_m, cols }: IdwJob, rowFrom: number, rowTo: number): void {
  for (const column of [...out, nearest_m]) column.fill(Number.NaN, rowFrom * cols, rowTo * cols);
}
