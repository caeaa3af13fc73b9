import {
  acidity_meq,
  bases_meq,
  CALCAREOUS_PH,
  type ChemistrySettings,
  FACTORS,
  type FactorSet,
  type Measured,
} from './chemistry.ts';
import type { SoilSettings } from './settings.ts';
import type { Saturation } from './types.ts';
import { OXIDE_PER_ELEMENT } from './units.ts';

/** Half a tenth of a point, to which labs round their shares, and a little. */
const ROUNDED_PCT = 0.06;
/** Points within which the other shares count as fitting. */
const SLIP_WITHIN_PCT = 1;
/** Said where none of the ways that were tried comes near the lab's figures. */
export const NO_CAUSE = 'no likely cause was found';

/** Said where a value of the row is told only as a limit or as not detected. */
export const BY_RULE = 'a value of the row is told only as a limit, or as not detected';

const SHARES = [
  ['K', 'k_pct'],
  ['Ca', 'ca_pct'],
  ['Mg', 'mg_pct'],
  ['Na', 'na_pct'],
  ['H', 'h_pct'],
] as const satisfies readonly (readonly [string, keyof Saturation])[];

/** One way a lab may have come to its figures. */
interface Way {
  /** In a clause; empty for the plan's own way. */
  readonly cause: string;
  readonly of: Measured;
  readonly factors: FactorSet;
  readonly acidity_meq: number;
  readonly cecFrom: 'lab' | 'sum';
}

/**
 * Why a lab's saturation may differ from the one worked out, by trying each way on its own and then with the other factor set: factors
 * rounded or exact; no acidity; another acidity form; the lab's CEC or the sum; Na left out; a K column that holds K2O; cations, or K
 * alone, in lb/ac of 6 in.; columns of K, Ca and Mg exchanged. A way is the cause where it leaves at most a quarter of this difference, and of all
 * the lab's saturations together, or what rounding to a tenth explains; of several the simplest, then the nearest. Where no way fits and all other shares do, it is a slip.
 */
export function whySaturation(of: Measured, share: keyof Saturation, settings: ChemistrySettings): string {
  const [own, ...others] = waysOf(of, settings);
  if (!own) return NO_CAUSE;
  const lab = of.sat[share];
  const apart = Math.abs(saturationBy(own)[share] - lab);
  const limit = Math.max(apart / 4, ROUNDED_PCT);
  const ownFar = farFrom(own, of.sat);
  const all = Math.max(ownFar / 4, Math.min(5 * ROUNDED_PCT, 0.75 * ownFar));
  const why = nearest(others, (way) => {
    const sat = saturationBy(way);
    const far = farFrom(way, of.sat);
    return Math.abs(sat[share] - lab) <= limit && far <= all ? far : Number.NaN;
  });
  if (why !== NO_CAUSE) return why;
  const sat = saturationBy(own);
  const rest = SHARES.flatMap(([, one]) => (one === share || Number.isNaN(of.sat[one] - sat[one]) ? [] : [one]));
  return apart > SLIP_WITHIN_PCT &&
    rest.length > 1 &&
    rest.every((one) => Math.abs(of.sat[one] - sat[one]) <= SLIP_WITHIN_PCT)
    ? 'the other shares fit, so one of the two figures is a slip'
    : NO_CAUSE;
}

/** Why a stated CEC may differ from the sum of bases and acidity, by the same ways; see `whySaturation`. */
export function whyCec(of: Measured, settings: ChemistrySettings): string {
  const [own, ...others] = waysOf(of, settings).filter((way) => way.cecFrom === 'sum');
  const bases = bases_meq(of, FACTORS[settings.factors]);
  if (own) {
    const limit = Math.abs(cecBy(own) - of.cec_meq) / 4;
    const why = nearest(others, (way) => {
      const far = Math.abs(cecBy(way) - of.cec_meq);
      return far <= limit ? far : Number.NaN;
    });
    if (why !== NO_CAUSE) return why;
  }
  if (bases > of.cec_meq)
    return of.ph > CALCAREOUS_PH
      ? 'the bases sum to more than the stated CEC, as where lime dissolves'
      : 'the bases sum to more than the stated CEC: a unit may be wrong, or two columns exchanged';
  return NO_CAUSE;
}

