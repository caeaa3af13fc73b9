import type { RunHooks } from '../../core/base/hooks.ts';
import type { Problem, Result } from '../../core/base/problem.ts';
import { localFrame, toLngLat } from '../../core/geo/frame.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import type { SoilOut, SoilSample } from '../../core/soil/types.ts';
import { makeSurfaces } from '../../core/surfaces/make.ts';
import { surfacesSettingsSchema } from '../../core/surfaces/settings.ts';
import type { LayerId, SurfacesOut } from '../../core/surfaces/types.ts';
import { deepFreeze } from '../freeze.ts';
import { seeded } from './oracle.ts';

/** The frame of the ground below: its box has this place as its middle. */
export const FRAME = localFrame([-94.235, 42.704]);
/** A place so many metres east and north of the field's middle. */
export const place = (x_m: number, y_m: number): LngLat => toLngLat(FRAME, [x_m, y_m]);
export const rectangle = (west_m: number, south_m: number, east_m: number, north_m: number): MultiPolygon => [
  [
    [
      place(west_m, south_m),
      place(east_m, south_m),
      place(east_m, north_m),
      place(west_m, north_m),
      place(west_m, south_m),
    ],
  ],
];
/** 400 m x 300 m, 29.65 ac. */
export const GROUND = deepFreeze(rectangle(-200, -150, 200, 150));

/** A sample with usual values, but for those told. */
export function sample(row: number, at: LngLat, values: Partial<SoilSample> = {}): SoilSample {
  return {
    id: String(row),
    file: 'lab.csv',
    row,
    at,
    k_ppm: 120,
    ca_ppm: 1200,
    mg_ppm: 180,
    na_ppm: Number.NaN,
    ph: 6.5,
    bufferPh: 6.8,
    organicMatter_pct: 3,
    cec_meq: 10,
    cecFrom: 'lab',
    h_meq: 2,
    saturation: { k_pct: 3, ca_pct: 60, mg_pct: 15, na_pct: Number.NaN, h_pct: 20 },
    depth_in: 6,
    year: null,
    ...values,
  };
}
export const soilOf = (samples: readonly SoilSample[], more: Partial<SoilOut> = {}): SoilOut =>
  deepFreeze({
    samples,
    rows: [],
    pointRows: [],
    columns: [],
    kind: 'points',
    factors: 'exact',
    read: samples.length,
    kept: samples.length,
    setAside: 0,
    series: [],
    differences: [],
    nearMisses: [],
    extractant: 'not told',
    reading: [],
    ...more,
  });
const random = seeded(7);
/** 20 samples on an uneven 80 m grid, without a pattern in their values. */
export const SAMPLES = deepFreeze(
  Array.from({ length: 20 }, (_none, n) =>
    sample(n + 2, place(-160 + (n % 5) * 80 + random() * 20, -120 + Math.floor(n / 5) * 80 + random() * 20), {
      k_ppm: 80 + random() * 120,
      ca_ppm: 800 + random() * 900,
      mg_ppm: 90 + random() * 150,
      cec_meq: 7 + random() * 8,
      ph: 5.8 + random(),
    }),
  ),
);
export const run = (soil: SoilOut, settings: object = {}, hooks: RunHooks = {}): Promise<Result<SurfacesOut>> =>
  makeSurfaces({ soil, ground: GROUND, settings: deepFreeze(surfacesSettingsSchema.parse(settings)) }, hooks);
export const good = async (
  result: Promise<Result<SurfacesOut>>,
): Promise<SurfacesOut & { problems: readonly Problem[] }> => {
  const made = await result;
  if (!made.ok) throw new Error(made.problems.map((one) => one.message).join('\n'));
  return { ...made.value, problems: made.problems };
};
export const layer = (out: SurfacesOut, id: LayerId): Float64Array => {
  const cells = out.layers[id];
  if (!cells) throw new Error(`no layer ${id}`);
  return cells;
};
