import { makeRates, type RatesInput } from '../../core/rates/make.ts';
import { type RatesSettings, ratesSettingsSchema } from '../../core/rates/settings.ts';
import type { RatesOut, ZoneRate } from '../../core/rates/types.ts';
import { type GroundHistory, type GroundSettings, groundSettingsSchema } from '../../core/soil/history.ts';
import { type SoilSettings, soilSettingsSchema } from '../../core/soil/settings.ts';
import type { LayerId, SurfacesOut } from '../../core/surfaces/types.ts';
import type { Zone, ZoneStat, ZonesOut } from '../../core/zones/types.ts';

/** One zone of even ground, or of the cells told. */
export interface GroundSpec {
  readonly k_ppm: number;
  readonly cec_meq?: number;
  readonly ph?: number;
  readonly acres?: number;
  readonly far_ac?: number;
  readonly key?: string;
  readonly role?: Zone['role'];
  /** Values of single cells, sharing the acres evenly; the zone's stats are then theirs. */
  readonly cells?: readonly { readonly k_ppm: number; readonly cec_meq: number }[];
}

const M2_PER_ACRE = 4046.8564224;
const CORN = { crop: 'corn', yieldGoal: 200, governsTold: true } as const;

export const corn = (changes: Partial<RatesSettings> = {}): RatesSettings =>
  ratesSettingsSchema.parse({ ...CORN, ...changes });
export const soilPlan = (changes: Partial<SoilSettings> = {}): SoilSettings => soilSettingsSchema.parse(changes);

/** What else is told of the ground: its history, own layers, years of the tests. */
export interface GroundOptions {
  readonly ground?: GroundSettings;
  readonly own?: SurfacesOut['own'];
  readonly years?: readonly (number | null)[];
  /** What the K was converted to. */
  readonly kExtractant?: SoilSettings['extractant'];
}

/** History of the whole field, and of drawn areas in it. */
export const told = (history: Partial<GroundHistory>, areas: GroundSettings['areas'] = []): GroundSettings =>
  groundSettingsSchema.parse({ history, areas });

/** Zones and surfaces over a one-row lattice, frozen as far as typed arrays can be. */
export function groundOf(
  specs: readonly GroundSpec[],
  soil: SoilSettings,
  rates: RatesSettings,
  depths_in: readonly number[] = [],
  options: GroundOptions = {},
): RatesInput {
  const cellsOf = (spec: GroundSpec) => spec.cells ?? [{ k_ppm: spec.k_ppm, cec_meq: spec.cec_meq ?? Number.NaN }];
  const cells = specs.flatMap((spec, index) => {
    const all = cellsOf(spec);
    return all.map((cell) => ({
      ...cell,
      label: index + 1,
      ph: spec.ph ?? 6.5,
      acres: (spec.acres ?? 10) / all.length,
    }));
  });
  const column = (pick: (cell: (typeof cells)[number]) => number) => Float64Array.from(cells, pick);
  const surfaces: SurfacesOut = {
    grid: {
      lattice: { west_deg: -94, south_deg: 42, dLng_deg: 1e-4, dLat_deg: 1e-4, cols: cells.length, rows: 1 },
      frame: { lng0_deg: -94, lat0_deg: 42, mPerDegLng: 82_800, mPerDegLat: 111_060 },
      cell_m: 10,
      cover_m2: column((cell) => cell.acres * M2_PER_ACRE),
    },
    layers: { k_ppm: column((c) => c.k_ppm), cec_meq: column((c) => c.cec_meq), ph: column((c) => c.ph) },
    own: options.own ?? [],
    errors: {},
    scans: {},
    residuals: {},
    density: { samples: specs.length, acresPerSample: 10, farthest: null },
    nearest_m: new Float32Array(cells.length),
    far_ac: 0,
    outsideHull: new Uint8Array(cells.length),
    outsideHull_ac: 0,
    method: 'told',
    methods: {},
  };
  const zones: ZonesOut = {
    labels: Int16Array.from(cells, (cell) => cell.label),
    zones: specs.map((spec, index) => zoneOf(spec, index, cellsOf(spec))),
    sieved_ac: 0,
    opened_ac: 0,
    polygonColumns: [],
    breaks: null,
    explained: {},
    balance: null,
    spreadable_ac: specs.reduce((all, spec) => all + (spec.acres ?? 10), 0),
  };
  const read = [
    ...depths_in.map((depth_in) => ({ depth_in, year: null })),
    ...(options.years ?? []).map((year) => ({ depth_in: Number.NaN, year })),
  ];
  const samples = {
    samples: read,
    extractant: options.kExtractant ?? soil.extractant,
  } as unknown as RatesInput['samples']; // of a sample depth and year are all that is read
  return deepFreeze({ zones, surfaces, samples, soil, rates, ground: options.ground ?? told({}) });
}

function zoneOf(spec: GroundSpec, index: number, cells: readonly { k_ppm: number; cec_meq: number }[]): Zone {
  const acres = spec.acres ?? 10;
  const stats: Partial<Record<LayerId, ZoneStat>> = {};
  const put = (layer: LayerId, values: readonly number[]) => {
    if (values.some((value) => !Number.isNaN(value))) stats[layer] = statOf(values, acres);
  };
  put(
    'k_ppm',
    cells.map((cell) => cell.k_ppm),
  );
  put(
    'cec_meq',
    cells.map((cell) => cell.cec_meq),
  );
  put('ph', [spec.ph ?? 6.5]);
  const letter = String.fromCharCode(65 + index);
  return {
    key: spec.key ?? `${index + 1}`,
    letter,
    name: '',
    what: '',
    label: index + 1,
    acres,
    polygons: [],
    spot: [-94, 42],
    otherSpots: [],
    samples: 4,
    far_ac: spec.far_ac ?? 0,
    share: 1,
    role: spec.role ?? 'spread',
    stats,
  };
}

function statOf(values: readonly number[], known_ac: number): ZoneStat {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
  const mean = values.reduce((all, one) => all + one, 0) / values.length;
  return { mean, median: at(0.5), p20: at(0.2), sd: 0, cv_pct: 0, min: at(0), max: at(0.999), known_ac };
}

export function deepFreeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null && !ArrayBuffer.isView(value) && !Object.isFrozen(value)) {
    Object.freeze(value);
    for (const inner of Object.values(value)) deepFreeze(inner);
  }
  return value;
}

export const ratesOf = (
  specs: readonly GroundSpec[],
  rates: RatesSettings = corn(),
  soil: SoilSettings = soilPlan(),
  options: GroundOptions = {},
): RatesOut => makeRates(groundOf(specs, soil, rates, [], options));

/** The one zone of some ground. */
export function zoneRate(
  spec: GroundSpec,
  rates: RatesSettings = corn(),
  soil: SoilSettings = soilPlan(),
  options: GroundOptions = {},
): ZoneRate {
  const zone = ratesOf([spec], rates, soil, options).zones[0];
  if (!zone) throw new Error('no zone came out');
  return zone;
}

export function lineOf(zone: ZoneRate, key: ZoneRate['lines'][number]['key']): ZoneRate['lines'][number] {
  const line = zone.lines.find((one) => one.key === key);
  if (!line) throw new Error(`no line ${key}`);
  return line;
}

export const codes = (zone: ZoneRate): readonly string[] => zone.problems.map((problem) => problem.code);

/** What the whole plan gives to mind, but for the comparison over the years, which has tests of its own. */
export const ofThePlan = (out: RatesOut): RatesOut['problems'] =>
  out.problems.filter((problem) => problem.code !== 'rates-spending-unspent');