/** Why a lab's own percentages may not sum to 100. */
export function whySum(lab: Saturation, workedOut: Saturation): string {
  const total = [lab.k_pct, lab.ca_pct, lab.mg_pct, lab.na_pct, lab.h_pct].reduce(
    (sum, one) => sum + (Number.isNaN(one) ? 0 : one),
    0,
  );
  const closes = (change: number): boolean => Math.abs(total + change - 100) <= 1;
  if (Number.isNaN(lab.na_pct) && closes(workedOut.na_pct)) return 'Na is left out of them';
  if (closes(-lab.na_pct)) return 'Na stands beside the 100, not in it';
  if (closes(-lab.h_pct)) return 'the bases alone make 100, and H stands beside them';
  for (const [name, share] of SHARES)
    if (Math.abs(workedOut[share] - lab[share]) > 1 && closes(workedOut[share] - lab[share]))
      return `the share of ${name} does not fit its own value`;
  if (closes(lab.k_pct / OXIDE_PER_ELEMENT.k - lab.k_pct)) return 'K seems to be counted as K2O';
  return NO_CAUSE;
}

type Columns = Pick<Measured, 'k_ppm' | 'ca_ppm' | 'mg_ppm'>;
/** Columns that stand in each other's place, and what each holds then. */
const EXCHANGED: readonly (readonly [string, (of: Columns) => Columns])[] = [
  ['the columns of Ca and Mg', ({ k_ppm, ca_ppm, mg_ppm }) => ({ k_ppm, ca_ppm: mg_ppm, mg_ppm: ca_ppm })],
  ['the columns of K and Mg', ({ k_ppm, ca_ppm, mg_ppm }) => ({ k_ppm: mg_ppm, ca_ppm, mg_ppm: k_ppm })],
  ['the columns of K and Ca', ({ k_ppm, ca_ppm, mg_ppm }) => ({ k_ppm: ca_ppm, ca_ppm: k_ppm, mg_ppm })],
  ['the columns of K, Ca and Mg', ({ k_ppm, ca_ppm, mg_ppm }) => ({ k_ppm: ca_ppm, ca_ppm: mg_ppm, mg_ppm: k_ppm })],
  ['the columns of K, Ca and Mg', ({ k_ppm, ca_ppm, mg_ppm }) => ({ k_ppm: mg_ppm, ca_ppm: k_ppm, mg_ppm: ca_ppm })],
];

