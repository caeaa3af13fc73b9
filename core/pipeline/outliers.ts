import { note, ok, type Problem, type Result } from '../base/problem.ts';
import type { SoilOut, SoilSample } from '../soil/types.ts';
import { outlierProblems } from '../surfaces/residuals.ts';
import type { MeasuredId } from '../surfaces/settings.ts';
import { LAYER_NAMES, type SampleResidual, type SurfacesOut } from '../surfaces/types.ts';

/** Samples beside each other that make a patch. Ours. */
const LEAST_GROUP = 3;
/** Samples are neighbours up to so many times the usual distance to the nearest one. Ours. */
const BESIDE = 1.6;
/** Samples that a sentence names. */
const NAMED = 6;
const METRES_PER_DEGREE = 111_320;

/**
 * The surfaces with their outliers as a person should read them. A value that a rule put in the place of a limit (`SoilSample.byRule`) is no
 * outlier, since nobody measured it. Three and more outliers of one quantity that lie beside each other, all above or all below what the
 * others say, are a patch of the field rather than slips: they stay marked and are said once (`surfaces-outlier-group`). Ours.
 * Cost: outliers squared, and samples squared once for their distances.
 */
export function readableOutliers(made: Result<SurfacesOut>, soil: SoilOut): Result<SurfacesOut> {
  if (!made.ok || !made.problems.some(isOutlier)) return made;
  const samples = new Map(soil.samples.map((sample) => [keyOf(sample), sample]));
  const beside_m = BESIDE * usualDistance_m(soil.samples);
  const residuals: Partial<Record<MeasuredId, readonly SampleResidual[]>> = {};
  const single: Partial<Record<MeasuredId, readonly SampleResidual[]>> = {};
  const groups: Problem[] = [];
  // The keys of `residuals` are measured layers.
  for (const [id, all] of Object.entries(made.value.residuals) as [MeasuredId, readonly SampleResidual[]][]) {
    const judged = all.map((one) =>
      one.outlier && isRuled(samples.get(keyOf(one)), id) ? { ...one, outlier: false } : one,
    );
    residuals[id] = judged;
    const patches = patchesOf(judged, samples, beside_m);
    groups.push(...patches.map((patch) => groupNote(id, patch)));
    const grouped = new Set(patches.flat());
    single[id] = judged.map((one) => (grouped.has(one) ? { ...one, outlier: false } : one));
  }
  const first = made.problems.findIndex(isOutlier);
  const problems = made.problems.filter((problem) => !isOutlier(problem));
  problems.splice(first, 0, ...outlierProblems(single), ...groups);
  return ok({ ...made.value, residuals }, problems);
}

const isOutlier = ({ code }: Problem): boolean => code === 'surfaces-outlier' || code === 'surfaces-outliers-more';
const keyOf = ({ file, row }: { readonly file: string; readonly row: number }): string => `${row} ${file}`;

/** A share of K is by a rule where its K or its CEC is. */
function isRuled(sample: SoilSample | undefined, id: MeasuredId): boolean {
  const byRule = sample?.byRule ?? [];
  return byRule.some((value) => value === id || (id === 'kSat_pct' && (value === 'k_ppm' || value === 'cec_meq')));
}

function distance_m(a: SoilSample, b: SoilSample): number {
  const east = (a.at[0] - b.at[0]) * Math.cos((a.at[1] * Math.PI) / 180);
  return METRES_PER_DEGREE * Math.hypot(east, a.at[1] - b.at[1]);
}

/** Middle of the distances to the nearest sample, of four hundred samples at most. */
function usualDistance_m(samples: readonly SoilSample[]): number {
  const step = Math.max(1, Math.ceil(samples.length / 400));
  const nearest = samples.flatMap((one, index) => {
    if (index % step !== 0) return [];
    let least = Number.POSITIVE_INFINITY;
    for (const other of samples) if (other !== one) least = Math.min(least, distance_m(one, other));
    return [least];
  });
  return nearest.sort((a, b) => a - b)[nearest.length >> 1] ?? 0;
}

/** Outliers on one side that hang together from neighbour to neighbour. */
function patchesOf(
  residuals: readonly SampleResidual[],
  samples: ReadonlyMap<string, SoilSample>,
  beside_m: number,
): readonly (readonly SampleResidual[])[] {
  const open = new Set(residuals.filter((one) => one.outlier));
  const patches: SampleResidual[][] = [];
  for (const start of open) {
    const patch = [start];
    open.delete(start);
    for (const one of patch)
      for (const other of open) {
        const [a, b] = [samples.get(keyOf(one)), samples.get(keyOf(other))];
        if (!a || !b || one.robustZ > 0 !== other.robustZ > 0 || distance_m(a, b) > beside_m) continue;
        patch.push(other);
        open.delete(other);
      }
    if (patch.length >= LEAST_GROUP) patches.push(patch);
  }
  return patches;
}

function groupNote(id: MeasuredId, patch: readonly SampleResidual[]): Problem {
  const [first] = patch;
  const ids = patch.map((one) => one.id);
  const names =
    ids.length > NAMED
      ? `${ids.slice(0, NAMED).join(', ')} and ${ids.length - NAMED} more`
      : `${ids.slice(0, -1).join(', ')} and ${ids.at(-1) ?? ''}`;
  return note(
    'surfaces-outlier-group',
    `${LAYER_NAMES[id].name} of samples ${names}, which lie beside each other, is ${(first?.robustZ ?? 0) > 0 ? 'higher' : 'lower'} than the samples about them say.`,
    'A patch of the field that is truly different looks so; look at its history, and whether these samples came to the lab in one batch.',
    { ...(first === undefined ? {} : { file: first.file, row: first.row }) },
  );
}
