import { acidity_meq, bases_meq, type ChemistrySettings, FACTORS, type FactorSet, type Measured } from './chemistry.ts';
import type { SoilSettings } from './settings.ts';
import type { Saturation } from './types.ts';
import { OXIDE_PER_ELEMENT } from './units.ts';

/** Shares of the CEC, by the names that people read. */
export const SHARES = [
  ['K', 'k_pct'],
  ['Ca', 'ca_pct'],
  ['Mg', 'mg_pct'],
  ['Na', 'na_pct'],
  ['H', 'h_pct'],
] as const satisfies readonly (readonly [string, keyof Saturation])[];

/** Share of a CEC that acidity is at most where the file carries none. Ours. */
const MOST_ACIDITY = 0.6;

/** What a stated CEC may be off by: a lab rounds to a tenth and has factors of its own. Ours. */
export const slack_meq = (cec_meq: number): number => 0.05 + 0.02 * cec_meq;

/** What a way changes: how the lab reckons, one whole column or several, columns exchanged, or no more than which CEC the shares are of. */
export type WayKind =
  | 'reckoning'
  | 'missing acidity'
  | 'k column'
  | 'cec column'
  | 'cations'
  | 'exchange'
  | 'which cec';

/** One way a lab may have come to its figures. */
export interface Way {
  readonly kind: WayKind;
  /** Beside its own change the other factor set. */
  readonly two: boolean;
  /** Whether the sample has what the way needs. */
  readonly applies: boolean;
  /** In a clause; empty for the plan's own way. */
  readonly cause: string;
  readonly of: Measured;
  readonly factors: FactorSet;
  readonly acidity_meq: number;
  readonly cecFrom: 'lab' | 'sum';
  /** K in the lab's share over K in its own column; 1 but where the share is worked out from K2O. */
  readonly kShareTimes: number;
}

