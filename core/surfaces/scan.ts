import { caution, note, type Problem } from '../base/problem.ts';
import { listed } from './coverage.ts';
import { type SettingError, scanOthers } from './idw.ts';
import type { MeasuredId, SurfacesSettings } from './settings.ts';
import { type ErrorScan, LAYER_NAMES, type LayerError, type SurfacesOut } from './types.ts';
import { neighboursText, wayOf } from './ways.ts';

export const SCAN_POWERS = [1, 1.5, 2, 2.5, 3, 3.5, 4] as const;
/** Neighbour counts tried; 0 is all. */
export const SCAN_NEIGHBOURS = [4, 6, 8, 12, 16, 24] as const;

/** Most samples for which "all samples" is tried: its cost goes with their square. Ours, by measuring. */
export const MOST_FOR_ALL = 2000;
/** Most samples for which settings are tried at all: predictions of every setting are held at once. Ours, by measuring. */
export const MOST_FOR_SCAN = 10_000;
/** Weighed values between two breaths: some milliseconds. */
const WEIGHED_A_BREATH = 2_000_000;

/** A setting is said to be better from this much less RMSE on: less is within what a few samples more or fewer change. Ours. */
const BETTER_BY = 0.05;
/** CV above which a power taken beforehand can be very wrong: Gotway et al., Soil Sci. Soc. Am. J. 60:1237, 1996. */
export const MUCH_CV_PCT = 25;

/** Neighbour counts tried over n samples: those that leave some of the n - 1 others out, and all (up to `MOST_FOR_ALL` samples). */
export const neighboursFor = (samples: number): readonly number[] => [
  ...SCAN_NEIGHBOURS.filter((count) => count < samples - 1),
  ...(samples <= MOST_FOR_ALL ? [0] : []),
];

/**
 * Leave-one-out errors of several layers over the same samples at every pair of `SCAN_POWERS` and `neighboursFor`, within the radius in use:
 * `step` is called with rising pieces until it has had all `samples`, then `scans` answers one per layer, null where no sample could be predicted.
 * `pieces` are sized to take some milliseconds each. Above `MOST_FOR_SCAN` samples there is no scan: `scanProblems` says so.
 *
 * `samples` is how many there are; fewer have a prediction where a radius leaves some alone. `cv_pct` is 100 x SD (n - 1) / mean of the samples; NaN where the mean is not above 0. Cost: see `scanOthers`.
 */
export function scanLayers(
  x: Float64Array,
  y: Float64Array,
  layers: readonly Float64Array[],
  radius_m: number | null,
): {
  readonly pieces: readonly (readonly [number, number])[];
  readonly step: (from: number, to: number) => void;
  readonly scans: () => readonly (ErrorScan | null)[];
} {
  const n = x.length;
  const neighbours = neighboursFor(n);
  const work = scanOthers(x, y, layers, SCAN_POWERS, neighbours, radius_m);
  const perSample = (neighbours.includes(0) ? n : 0) + Math.max(0, ...neighbours);
  const piece = Math.max(1, Math.floor(WEIGHED_A_BREATH / (perSample * SCAN_POWERS.length * layers.length)));
  return {
    pieces: Array.from({ length: Math.ceil(n / piece) }, (_none, at) => [at * piece, Math.min(n, (at + 1) * piece)]),
    step: work.step,
    scans: () => work.errors().map((entries, layer) => scanOf(layers[layer] ?? new Float64Array(0), entries)),
  };
}

function scanOf(z: Float64Array, entries: readonly SettingError[]): ErrorScan | null {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  for (const [index, { rmse }] of entries.entries())
    if (rmse < least) {
      best = index;
      least = rmse;
    }
  return best < 0 ? null : { samples: z.length, ...spreadOf(z), entries, best };
}

/** Mean, and coefficient of variation in %; NaN where the mean is not above 0. */
export function spreadOf(z: Float64Array): { readonly mean: number; readonly sd: number; readonly cv_pct: number } {
  const mean = z.reduce((sum, value) => sum + value, 0) / z.length;
  const sd = Math.sqrt(z.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (z.length - 1));
  return { mean, sd, cv_pct: mean > 0 ? (100 * sd) / mean : Number.NaN };
}

type Errors = Pick<SurfacesOut, 'errors' | 'scans'>;

/** A tried setting that errs clearly less than the one in use. */
interface Better {
  readonly id: MeasuredId;
  readonly best: SettingError;
  readonly inUse: LayerError;
  readonly less_pct: number;
}

