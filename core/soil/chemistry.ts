import { caution, note, type Place, type Problem } from '../base/problem.ts';
import type { SoilSettings } from './settings.ts';
import type { Saturation, SoilSample } from './types.ts';

/** ppm that one meq/100 g of each cation is. */
export interface FactorSet {
  readonly k: number;
  readonly ca: number;
  readonly mg: number;
  readonly na: number;
  readonly h: number;
}
export type Cation = keyof FactorSet;

/**
 * Factors from meq/100 g to ppm, by name. Exact: atomic weight / charge x 10 (IUPAC 2021 weights). Rounded: as labs round them
 * (Clemson Agricultural Service Laboratory, "CEC calculations", which has K 390 or 391, Ca 200, Mg 120 or 121.5, Na 230).
 */
export const FACTORS = {
  exact: { k: 390.98, ca: 200.39, mg: 121.53, na: 229.9, h: 10.08 },
  rounded: { k: 390, ca: 200, mg: 120, na: 230, h: 10 },
} as const satisfies Record<SoilSettings['factors'], FactorSet>;

/** ppm of a cation from meq/100 g. */
export const meqToPpm = (value_meq: number, cation: Cation, factors: FactorSet): number => value_meq * factors[cation];
/** meq/100 g of a cation from ppm. */
export const ppmToMeq = (value_ppm: number, cation: Cation, factors: FactorSet): number => value_ppm / factors[cation];

type Convention = Pick<SoilSettings, 'convention' | 'bulkDensity_gPerCm3'>;
/** Depth of the furrow slice, 6 2/3 in., held to weigh 2,000,000 lb an acre. */
const FURROW_SLICE_IN = 20 / 3;
/** lb/ac of one inch of soil at 1 g/cm3, in millions: 62.428 lb/ft3 x 43,560 ft2 / 12 in. / 1e6. */
const MILLION_LB_PER_AC_IN = ((1000 * 0.3048 ** 3) / 0.45359237) * (43_560 / 12 / 1e6);

/**
 * lb of K an acre that one ppm stands for, over the depth sampled.
 *
 * 'x2 per 6 in.': 2 x depth / 6 (common practice, no source). 'furrow slice': 2 x depth / 6.667 (2,000,000 lb an acre in 6 to 7 in.,
 * Purdue soil fertility). 'bulk density': 0.22661 x g/cm3 x depth. The first two disagree: the plan names the one in use.
 */
export function supplyFactor(depth_in: number, settings: Convention): number {
  if (settings.convention === 'x2 per 6 in.') return (2 * depth_in) / 6;
  if (settings.convention === 'furrow slice') return (2 * depth_in) / FURROW_SLICE_IN;
  return MILLION_LB_PER_AC_IN * settings.bulkDensity_gPerCm3 * depth_in;
}
/** lb/ac from ppm over the depth sampled, by the plan's convention. */
export const ppmToLbPerAc = (value_ppm: number, depth_in: number, settings: Convention): number =>
  value_ppm * supplyFactor(depth_in, settings);
/** ppm from lb/ac over the depth sampled, by the plan's convention. */
export const lbPerAcToPpm = (value_lbPerAc: number, depth_in: number, settings: Convention): number =>
  value_lbPerAc / supplyFactor(depth_in, settings);

/** Soil pH from which a blank buffer pH is taken as "no acidity". Labs leave the buffer out there. */
export const NO_BUFFER_NEEDED_PH = 6.8;
/** Soil pH to which the 12 x (7 - buffer pH) form is meant to be used. */
const SMP_FORM_UP_TO_PH = 6.4;
/** Soil pH above which Mehlich-3 dissolves carbonate, so that Ca and CEC are overstated (Kansas AES Research Report 7(8)). */
export const CALCAREOUS_PH = 7.3;

/**
 * Exchangeable acidity in meq/100 g by the form of the plan, never below 0; NaN where it cannot be known.
 *
 * 12 x (7 - buffer pH): summation in use by Midwest labs with SMP or Sikora buffer. 8 x (8 - buffer pH): Adams-Evans type (Clemson
 * "CEC calculations"). Buffers are a lab's own and never interchangeable. A blank buffer pH counts no acidity from soil pH 6.8 up,
 * and is unknown below it or where soil pH is blank as well. `noAcidityFrom_ph` is the plan's own word: at that soil pH and above
 * none is counted, whatever the buffer says.
 */
