import { caution, type Place, type Problem } from '../base/problem.ts';
import { acidity_meq, bases_meq, type Chemistry, type ChemistrySettings, FACTORS, type Measured } from './chemistry.ts';
import { slack_meq } from './lab-ways.ts';
import { BY_RULE, type Differing, likelyCauses, NO_CAUSE, whySums } from './likely-cause.ts';
import type { SoilSettings } from './settings.ts';
import type { LabDifference, Saturation } from './types.ts';

export type Difference = Omit<LabDifference, 'id' | 'row'>;

/** Points of percent by which a lab's own percentages may miss 100: each is rounded. */
const SUM_WITHIN_PCT = 1;
const SHARES = [
  ['K saturation', 'k_pct'],
  ['Ca saturation', 'ca_pct'],
  ['Mg saturation', 'mg_pct'],
  ['Na saturation', 'na_pct'],
  ['H saturation', 'h_pct'],
] as const satisfies readonly (readonly [LabDifference['what'], keyof Saturation])[];

/** One sample as the lab measured it, before any conversion. */
export interface LabTest {
  readonly of: Measured;
  /** Saturations that follow from its cations and CEC. */
  readonly workedOut: Saturation;
  /** A value is told only as a limit or as not detected, which is cause enough. */
  readonly byRule: boolean;
}

/**
 * Where the lab's own figures differ from what follows from its cations, sample by sample in the order of `tests`, each with the likely cause
 * in a clause.
 *
 * Saturations apart by more than `tolerance_pct` points; a stated CEC apart from the sum of bases and acidity by more than 0.05 meq and
 * 2 % of it (a lab rounds to a tenth and has factors of its own); percentages of K, Ca, Mg and H, or bases alone, that miss 100 by more
 * than 1. The cause is one of the whole test: see `likelyCauses`.
 */
export function labDifferences(
  tests: readonly LabTest[],
  settings: ChemistrySettings & Pick<SoilSettings, 'tolerance_pct'>,
): readonly (readonly Difference[])[] {
  const judged = tests.map((test) => {
    const { of, workedOut } = test;
    const shares = SHARES.filter(
      ([, share]) => Math.abs(of.sat[share] - workedOut[share]) > settings.tolerance_pct + 1e-9,
    );
    const acidity = Number.isNaN(of.h_meq)
      ? acidity_meq(of.bufferPh, of.ph, settings.acidity, settings.noAcidityFrom_ph)
      : of.h_meq;
    const sum_meq = bases_meq(of, FACTORS[settings.factors]) + acidity;
    const cec = of.cec_meq > 0 && Math.abs(sum_meq - of.cec_meq) > slack_meq(of.cec_meq);
    const differing: Differing = { of, shares: shares.map(([, share]) => share), cec };
    const total = totalOf(of.sat);
    return {
      test,
      shares,
      cec,
      sum_meq,
      differing,
      total: total !== null && Math.abs(total - 100) > SUM_WITHIN_PCT + 1e-9 ? total : null,
    };
  });
  const causesOf = likelyCauses(
    judged.flatMap(({ test, differing }) => (test.byRule ? [] : [differing])),
    settings,
  );
  const sums = judged.flatMap(({ test, total }) =>
    total === null ? [] : [{ lab: test.of.sat, workedOut: test.workedOut }],
  );
  const sumCauses = whySums(sums)[Symbol.iterator]();
  return judged.map(({ test, shares, cec, sum_meq, differing, total }): readonly Difference[] => {
    const { of, workedOut, byRule } = test;
    if (shares.length === 0 && !cec && total === null) return [];
    const causes = causesOf(differing);
    const found = shares.map(
      ([what, share]): Difference => ({
        what,
        unit: '%',
        lab: of.sat[share],
        workedOut: workedOut[share],
        cause: byRule ? BY_RULE : causes.saturation(share),
      }),
    );
    if (cec)
      found.push({
        what: 'CEC',
        unit: 'meq/100 g',
        lab: of.cec_meq,
        workedOut: sum_meq,
        cause: byRule ? BY_RULE : causes.cec(),
      });
    if (total !== null)
      found.push({
        what: 'sum of saturations',
        unit: '%',
        lab: total,
        workedOut: 100,
        cause: sumCauses.next().value ?? NO_CAUSE,
      });
    return found;
  });
}

/** Sum of the lab's percentages where they should make 100, or where the bases alone are over it; null where nothing follows. */
function totalOf(sat: Saturation): number | null {
  const bases = sat.k_pct + sat.ca_pct + sat.mg_pct + (Number.isNaN(sat.na_pct) ? 0 : sat.na_pct);
  if (Number.isNaN(bases)) return null;
  if (!Number.isNaN(sat.h_pct)) return bases + sat.h_pct;
  return bases > 100 ? bases : null;
}

/**
 * The differences of one sample as cautions: `soil-saturation-differs` and `soil-saturation-sum`. A CEC that differs is told by
 * `chemistryOf` where the lab's own acidity speaks against it, and else only listed: forms of acidity differ from lab to lab.
 */
export function differenceProblems(
  differences: readonly Difference[],
  chemistry: Pick<Chemistry, 'saturation' | 'workedOut'>,
  at: Place,
): readonly Problem[] {
  return differences.flatMap((one) => {
    // The row says already that a value is told only as a limit.
    if (one.cause === BY_RULE) return [];
    const cause = one.cause === NO_CAUSE ? '' : ` Likely: ${one.cause}.`;
    if (one.what === 'sum of saturations')
      return [
        caution(
          'soil-saturation-sum',
          `The lab's percentages sum to ${one.lab.toFixed(1)}, not 100.${cause}`,
          'Ask the lab, or check that no column is taken for another.',
          at,
        ),
      ];
    if (one.what === 'CEC') return [];
    const apart = Math.abs(one.lab - one.workedOut).toFixed(2);
    const used = chemistry.saturation === chemistry.workedOut ? 'the computed value is used' : 'the lab’s is used';
    return [
      caution(
        'soil-saturation-differs',
        `${one.what} is ${one.lab.toFixed(2)} % by the lab and ${one.workedOut.toFixed(2)} % computed, ${apart} points apart; ${used}.${cause}`,
        'Check the units and the CEC; a lab may also use another factor set or acidity form.',
        at,
      ),
    ];
  });
}
