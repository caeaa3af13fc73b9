import { LISTED_PROBLEMS, note, type Problem } from '../base/problem.ts';
import type { SoilSample } from '../soil/types.ts';
import { spreadOf } from './scan.ts';
import type { MeasuredId } from './settings.ts';
import { LAYER_NAMES, type SampleResidual } from './types.ts';

/** Fewest residuals that an outlier can be told from. Ours. */
export const LEAST_RESIDUALS = 8;
/** Modified z-score from which a value is an outlier: Iglewicz and Hoaglin, How to Detect and Handle Outliers, ASQC 1993. */
const OUTLIER_Z = 3.5;
/** Median absolute deviation to standard deviation, for a normal spread; their 0.6745 is its inverse. */
const SD_PER_MAD = 1.4826;
/** An outlier's residual is also above this share of the samples' standard deviation, so that an even field raises none. Ours. */
const SD_SHARE = 0.5;

/** Values that some samples, by their indices, give at the places of others. */
export type PredictFrom = (from: readonly number[], at: readonly number[]) => Float64Array;

/**
 * What leave-one-out left at each sample, in the samples' order.
 *
 * residual = measured - predicted; robustZ = (residual - median) / (1.4826 x median |residual - median|), 0 where that is 0. A sample is far off
 * where |robustZ| > 3.5 and |residual| > half the standard deviation of the measured values, with at least 8 samples predicted. One such sample
 * throws the predictions of those about it off as well, so each is looked at a second time: `outlier` where it is far off too when predicted from
 * those that were not (`predictFrom`, with the same median and scale; ours). A sample without a prediction (none in the radius) has NaN
 * for `predicted` and `robustZ`, and is no outlier.
 */
export function residualsOf(
  samples: readonly SoilSample[],
  measured: Float64Array,
  predicted: Float64Array,
  predictFrom: PredictFrom,
): readonly SampleResidual[] {
  const off = measured.map((value, i) => value - (predicted[i] ?? Number.NaN));
  const known = off.filter(Number.isFinite);
  const middle = median(known);
  const scale = SD_PER_MAD * median(known.map((value) => Math.abs(value - middle)));
  const least = SD_SHARE * spreadOf(measured).sd;
  const zOf = (residual: number): number =>
    Number.isNaN(residual) ? Number.NaN : scale > 0 ? (residual - middle) / scale : 0;
  const farOff = (residual: number): boolean =>
    known.length >= LEAST_RESIDUALS && Math.abs(zOf(residual)) > OUTLIER_Z && Math.abs(residual) > least;
  const first = samples.map((_none, i) => farOff(off[i] ?? Number.NaN));
  const at = [...first.keys()].filter((i) => first[i]);
  const from = [...first.keys()].filter((i) => !first[i]);
  const again = at.length > 0 ? predictFrom(from, at) : new Float64Array(0);
  const outliers = new Set(
    at.filter((i, number) => {
      const value = again[number] ?? Number.NaN;
      return Number.isNaN(value) || farOff((measured[i] ?? Number.NaN) - value);
    }),
  );
  return samples.map(({ id, file, row }, i) => ({
    id,
    file,
    row,
    measured: measured[i] ?? Number.NaN,
    predicted: predicted[i] ?? Number.NaN,
    robustZ: zOf(off[i] ?? Number.NaN),
    outlier: outliers.has(i),
  }));
}

/** Middle value, or halfway between the two middle ones; NaN of none. */
function median(values: Float64Array): number {
  const sorted = values.slice().sort();
  const half = sorted.length >> 1;
  const upper = sorted[half] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? Number.NaN) + upper) / 2;
}

/**
 * `surfaces-outlier`, one note a sample with all its outlying values, the farthest off first; 50 at most, then `surfaces-outliers-more` with
 * how many are left.
 */
export function outlierProblems(
  residuals: Readonly<Partial<Record<MeasuredId, readonly SampleResidual[]>>>,
): readonly Problem[] {
  const found = new Map<string, { readonly one: SampleResidual; readonly says: string[]; worst: number }>();
  // The keys of `residuals` are measured layers.
  for (const [id, of] of Object.entries(residuals) as [MeasuredId, readonly SampleResidual[]][])
    for (const one of of) {
      if (!one.outlier) continue;
      const key = JSON.stringify([one.file, one.row]);
      const sample = found.get(key) ?? { one, says: [], worst: 0 };
      sample.says.push(sayResidual(id, one));
      sample.worst = Math.max(sample.worst, Math.abs(one.robustZ));
      found.set(key, sample);
    }
  const ordered = [...found.values()].sort((a, b) => b.worst - a.worst);
  const more = ordered.length - LISTED_PROBLEMS;
  return [
    ...ordered
      .slice(0, LISTED_PROBLEMS)
      .map(({ one, says }) =>
        note(
          'surfaces-outlier',
          `Sample ${one.id} is not what its neighbours say: ${says.join('; ')}.`,
          'Look whether samples were mixed up in the field or at the lab; keep it if the place is truly different, or set it aside with the reason.',
          { file: one.file, row: one.row },
          `Leave-one-out residual over ${OUTLIER_Z} robust standard deviations (Iglewicz and Hoaglin 1993) and over half the standard deviation of the samples, also without the other samples that are so.`,
        ),
      ),
    ...(more > 0
      ? [
          note(
            'surfaces-outliers-more',
            `${more} more samples are not what their neighbours say.`,
            'Look at them among the residuals under Surfaces.',
          ),
        ]
      : []),
  ];
}

function sayResidual(id: MeasuredId, { measured, predicted }: SampleResidual): string {
  const { name, unit, decimals } = LAYER_NAMES[id];
  return `${name} ${measured.toFixed(decimals)}${unit ? ` ${unit}` : ''}, the others give ${predicted.toFixed(decimals)}`;
}
