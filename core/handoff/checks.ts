import { type Problem, stop } from '../base/problem.ts';
import { toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import { union } from '../geo/clip.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { RatesSettings } from '../rates/settings.ts';
import type { CheckLine, Prescription } from './types.ts';

/** Relative difference of area that the files may show: one part in a million. */
export const AREA_TOLERANCE = 1e-6;

/**
 * Looks at the prescriptions before anything is written: ground covered once and wholly (less what zones keep out, `keptOut_ac`), rates within the machine's.
 * Problems: `handoff-cover` and `handoff-overlap` (a fault of the program, shown and never written), `handoff-range`.
 */
export function checkPrescriptions(
  prescriptions: readonly Prescription[],
  ground: MultiPolygon,
  keptOut_ac: number,
  machine: RatesSettings['machine'],
): { lines: CheckLine[]; problems: Problem[] } {
  const lines: CheckLine[] = [];
  const problems: Problem[] = [];
  const ground_ac = toAcres(area_m2(ground)) - keptOut_ac;
  const first = prescriptions[0];
  if (first) {
    const off_ac = first.totals.acres - ground_ac;
    const covers = Math.abs(off_ac) <= AREA_TOLERANCE * ground_ac;
    lines.push({
      what:
        keptOut_ac > 0 ? 'Zones cover the spreadable acres, less those kept out' : 'Zones cover the spreadable acres',
      figure: `${off_ac.toFixed(5)} ac over`,
      holds: covers,
    });
    if (!covers)
      problems.push(
        stop(
          'handoff-cover',
          `The zones' acres differ from the field's by ${off_ac.toFixed(4)} ac.`,
          'Change the cell size or the least acres of a zone, and report the plan.',
        ),
      );

    const sum_m2 = first.pieces.reduce((sum, piece) => sum + area_m2(piece.polygons), 0);
    const together_m2 = area_m2(first.pieces.reduce<MultiPolygon>((all, piece) => union(all, piece.polygons), []));
    const overlap_m2 = sum_m2 - together_m2;
    const apart = overlap_m2 <= AREA_TOLERANCE * sum_m2;
    lines.push({
      what: 'No two pieces overlap',
      figure: `${Math.max(0, overlap_m2).toFixed(3)} m² shared`,
      holds: apart,
    });
    if (!apart)
      problems.push(
        stop(
          'handoff-overlap',
          `Pieces overlap by ${overlap_m2.toFixed(2)} m².`,
          'Turn smoothing of outlines off in the zones stage, and report the plan.',
        ),
      );
  }
  const rates = prescriptions
    .flatMap((one) => one.pieces.flatMap((piece) => [piece.rate_lbPerAc, piece.second_lbPerAc]))
    .filter((rate) => rate > 0);
  if (rates.length > 0) {
    const least = rates.reduce((a, b) => Math.min(a, b));
    const most = rates.reduce((a, b) => Math.max(a, b));
    const within = least >= machine.least_lbPerAc - 1e-9 && most <= machine.most_lbPerAc + 1e-9;
    lines.push({
      what: `Rates are 0 or within ${machine.least_lbPerAc}–${machine.most_lbPerAc} lb/ac`,
      figure: least === most ? `${least}` : `${least}–${most}`,
      holds: within,
    });
    if (!within)
      problems.push(
        stop(
          'handoff-range',
          `A rate lies outside the machine's range of ${machine.least_lbPerAc}–${machine.most_lbPerAc} lb/ac: the files would hold ${least === most ? `${least}` : `${least}–${most}`}.`,
          "Change the hand-typed rate, or the machine's least and most rate.",
          { setting: 'rates.machine' },
        ),
      );
  }
  return { lines, problems };
}