export function acidity_meq(
  bufferPh: number,
  ph: number,
  form: SoilSettings['acidity'],
  noAcidityFrom_ph: number | null = null,
): number {
  if (noAcidityFrom_ph !== null && ph >= noAcidityFrom_ph) return 0;
  if (form.form === 'no acidity') return 0;
  if (Number.isNaN(bufferPh)) return ph >= NO_BUFFER_NEEDED_PH ? 0 : Number.NaN;
  if (form.form === '12 x (7 - buffer pH)') return Math.max(0, 12 * (7 - bufferPh));
  if (form.form === '8 x (8 - buffer pH)') return Math.max(0, 8 * (8 - bufferPh));
  return Math.max(0, form.factor * (form.start - bufferPh));
}

/** Measured values of one sample: NaN means not measured. `h_meq` and `sat` are the lab's own. */
export interface Measured {
  readonly k_ppm: number;
  readonly ca_ppm: number;
  readonly mg_ppm: number;
  readonly na_ppm: number;
  readonly ph: number;
  readonly bufferPh: number;
  readonly cec_meq: number;
  readonly h_meq: number;
  readonly sat: Saturation;
}

/** K + Ca + Mg + Na in meq/100 g. Na not measured counts as 0; NaN where K, Ca or Mg is not measured. */
export function bases_meq(of: Pick<Measured, 'k_ppm' | 'ca_ppm' | 'mg_ppm' | 'na_ppm'>, factors: FactorSet): number {
  const na = Number.isNaN(of.na_ppm) ? 0 : of.na_ppm / factors.na;
  return of.k_ppm / factors.k + of.ca_ppm / factors.ca + of.mg_ppm / factors.mg + na;
}

/** What the plan says of CEC, acidity and saturation. */
export type ChemistrySettings = Pick<
  SoilSettings,
  'cec' | 'acidity' | 'extractant' | 'factors' | 'noAcidityFrom_ph' | 'saturation'
>;

export interface Chemistry extends Pick<SoilSample, 'cec_meq' | 'cecFrom' | 'h_meq' | 'saturation'> {
  /** Saturation by the cations and CEC, whatever the lab has. */
  readonly workedOut: Saturation;
  readonly problems: readonly Problem[];
}

/**
 * CEC, acidity and the saturation of each cation, with what a person should look at.
 *
 * CEC is the lab's where there is one and the plan does not say "summation"; else bases + acidity. Saturation = 100 x meq / CEC. With the
 * lab's CEC, H is the lab's own or what is left of the CEC, not below 0, so that K + Ca + Mg + Na + H = 100 % unless the bases
 * exceed the CEC. Where the plan takes the lab's saturation, it stands for each cation that the lab has one of. `factors` is the plan's set unless another is handed in.
 *
 * NaN goes on: no CEC -> every saturation NaN and `soil-no-cec`. Also `soil-bases-exceed-cec`, `soil-cations-not-cec`,
 * `soil-calcareous`, `soil-acidity-not-counted`, `soil-acidity-form`, each with the figures.
 */
export function chemistryOf(
  of: Measured,
  settings: ChemistrySettings,
  at: Place,
  factors: FactorSet = FACTORS[settings.factors],
): Chemistry {
  const problems: Problem[] = [];
  const bases = bases_meq(of, factors);
  const useLab = settings.cec === 'lab, else summation' && of.cec_meq > 0;
  const acidity = Number.isNaN(of.h_meq)
    ? acidity_meq(of.bufferPh, of.ph, settings.acidity, settings.noAcidityFrom_ph)
    : of.h_meq;
  const summed = bases + acidity;
  const cec = useLab ? of.cec_meq : summed > 0 ? summed : Number.NaN;
  const h = !useLab ? acidity : Number.isNaN(of.h_meq) ? Math.max(0, cec - bases) : of.h_meq;
  const workedOut: Saturation = {
    k_pct: (100 * (of.k_ppm / factors.k)) / cec,
    ca_pct: (100 * (of.ca_ppm / factors.ca)) / cec,
    mg_pct: (100 * (of.mg_ppm / factors.mg)) / cec,
    na_pct: (100 * (of.na_ppm / factors.na)) / cec,
    h_pct: (100 * h) / cec,
  };
  if (Number.isNaN(cec)) problems.push(noCec(of, acidity, at));
  else if (useLab) problems.push(...againstLabCec(of, bases, cec, at));
  else problems.push(...aboutAcidity(of, settings, acidity, at));
  problems.push(...aboutLime(of, settings.extractant, at));
  return {
    cec_meq: cec,
    cecFrom: Number.isNaN(cec) ? 'none' : useLab ? 'lab' : 'summation',
    h_meq: h,
    saturation: settings.saturation === 'worked out' ? workedOut : labFirst(of.sat, workedOut),
    workedOut,
    problems,
  };
}