function betterThan(id: MeasuredId, scan: ErrorScan, inUse: LayerError): Better | null {
  const best = scan.entries[scan.best];
  if (!best || best.rmse > inUse.rmse * (1 - BETTER_BY)) return null;
  return { id, best, inUse, less_pct: Math.round(100 * (1 - best.rmse / inUse.rmse)) };
}

/**
 * What the errors over settings ask a person to look at.
 *
 * `surfaces-better-setting` (note): layers where a tried setting has an RMSE at least 5 % below the one in use. `surfaces-high-cv`: layers with a CV above
 * 25 %; a caution where one of them has a clearly better setting, else a note that the errors bear the setting out. `surfaces-scan-cut` (note):
 * so many samples that "all" or every setting went untried.
 */
export function scanProblems(
  { errors, scans }: Errors,
  settings: SurfacesSettings,
  samples: number,
): readonly Problem[] {
  const problems: Problem[] = [];
  const varied: MeasuredId[] = [];
  const better: Better[] = [];
  // The keys of `scans` are measured layers.
  for (const [id, scan] of Object.entries(scans) as [MeasuredId, ErrorScan][]) {
    const inUse = errors[id];
    const other = inUse && betterThan(id, scan, inUse);
    if (other) better.push(other);
    if (scan.cv_pct > MUCH_CV_PCT) varied.push(id);
  }
  if (better.length > 0) problems.push(betterSettings(better, settings));
  if (varied.length > 0) {
    const misled = better.some(({ id }) => varied.includes(id));
    problems.push(highCv(varied, scans, misled));
  }
  if (samples > MOST_FOR_ALL) problems.push(scanCut(samples));
  return problems;
}

function betterSettings(found: readonly Better[], settings: SurfacesSettings): Problem {
  const which = listed(found.map(({ id, less_pct }) => `${LAYER_NAMES[id].name} (by ${less_pct} %)`));
  const own = found.every(({ id }) => settings.ways[id]) ? found[0]?.id : undefined;
  return note(
    'surfaces-better-setting',
    `By leave-one-out another power or number of neighbours errs clearly less for ${which}.`,
    'Look at the errors under Surfaces, and take the setting if it suits the field; among settings within a few percent any is as good.',
    { setting: own ? `surfaces.ways.${own}` : 'surfaces.power' },
    found.map((one) => sayBetter(one, settings)).join(' '),
  );
}

function sayBetter({ id, best, inUse }: Better, settings: SurfacesSettings): string {
  const { name, unit, decimals } = LAYER_NAMES[id];
  const way = wayOf(settings, id);
  const error = (value: number): string => `${value.toFixed(decimals + 1)}${unit ? ` ${unit}` : ''}`;
  return `${name}: RMSE ${error(best.rmse)} with power ${best.power} and ${neighboursText(best.neighbours)}, ${error(inUse.rmse)} with power ${way.power} and ${neighboursText(way.neighbours)}.`;
}

function highCv(ids: readonly MeasuredId[], scans: Errors['scans'], misled: boolean): Problem {
  const which = listed(ids.map((id) => `${LAYER_NAMES[id].name} (${Math.round(scans[id]?.cv_pct ?? 0)} %)`));
  const message = `The samples vary by more than ${MUCH_CV_PCT} % about their mean: ${which}. A power of 2 or 4 taken beforehand can be very wrong there.`;
  const sources =
    'Gotway et al. 1996, Soil Sci. Soc. Am. J. 60:1237, on power and CV. Kravchenko and Bullock 1999, Agron. J. 91:393: no rule fixes power or neighbours beforehand.';
  const at = { setting: 'surfaces.power' };
  return misled
    ? caution(
        'surfaces-high-cv',
        message,
        'Go by the leave-one-out errors: one of these has a clearly better setting.',
        at,
        sources,
      )
    : note(
        'surfaces-high-cv',
        message,
        'Nothing to do: by leave-one-out no setting tried is clearly better than the one in use.',
        at,
        sources,
      );
}

const scanCut = (samples: number): Problem =>
  note(
    'surfaces-scan-cut',
    samples > MOST_FOR_SCAN
      ? `With ${samples.toLocaleString('en-US')} samples no other power or number of neighbours was tried (that is done up to ${MOST_FOR_SCAN.toLocaleString('en-US')}).`
      : `With ${samples.toLocaleString('en-US')} samples "all samples" was not among the neighbour counts tried (it is up to ${MOST_FOR_ALL.toLocaleString('en-US')}).`,
    'Nothing to do: the error of the setting in use is worked out all the same.',
  );
