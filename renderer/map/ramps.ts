import type { LayerId } from '../../core/surfaces/types.ts';
import type { BalanceClass } from '../../core/zones/balance.ts';
import { spread } from '../charts/scales.ts';

/**
 * Class limits and colours of every layer: fixed, so that two years compare; those of a layer the user brought follow its own
 * values. The colours are those of tokens.css (ColorBrewer 2, Brewer, Harrower and Penn State, all marked colour-blind safe;
 * viridis, van der Walt and Smith) and a test holds the two together. Limits are ours.
 */
export interface Ramp {
  /** Prefix of the colours' names in tokens.css: `k` for --k-1 ... --k-8. */
  readonly token: string;
  /** Ascending; a value on a limit belongs to the class above it. */
  readonly limits: readonly number[];
  /** One more than limits. */
  readonly colours: readonly string[];
  /** Colour of what rounds to 0, apart from the classes; null where 0 is a value like any other. */
  readonly zero: string | null;
}

const YLGNBU_8 = ['#ffffd9', '#edf8b1', '#c7e9b4', '#7fcdbb', '#41b6c4', '#1d91c0', '#225ea8', '#0c2c84'];
const BUPU_8 = ['#f7fcfd', '#e0ecf4', '#bfd3e6', '#9ebcda', '#8c96c6', '#8c6bb1', '#88419d', '#6e016b'];
const YLORBR_8 = ['#ffffe5', '#fff7bc', '#fee391', '#fec44f', '#fe9929', '#ec7014', '#cc4c02', '#8c2d04'];
const GREENS_7 = ['#edf8e9', '#c7e9c0', '#a1d99b', '#74c476', '#41ab5d', '#238b45', '#005a32'];
const PUBUGN_7 = ['#f6eff7', '#d0d1e6', '#a6bddb', '#67a9cf', '#3690c0', '#02818a', '#016450'];
const RDPU_7 = ['#feebe2', '#fcc5c0', '#fa9fb5', '#f768a1', '#dd3497', '#ae017e', '#7a0177'];
const GNBU_7 = ['#f0f9e8', '#ccebc5', '#a8ddb5', '#7bccc4', '#4eb3d3', '#2b8cbe', '#08589e'];
const PURPLES_7 = ['#f2f0f7', '#dadaeb', '#bcbddc', '#9e9ac8', '#807dba', '#6a51a3', '#4a1486'];
const VIRIDIS_7 = ['#fde725', '#8fd744', '#35b779', '#21908c', '#31688e', '#443a83', '#440154'];
const PUOR_7 = ['#b35806', '#f1a340', '#fee0b6', '#f7f7f7', '#d8daeb', '#998ec3', '#542788'];
const PAPER = '#FFFFFF';

/** Layers of one element share its ramp: the hue names the element, the unit in the legend the measure. */
export const RAMPS = {
  k_ppm: { token: 'k', limits: [50, 75, 100, 125, 150, 200, 300], colours: YLGNBU_8, zero: null },
  kSat_pct: { token: 'sat', limits: [1, 2, 3, 4, 6, 8, 12], colours: BUPU_8, zero: null },
  cec_meq: { token: 'cec', limits: [5, 8, 12, 16, 20, 30], colours: GREENS_7, zero: null },
  ca_ppm: { token: 'ca', limits: [500, 1000, 1500, 2000, 3000, 4000], colours: PUBUGN_7, zero: null },
  mg_ppm: { token: 'mg', limits: [50, 100, 150, 250, 400, 600], colours: RDPU_7, zero: null },
  caSat_pct: { token: 'ca', limits: [40, 50, 60, 70, 80, 90], colours: PUBUGN_7, zero: null },
  mgSat_pct: { token: 'mg', limits: [5, 10, 15, 20, 25, 30], colours: RDPU_7, zero: null },
  caMgShare_pct: { token: 'camg', limits: [40, 60, 70, 80, 85, 90], colours: GNBU_7, zero: null },
  kMg_ratio: { token: 'kmg', limits: [0.05, 0.1, 0.15, 0.2, 0.3, 0.5], colours: PURPLES_7, zero: null },
  // About neutral, so diverging; the last limit is where carbonates begin to overstate CEC (pH 7.3).
  ph: { token: 'diff', limits: [5, 5.5, 6, 6.5, 7, 7.3], colours: PUOR_7, zero: null },
  na_ppm: { token: 'cec', limits: [10, 25, 50, 100, 200, 400], colours: GREENS_7, zero: null },
  k2oNeed_lbPerAc: { token: 'rate', limits: [50, 100, 200, 300, 400, 500, 600], colours: YLORBR_8, zero: PAPER },
  rate: { token: 'rate', limits: [50, 100, 200, 300, 400, 500, 600], colours: YLORBR_8, zero: PAPER },
} as const satisfies Record<LayerId | 'rate', Ramp>;

