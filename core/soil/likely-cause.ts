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

/** A way with what it comes to. */
interface Tried {
  readonly cause: string;
  readonly cecFrom: Way['cecFrom'];
  readonly cec_meq: number;
  readonly saturation: Saturation;
  /** Sum of its distances to the saturations that the lab gives. */
  readonly far: number;
}

/** Likely causes of what differs in one sample, each in a clause. */
export interface LikelyCauses {
  saturation(share: keyof Saturation): string;
  cec(): string;
}

/**
 * Why a lab's saturation or CEC may differ from the one worked out, by trying each way on its own and then with the other factor set:
 * factors rounded or exact; no acidity; another acidity form; the lab's CEC or the sum; Na left out; a K column that holds K2O; cations,
 * or K alone, in lb/ac of 6 in.; columns of K, Ca and Mg exchanged.
 *
 * A way is the cause where it leaves at most a quarter of this difference, and of all the lab's saturations together, or what rounding to
 * a tenth explains; of several the simplest, then the nearest. Where no way fits and all other shares do, it is a slip. A lab that gives
 * one share alone proves too little for two changes or exchanged columns. Ours. The ways are tried once for a sample, when first asked.
 */
export function likelyCauses(of: Measured, settings: ChemistrySettings): LikelyCauses {
  let known: readonly Tried[] | null = null;
  const tried = (): readonly Tried[] => {
    known ??= waysOf(of, settings).map((way) => tryWay(way, of.sat));
    return known;
  };
  return { saturation: (share) => saturationCause(tried(), of.sat, share), cec: () => cecCause(tried(), of, settings) };
}

function saturationCause([own, ...others]: readonly Tried[], lab: Saturation, share: keyof Saturation): string {
  if (!own) return NO_CAUSE;
  const apart = Math.abs(own.saturation[share] - lab[share]);
  const limit = Math.max(apart / 4, ROUNDED_PCT);
  const all = Math.max(own.far / 4, Math.min(5 * ROUNDED_PCT, 0.75 * own.far));
  const given = SHARES.filter(([, one]) => !Number.isNaN(lab[one])).length;
  const fits = (way: Tried): boolean =>
    (given > 1 || !(hasTwo(way) || way.cause.includes('exchanged'))) &&
    Math.abs(way.saturation[share] - lab[share]) <= limit &&
    way.far <= all;
  const why = nearest(others, (way) => (fits(way) ? way.far : Number.NaN));
  if (why !== NO_CAUSE) return why;
  const rest = SHARES.flatMap(([, one]) => {
    const far = Math.abs(lab[one] - own.saturation[one]);
    return one === share || Number.isNaN(far) ? [] : [far];
  });
  return apart > SLIP_WITHIN_PCT && rest.length > 1 && rest.every((far) => far <= SLIP_WITHIN_PCT)
    ? 'the other shares fit, so one of the two figures is a slip'
    : NO_CAUSE;
}

function cecCause(tried: readonly Tried[], of: Measured, settings: ChemistrySettings): string {
  // The first of them is the plan's own sum.
  const [own, ...others] = tried.filter((way) => way.cecFrom === 'sum');
  const limit = own ? Math.abs(own.cec_meq - of.cec_meq) / 4 : 0;
  const why = nearest(others, (way) => {
    const far = Math.abs(way.cec_meq - of.cec_meq);
    return far <= limit ? far : Number.NaN;
  });
  if (why !== NO_CAUSE || !(bases_meq(of, FACTORS[settings.factors]) > of.cec_meq)) return why;
  return of.ph > CALCAREOUS_PH
    ? 'the bases sum to more than the stated CEC, as where lime dissolves'
    : 'the bases sum to more than the stated CEC: a unit may be wrong, or two columns exchanged';
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

function tryWay(way: Way, lab: Saturation): Tried {
  const { of, factors } = way;
  const bases = bases_meq(of, factors);
  const cec = way.cecFrom === 'lab' ? of.cec_meq : bases + way.acidity_meq;
  const left = Number.isNaN(of.h_meq) ? Math.max(0, cec - bases) : of.h_meq;
  const saturation: Saturation = {
    k_pct: (100 * of.k_ppm) / factors.k / cec,
    ca_pct: (100 * of.ca_ppm) / factors.ca / cec,
    mg_pct: (100 * of.mg_ppm) / factors.mg / cec,
    na_pct: (100 * of.na_ppm) / factors.na / cec,
    h_pct: (100 * (way.cecFrom === 'sum' ? way.acidity_meq : left)) / cec,
  };
  let sum = 0;
  for (const [, share] of SHARES) {
    const far = Math.abs(saturation[share] - lab[share]);
    if (!Number.isNaN(far)) sum += far;
  }
  return { cause: way.cause, cecFrom: way.cecFrom, cec_meq: cec, saturation, far: sum };
}

const hasTwo = (way: Tried): boolean => way.cause.includes(', with ');

/** The cause of the way that comes nearest; a way with two changes has to come four times as near. NaN: does not fit. */
function nearest(ways: readonly Tried[], far: (way: Tried) => number): string {
  let best = NO_CAUSE;
  let least = Number.POSITIVE_INFINITY;
  for (const way of ways) {
    const distance = far(way);
    if (distance < (hasTwo(way) ? least / 4 : least) - 1e-9) {
      best = way.cause;
      least = distance;
    }
  }
  return best;
}