/** A way with what it comes to. */
export interface Tried {
  readonly way: Way;
  /** Bases and acidity; NaN where the acidity is not known. */
  readonly sum_meq: number;
  readonly saturation: Saturation;
  /** Sum of its distances to the saturations that the lab gives. */
  readonly far: number;
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

/**
 * Ways in which a lab may have come to its figures for one sample: the plan's own first, then those with one change, then those with another
 * factor set beside. Every sample has the same ways in the same order; one that cannot be for a sample has `applies` false.
 */
export function waysOf(of: Measured, settings: ChemistrySettings): readonly Way[] {
  const byForm = (form: SoilSettings['acidity']): number =>
    acidity_meq(of.bufferPh, of.ph, form, settings.noAcidityFrom_ph);
  const own: Way = {
    kind: 'reckoning',
    two: false,
    applies: true,
    cause: '',
    of,
    factors: FACTORS[settings.factors],
    acidity_meq: Number.isNaN(of.h_meq) ? byForm(settings.acidity) : of.h_meq,
    cecFrom: settings.cec === 'lab, else summation' && of.cec_meq > 0 ? 'lab' : 'sum',
    kShareTimes: 1,
  };
  const set = settings.factors === 'exact' ? 'rounded' : 'exact';
  const otherFactors = (way: Way): Way => ({
    ...way,
    two: way.cause !== '',
    factors: FACTORS[set],
    cause: way.cause === '' ? `the lab seems to use ${set} factors` : `${way.cause}, with ${set} factors`,
  });
  const summed: Way = { ...own, cecFrom: 'sum' };
  const one: readonly Way[] = [
    tenTimes(own),
    ...reckonings(own, summed, settings, byForm),
    ...columnsMistaken(own, summed),
  ];
  return [own, otherFactors(own), ...one, ...one.map(otherFactors)];
}

/** Other ways to reckon with the same cations. */
function reckonings(
  own: Way,
  summed: Way,
  settings: ChemistrySettings,
  byForm: (form: SoilSettings['acidity']) => number,
): readonly Way[] {
  const { of, factors } = own;
  const forms = [
    { form: '12 x (7 - buffer pH)' },
    { form: '8 x (8 - buffer pH)' },
  ] as const satisfies readonly SoilSettings['acidity'][];
  const left_meq = of.cec_meq - bases_meq(of, factors);
  const told_meq = (of.sat.h_pct / 100) * of.cec_meq;
  return [
    own.cecFrom === 'lab'
      ? {
          ...summed,
          kind: 'which cec',
          cause: 'the lab’s shares fit the sum of cations and acidity, not its stated CEC',
        }
      : {
          ...own,
          kind: 'which cec',
          cecFrom: 'lab',
          cause: 'the lab’s shares fit its own CEC',
          applies: of.cec_meq > 0,
        },
    { ...summed, acidity_meq: 0, cause: 'the lab seems to count no acidity' },
    ...forms.map(
      (form): Way => ({
        ...summed,
        applies: form.form !== settings.acidity.form,
        acidity_meq: byForm(form),
        cause: `the lab seems to count acidity by ${form.form}`,
      }),
    ),
    {
      ...summed,
      kind: 'missing acidity',
      cecFrom: 'lab',
      // What the lab says of H has to agree, and most of a farmed soil's CEC is bases.
      applies:
        Number.isNaN(of.h_meq) &&
        Number.isNaN(of.bufferPh) &&
        left_meq > 0 &&
        left_meq < MOST_ACIDITY * of.cec_meq &&
        !(Math.abs(told_meq - left_meq) > slack_meq(of.cec_meq)),
      acidity_meq: left_meq,
      cause: 'the lab’s CEC holds acidity (H) that the file does not carry',
    },
    { ...summed, of: { ...of, na_ppm: 0 }, applies: of.na_ppm > 0, cause: 'the lab seems to leave Na out' },
    {
      ...own,
      of: { ...of, na_ppm: (of.sat.na_pct / 100) * of.cec_meq * factors.na },
      applies: Number.isNaN(of.na_ppm) && of.sat.na_pct > 0,
      cause: 'the lab counts Na, and its table gives none',
    },
    {
      ...own,
      kind: 'k column',
      kShareTimes: OXIDE_PER_ELEMENT.k,
      cause: 'the lab’s K share seems to be worked out from K2O',
    },
  ];
}

/** A CEC in mmolc/kg where meq/100 g is meant, ten times as much; acidity that no column tells is what the bases leave of it. */
function tenTimes(own: Way): Way {
  const cec_meq = own.of.cec_meq / 10;
  const left_meq = cec_meq - bases_meq(own.of, own.factors);
  return {
    ...own,
    kind: 'cec column',
    cecFrom: 'sum',
    of: { ...own.of, cec_meq },
    acidity_meq: Number.isNaN(own.acidity_meq) ? Math.max(0, left_meq) : own.acidity_meq,
    applies: own.cecFrom === 'lab' && left_meq > -slack_meq(cec_meq) && left_meq < MOST_ACIDITY * cec_meq,
    cause: 'the CEC column seems to be ten times too high, in mmolc/kg',
  };
}

/** Columns that hold something else than their heads say. */
function columnsMistaken(own: Way, summed: Way): readonly Way[] {
  const { of } = own;
  const half: Measured = {
    ...of,
    k_ppm: of.k_ppm / 2,
    ca_ppm: of.ca_ppm / 2,
    mg_ppm: of.mg_ppm / 2,
    na_ppm: of.na_ppm / 2,
  };
  return [own, summed].flatMap((way): readonly Way[] => [
    {
      ...way,
      kind: 'k column',
      of: { ...of, k_ppm: of.k_ppm / OXIDE_PER_ELEMENT.k },
      cause: 'the K column seems to hold K2O',
    },
    { ...way, kind: 'k column', of: { ...of, k_ppm: of.k_ppm / 2 }, cause: 'the K column seems to be in lb/ac' },
    { ...way, kind: 'cations', of: half, cause: 'the cations seem to be in lb/ac' },
    ...EXCHANGED.map(
      ([columns, exchange]): Way => ({
        ...way,
        kind: 'exchange',
        of: { ...of, ...exchange(of) },
        cause: `${columns} seem to be exchanged`,
      }),
    ),
  ]);
}

/** What a way comes to beside the lab's own saturations. */
export function tryWay(way: Way, lab: Saturation): Tried {
  const { of, factors } = way;
  const bases = bases_meq(of, factors);
  const sum = bases + way.acidity_meq;
  const cec = way.cecFrom === 'lab' ? of.cec_meq : sum;
  const left = Number.isNaN(of.h_meq) ? Math.max(0, cec - bases) : of.h_meq;
  const saturation: Saturation = {
    k_pct: (100 * way.kShareTimes * of.k_ppm) / factors.k / cec,
    ca_pct: (100 * of.ca_ppm) / factors.ca / cec,
    mg_pct: (100 * of.mg_ppm) / factors.mg / cec,
    na_pct: (100 * of.na_ppm) / factors.na / cec,
    h_pct: (100 * (way.cecFrom === 'sum' ? way.acidity_meq : left)) / cec,
  };
  let far = 0;
  for (const [, share] of SHARES) {
    const apart = Math.abs(saturation[share] - lab[share]);
    if (!Number.isNaN(apart)) far += apart;
  }
  return { way, sum_meq: sum, saturation, far };
}