/** The plan's own way first, then those with one change, then those with another factor set beside. */
function waysOf(of: Measured, settings: ChemistrySettings): readonly Way[] {
  const byForm = (form: SoilSettings['acidity']): number =>
    acidity_meq(of.bufferPh, of.ph, form, settings.noAcidityFrom_ph);
  const own: Way = {
    cause: '',
    of,
    factors: FACTORS[settings.factors],
    acidity_meq: Number.isNaN(of.h_meq) ? byForm(settings.acidity) : of.h_meq,
    cecFrom: settings.cec === 'lab, else summation' && of.cec_meq > 0 ? 'lab' : 'sum',
  };
  const set = settings.factors === 'exact' ? 'rounded' : 'exact';
  const otherFactors = (way: Way): Way => ({
    ...way,
    factors: FACTORS[set],
    cause: way.cause === '' ? `the lab seems to use ${set} factors` : `${way.cause}, with ${set} factors`,
  });
  const summed: Way = { ...own, cecFrom: 'sum' };
  const forms: readonly SoilSettings['acidity'][] = [{ form: '12 x (7 - buffer pH)' }, { form: '8 x (8 - buffer pH)' }];
  const twice = (one: Measured): Measured => ({
    ...one,
    k_ppm: one.k_ppm / 2,
    ca_ppm: one.ca_ppm / 2,
    mg_ppm: one.mg_ppm / 2,
    na_ppm: one.na_ppm / 2,
  });
  const one: readonly Way[] = [
    own.cecFrom === 'lab'
      ? { ...summed, cause: 'the lab’s shares fit the sum of cations and acidity, not its stated CEC' }
      : { ...own, cecFrom: 'lab', cause: 'the lab’s shares fit its own CEC' },
    { ...summed, acidity_meq: 0, cause: 'the lab seems to count no acidity' },
    ...forms
      .filter(({ form }) => form !== settings.acidity.form)
      .map(
        (form): Way => ({
          ...summed,
          acidity_meq: byForm(form),
          cause: `the lab seems to count acidity by ${form.form}`,
        }),
      ),
    { ...summed, of: { ...of, na_ppm: 0 }, cause: 'the lab seems to leave Na out' },
    ...(Number.isNaN(of.na_ppm) && of.sat.na_pct > 0
      ? [
          {
            ...own,
            of: { ...of, na_ppm: (of.sat.na_pct / 100) * of.cec_meq * own.factors.na },
            cause: 'the lab counts Na, and its table gives none',
          },
        ]
      : []),
    ...[own, summed].flatMap((way): readonly Way[] => [
      { ...way, of: { ...of, k_ppm: of.k_ppm / OXIDE_PER_ELEMENT.k }, cause: 'the K column seems to hold K2O' },
      { ...way, of: { ...of, k_ppm: of.k_ppm / 2 }, cause: 'the K column seems to be in lb/ac' },
      { ...way, of: twice(of), cause: 'the cations seem to be in lb/ac' },
      ...EXCHANGED.map(
        ([cause, exchange]): Way => ({
          ...way,
          of: { ...of, ...exchange(of) },
          cause: `${cause} seem to be exchanged`,
        }),
      ),
    ]),
  ];
  return [own, otherFactors(own), ...one, ...one.map(otherFactors)];
}

const cecBy = (way: Way): number =>
  way.cecFrom === 'lab' ? way.of.cec_meq : bases_meq(way.of, way.factors) + way.acidity_meq;

function saturationBy(way: Way): Saturation {
  const cec = cecBy(way);
  const bases = bases_meq(way.of, way.factors);
  const left = Number.isNaN(way.of.h_meq) ? Math.max(0, cec - bases) : way.of.h_meq;
  return {
    k_pct: (100 * way.of.k_ppm) / way.factors.k / cec,
    ca_pct: (100 * way.of.ca_ppm) / way.factors.ca / cec,
    mg_pct: (100 * way.of.mg_ppm) / way.factors.mg / cec,
    na_pct: (100 * way.of.na_ppm) / way.factors.na / cec,
    h_pct: (100 * (way.cecFrom === 'sum' ? way.acidity_meq : left)) / cec,
  };
}

/** Sum of the distances to the saturations that the lab gives. */
function farFrom(way: Way, lab: Saturation): number {
  const sat = saturationBy(way);
  return (['k_pct', 'ca_pct', 'mg_pct', 'na_pct', 'h_pct'] as const).reduce((sum, share) => {
    const far = Math.abs(sat[share] - lab[share]);
    return sum + (Number.isNaN(far) ? 0 : far);
  }, 0);
}

/** The cause of the way that comes nearest; a way with two changes has to come four times as near. NaN: does not fit. */
function nearest(ways: readonly Way[], far: (way: Way) => number): string {
  let best = NO_CAUSE;
  let least = Number.POSITIVE_INFINITY;
  for (const way of ways) {
    const distance = far(way);
    const two = way.cause.includes(', with ');
    if (distance < (two ? least / 4 : least) - 1e-9) {
      best = way.cause;
      least = distance;
    }
  }
  return best;
}
