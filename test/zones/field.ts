import { makeFieldGrid } from '../../core/geo/lattice.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import type { SoilOut, SoilSample } from '../../core/soil/types.ts';
import type { LayerId, SurfacesOut } from '../../core/surfaces/types.ts';
import { type ZonesSettings, zonesSettingsSchema } from '../../core/zones/settings.ts';

/** Settings told whole, so that tests do not hang on the defaults. */
export const settingsOf = (changes: Partial<ZonesSettings> = {}): ZonesSettings =>
  zonesSettingsSchema.parse({
    by: { layer: 'k2oNeed_lbPerAc', breaks: [1, 100, 200, 300] },
    apart: [],
    least_ac: 2,
    ...changes,
  });

/** Surfaces whose layers are told by cell: u and v run from 0 to 1 across the lattice, east and north. */
export function surfacesOf(
  ground: MultiPolygon,
  cell_m: number,
  layers: Partial<Record<LayerId, (u: number, v: number) => number>>,
): SurfacesOut {
  const made = makeFieldGrid(ground, cell_m);
  if (!made.ok) throw new Error(made.problems[0]?.message);
  const { cols, rows } = made.value.lattice;
  const filled = Object.entries(layers).map(([id, value]) => [
    id,
    Float64Array.from({ length: cols * rows }, (_, cell) => {
      const col = cell % cols;
      const onGround = (made.value.cover_m2[cell] ?? 0) > 0;
      return onGround ? value((col + 0.5) / cols, ((cell - col) / cols + 0.5) / rows) : Number.NaN;
    }),
  ]);
  return {
    grid: made.value,
    layers: Object.fromEntries(filled),
    own: [],
    errors: {},
    scans: {},
    residuals: {},
    density: { samples: 0, acresPerSample: Number.NaN, farthest: null },
    outsideHull: new Uint8Array(cols * rows),
    outsideHull_ac: 0,
    methods: {},
    nearest_m: new Float32Array(cols * rows),
    far_ac: 0,
    method: 'told',
  };
}

/** A sample with nothing measured but its place. */
export const sampleAt = (id: string, at: readonly [number, number], polygons?: MultiPolygon): SoilSample => ({
  id,
  file: 'lab.csv',
  row: 2,
  at,
  ...(polygons ? { polygons } : {}),
  k_ppm: Number.NaN,
  ca_ppm: Number.NaN,
  mg_ppm: Number.NaN,
  na_ppm: Number.NaN,
  ph: Number.NaN,
  bufferPh: Number.NaN,
  organicMatter_pct: Number.NaN,
  cec_meq: Number.NaN,
  cecFrom: 'none',
  h_meq: Number.NaN,
  saturation: { k_pct: Number.NaN, ca_pct: Number.NaN, mg_pct: Number.NaN, na_pct: Number.NaN, h_pct: Number.NaN },
  depth_in: 6,
  year: null,
});

export const soilOf = (samples: readonly SoilSample[]): SoilOut => ({
  samples,
  rows: [],
  pointRows: [],
  columns: [],
  factors: 'exact',
  kind: samples.some(({ polygons }) => polygons) ? 'composites' : 'points',
  read: samples.length,
  kept: samples.length,
  setAside: 0,
  series: [],
  differences: [],
  nearMisses: [],
  extractant: 'not told',
  reading: [],
});

/** Floors and range of the plan as it begins: common practice, no source. */
export const TARGETS = { floor_ppm: 150, floor_pct: 4, rangeTop_pct: 8, farAbove_pct: 12 } as const;