/** Opened less planned, lb/ac: symmetric about 0, the middle class within a usual step of the machine. */
export const DIFFERENCE_RAMP: Ramp = {
  token: 'diff',
  limits: [-150, -50, -5, 5, 50, 150],
  colours: PUOR_7,
  zero: null,
};

/** Cells that the limits of a layer of the user's are taken from: more would move them by nothing that is seen. */
const MOST_RANKED = 20_000;

/**
 * The ramp of a layer that the user brought: sevenths of its own ground, so that every colour covers about as much of the
 * field. Limits are rounded to what a legend can say; where that leaves fewer of them, the colours are spread over those.
 */
export function ownRamp(values: Float64Array, ground_m2: ArrayLike<number>): Ramp {
  const known = ownRamps.get(values);
  if (known) return known;
  const cells: number[] = [];
  for (let cell = 0; cell < values.length; cell++)
    if ((ground_m2[cell] ?? 0) > 0 && Number.isFinite(values[cell])) cells.push(values[cell] ?? 0);
  const ranked = Float64Array.from(spread(cells.length, MOST_RANKED), (i) => cells[i] ?? 0).sort();
  const low = ranked[0] ?? 0;
  const high = ranked[ranked.length - 1] ?? 0;
  const digits = Math.max(0, Math.min(6, 2 - Math.floor(Math.log10(Math.max(high - low, 1e-4)))));
  const rounded = VIRIDIS_7.slice(1).map((_, i) => {
    const at = ranked[Math.round(((i + 1) / VIRIDIS_7.length) * (ranked.length - 1))] ?? 0;
    return Number(at.toFixed(digits));
  });
  const limits = [...new Set(rounded)].filter((limit) => limit > low && limit <= high);
  const colours = Array.from({ length: limits.length + 1 }, (_, i) => {
    const at = limits.length === 0 ? 0.5 : i / limits.length;
    return VIRIDIS_7[Math.round(at * (VIRIDIS_7.length - 1))] ?? '';
  });
  const ramp: Ramp = { token: 'own', limits, colours, zero: null };
  ownRamps.set(values, ramp);
  return ramp;
}
const ownRamps = new WeakMap<Float64Array, Ramp>();

/** What is drawn on the ground keeps its light colours in both themes, as the ramps do. */
export const ON_GROUND = {
  setAside: '#98350B',
  both: '#D55E00',
  pounds: '#E69F00',
  share: '#0072B2',
  enough: '#5F666B',
  rich: '#CC79A7',
  out: '#14181A',
} as const;

/** Ground in a balance class: the hue of its mark, pale enough that marks, letters and lines are read on it. */
export const BALANCE_GROUND = {
  both: '#f2b68c',
  pounds: '#f7dc9c',
  share: '#99c7e0',
  enough: '#e4e7e8',
  rich: '#e6bdd2',
  out: '#7a8084',
} as const satisfies Record<BalanceClass, string>;

/** Class of what rounds to 0 on a ramp that sets it apart. */
export const ZERO = -1;
/** Class of a value that is not known. */
export const UNKNOWN = -2;
const ROUNDS_TO_ZERO = 0.5;

/** Index of the value's colour, ZERO or UNKNOWN. */
export function classOf(ramp: Ramp, value: number): number {
  if (!Number.isFinite(value)) return UNKNOWN;
  if (ramp.zero !== null && value < ROUNDS_TO_ZERO) return ZERO;
  let at = 0;
  while (at < ramp.limits.length && value >= (ramp.limits[at] ?? Number.POSITIVE_INFINITY)) at++;
  return at;
}

/** The value's colour; null where it is not known. */
export function colourOf(ramp: Ramp, value: number): string | null {
  const at = classOf(ramp, value);
  return at === UNKNOWN ? null : at === ZERO ? ramp.zero : (ramp.colours[at] ?? null);
}

export interface ClassAreas {
  /** m2 in each class, in the ramp's order. */
  readonly classes: readonly number[];
  readonly zero: number;
  readonly unknown: number;
}

/** Ground in each class: every value weighted with its ground. The sums add up to all of the ground. */
export function classAreas(ramp: Ramp, values: ArrayLike<number>, ground_m2: ArrayLike<number>): ClassAreas {
  const classes = ramp.colours.map(() => 0);
  let zero = 0;
  let unknown = 0;
  for (let i = 0; i < ground_m2.length; i++) {
    const ground = ground_m2[i] ?? 0;
    if (ground === 0) continue;
    const at = classOf(ramp, values[i] ?? Number.NaN);
    if (at === UNKNOWN) unknown += ground;
    else if (at === ZERO) zero += ground;
    else classes[at] = (classes[at] ?? 0) + ground;
  }
  return { classes, zero, unknown };
}