function noCec(of: Measured, acidity: number, at: Place): Problem {
  const missing = [
    ...(Number.isNaN(of.ca_ppm) ? ['Ca'] : []),
    ...(Number.isNaN(of.mg_ppm) ? ['Mg'] : []),
    ...(Number.isNaN(acidity)
      ? [Number.isNaN(of.ph) ? 'buffer pH' : `buffer pH (blank at soil pH ${of.ph.toFixed(1)})`]
      : []),
  ];
  return caution(
    'soil-no-cec',
    `CEC is not known: the lab gives none, and it cannot be summed without ${missing.join(', ') || 'cations above 0'}.`,
    'Give the CEC or the missing value, or say under Chemistry that no acidity is counted; until then no saturation is worked out.',
    at,
  );
}

function againstLabCec(of: Measured, bases: number, cec: number, at: Place): Problem[] {
  // A lab rounds CEC to a tenth and has a factor set of its own.
  const slack = 0.05 + 0.02 * cec;
  if (bases > cec + slack)
    return [
      caution(
        'soil-bases-exceed-cec',
        `The bases sum to ${bases.toFixed(2)} meq/100 g, more than the stated CEC of ${cec.toFixed(2)}.`,
        'Check the units of K, Ca and Mg and that no two columns are swapped; on limy soil, see the note on Mehlich-3.',
        at,
      ),
    ];
  const sum = bases + of.h_meq;
  if (Math.abs(sum - cec) > slack)
    return [
      caution(
        'soil-cations-not-cec',
        `The cations with the lab's acidity sum to ${sum.toFixed(2)} meq/100 g, and the stated CEC is ${cec.toFixed(2)}.`,
        'Check the units and the CEC with the lab; the stated CEC is used.',
        at,
      ),
    ];
  return [];
}

function aboutAcidity(of: Measured, settings: ChemistrySettings, acidity: number, at: Place): readonly Problem[] {
  const none_ph = settings.noAcidityFrom_ph;
  if (!Number.isNaN(of.h_meq) || settings.acidity.form === 'no acidity') return [];
  // The plan's word is said once, for the whole test.
  if (none_ph !== null && of.ph >= none_ph) return [];
  if (Number.isNaN(of.bufferPh))
    return [
      note(
        'soil-acidity-not-counted',
        `Buffer pH is blank and soil pH is ${of.ph.toFixed(1)}: no acidity is counted in the CEC.`,
        `Nothing is to be done if the lab leaves the buffer out from soil pH ${NO_BUFFER_NEEDED_PH} up.`,
        at,
      ),
    ];
  if (settings.acidity.form === '12 x (7 - buffer pH)' && of.ph > SMP_FORM_UP_TO_PH && acidity > 0)
    return [
      note(
        'soil-acidity-form',
        `Acidity of ${acidity.toFixed(2)} meq/100 g is counted by 12 x (7 - buffer pH) at soil pH ${of.ph.toFixed(1)}; the form is meant for soils up to pH ${SMP_FORM_UP_TO_PH}.`,
        'Compare the CEC with the lab’s own, or choose another acidity form.',
        at,
      ),
    ];
  return [];
}

function aboutLime(of: Measured, extractant: SoilSettings['extractant'], at: Place): readonly Problem[] {
  if (!(of.ph > CALCAREOUS_PH)) return [];
  const remedy =
    'Read the saturation with care, or ask the lab for cations by ammonium acetate; saturation cannot govern here without a reason.';
  const at73 = `Soil pH is ${of.ph.toFixed(1)}`;
  if (extractant === 'Mehlich-3')
    return [caution('soil-calcareous', `${at73}: Mehlich-3 dissolves lime, so Ca and CEC read too high.`, remedy, at)];
  if (extractant === 'not told')
    return [note('soil-calcareous', `${at73}: if the cations are by Mehlich-3, Ca and CEC read too high.`, remedy, at)];
  return [];
}

function labFirst(lab: Saturation, workedOut: Saturation): Saturation {
  const first = (of: keyof Saturation): number => (Number.isNaN(lab[of]) ? workedOut[of] : lab[of]);
  return {
    k_pct: first('k_pct'),
    ca_pct: first('ca_pct'),
    mg_pct: first('mg_pct'),
    na_pct: first('na_pct'),
    h_pct: first('h_pct'),
  };
}
