import { bases_meq, CALCAREOUS_PH, type ChemistrySettings, FACTORS, type Measured } from './chemistry.ts';
import { SHARES, slack_meq, type Tried, tryWay, type WayKind, waysOf } from './lab-ways.ts';
import type { SoilSettings } from './settings.ts';
import type { Saturation } from './types.ts';
import { OXIDE_PER_ELEMENT } from './units.ts';

/** Half a tenth of a point, to which labs round their shares, and a little. */
const ROUNDED_PCT = 0.06;
/** What a CEC rounded to a tenth is off by at most. */
const HALF_TENTH = 0.05;
/** Points within which the other shares count as fitting. */
const SLIP_WITHIN_PCT = 1;
/** Share of the samples that a cause has to explain. Ours. */
const CLEAR_MAJORITY = 2 / 3;
/** Samples that the causes are tried on, evenly over the file; the one that is found is then held against each. */
const TRIED_ON = 400;
/** Fewest samples that prove what is true of a whole column. Ours. */
const LEAST: Readonly<Record<WayKind, number>> = {
  reckoning: 1,
  'which cec': 1,
  'missing acidity': 1,
  'k column': 3,
  'cec column': 3,
  cations: 3,
  exchange: 3,
};

/** Said where none of the ways that were tried explains the lab's figures. */
export const NO_CAUSE = 'no single cause found';

/** Said where a value of the row is told only as a limit or as not detected. */
export const BY_RULE = 'a value of the row is told only as a limit, or as not detected';

/** A sample with what differs in it. */
export interface Differing {
  readonly of: Measured;
  /** Shares apart by more than the tolerance. */
  readonly shares: readonly (keyof Saturation)[];
  /** The stated CEC is apart from the sum. */
  readonly cec: boolean;
}

/** Likely causes of what differs in one sample, each in a clause. */
export interface LikelyCauses {
  saturation(share: keyof Saturation): string;
  cec(): string;
}

type Judged = ChemistrySettings & Pick<SoilSettings, 'tolerance_pct'>;

/**
 * Why a lab's saturations and CEC may differ from those worked out, sample by sample: one cause is looked for that holds for the whole test.
 *
 * Tried are, each alone and with the other factor set: factors rounded or exact; no acidity; another acidity form; acidity that the file does
 * not carry; the lab's CEC or the sum; Na left out; a K share from K2O; a K column that holds K2O; cations, or K alone, in lb/ac of
 * 6 in.; a CEC that is ten times as much; columns of K, Ca and Mg exchanged (`waysOf`). A way explains a sample where all that can be compared fits: of each share that
 * differs it leaves a quarter at most, and of all shares together, or what rounding to a tenth explains; and the CEC comes within the slack of a
 * stated CEC, or to a quarter of its difference. A sample in which nothing differs has to stay so.
 *
 * The cause explains two thirds of the samples that differ and of all that can be compared; what is true of a column needs three samples, one of
 * K its share, and an exchange two shares: a CEC alone proves none. Of several the simplest, then the nearest. What it does not explain
 * has `NO_CAUSE`, or is a slip where all other shares fit. `all` holds every sample of the test. Ours.
 * Cost: ways x 400 samples, then samples.
 */
export function likelyCauses(all: readonly Differing[], settings: Judged): (one: Differing) => LikelyCauses {
  const cause = causeOf(all, settings);
  return (one) => {
    const [own, way] =
      cause === null ? [triedOn(one, settings, 0), null] : [triedOn(one, settings, 0), triedOn(one, settings, cause)];
    const why = own && way && explains(one, own, way, settings) ? way.way.cause : null;
    return {
      saturation: (share) => why ?? slip(own, one.of.sat, share),
      cec: () => why ?? limeOf(one.of, settings),
    };
  };
}

const triedOn = ({ of }: Differing, settings: Judged, index: number): Tried | null => {
  const way = waysOf(of, settings)[index];
  return way ? tryWay(way, of.sat) : null;
};

/** Index of the way that explains the test; null where none does. */
function causeOf(all: readonly Differing[], settings: Judged): number | null {
  const differ = evenly(all.filter(isDiffering));
  const other = evenly(all.filter((one) => !isDiffering(one) && isCompared(one.of)));
  if (differ.length === 0) return null;
  const tried = (one: Differing) => ({ one, ways: waysOf(one.of, settings).map((way) => tryWay(way, one.of.sat)) });
  const [apart, fine] = [differ.map(tried), other.map(tried)];
  let best: number | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const [index, { way }] of (apart[0]?.ways ?? []).entries()) {
    if (index === 0) continue;
    const holds = ({ one, ways }: (typeof apart)[number]): boolean => {
      const [own, other] = [ways[0], ways[index]];
      return own !== undefined && other !== undefined && explains(one, own, other, settings);
    };
    const explained = apart.filter(holds);
    if (explained.length < LEAST[way.kind] || explained.length < CLEAR_MAJORITY * apart.length) continue;
    const stay = fine.filter(holds).length;
    if (explained.length + stay < CLEAR_MAJORITY * (apart.length + fine.length)) continue;
    let distance = 0;
    for (const { ways } of explained) distance += distanceOf(ways[index]);
    distance /= explained.length;
    if (distance < (way.two ? least / 4 : least) - 1e-9) [best, least] = [index, distance];
  }
  return best;
}

const isDiffering = ({ shares, cec }: Differing): boolean => cec || shares.length > 0;
const isCompared = (of: Measured): boolean =>
  of.cec_meq > 0 || SHARES.some(([, share]) => !Number.isNaN(of.sat[share]));

/** Points of the shares and percent of the CEC that are left. */
function distanceOf(tried: Tried | undefined): number {
  if (!tried) return 0;
  const { kind } = tried.way;
  const cec =
    kind === 'which cec' || kind === 'cec column'
      ? 0
      : (100 * Math.abs(tried.sum_meq - tried.way.of.cec_meq)) / tried.way.of.cec_meq;
  return tried.far + (Number.isNaN(cec) ? 0 : cec);
}

/** Whether all that can be compared in a sample fits a way. */
function explains({ of, shares, cec }: Differing, own: Tried, tried: Tried, settings: Judged): boolean {
  const { way } = tried;
  if (!way.applies) return false;
  const given = SHARES.filter(([, share]) => !Number.isNaN(of.sat[share])).length;
  if (way.kind === 'exchange' && given < 2) return false;
  if (way.kind === 'k column' && Number.isNaN(of.sat.k_pct)) return false;
  if (way.two && given < 2) return false;
  // A CEC that is rounded to a tenth moves every share of it.
  const loose = way.cecFrom === 'lab' ? HALF_TENTH / of.cec_meq : 0;
  if (shares.length > 0) {
    if (tried.far > Math.max(own.far / 4, Math.min(5 * ROUNDED_PCT + 100 * loose, 0.75 * own.far))) return false;
  } else if (SHARES.some(([, share]) => Math.abs(tried.saturation[share] - of.sat[share]) > settings.tolerance_pct))
    return false;
  for (const share of shares) {
    const limit = Math.max(Math.abs(own.saturation[share] - of.sat[share]) / 4, ROUNDED_PCT + loose * of.sat[share]);
    if (!(Math.abs(tried.saturation[share] - of.sat[share]) <= limit)) return false;
  }
  // Which CEC the shares are of says nothing of the CEC itself.
  if (way.kind === 'which cec') return shares.length > 0 || !cec;
  const off = Math.abs(tried.sum_meq - way.of.cec_meq);
  const slack = slack_meq(way.of.cec_meq);
  if (!cec) return !(off > slack);
  return off <= Math.min(Math.abs(own.sum_meq - of.cec_meq) / 4 + ROUNDED_PCT, slack);
}

const evenly = (all: readonly Differing[]): readonly Differing[] => {
  const step = Math.max(1, all.length / TRIED_ON);
  return all.filter((_one, index) => Math.floor(index / step) !== Math.floor((index - 1) / step));
};

/** One share far off where all others fit. */
function slip(own: Tried | null, lab: Saturation, share: keyof Saturation): string {
  if (!own) return NO_CAUSE;
  const rest = SHARES.flatMap(([, one]) => {
    const far = Math.abs(lab[one] - own.saturation[one]);
    return one === share || Number.isNaN(far) ? [] : [far];
  });
  return Math.abs(own.saturation[share] - lab[share]) > SLIP_WITHIN_PCT &&
    rest.length > 1 &&
    rest.every((far) => far <= SLIP_WITHIN_PCT)
    ? 'the other shares fit, so one of the two figures is a slip'
    : NO_CAUSE;
}

const limeOf = (of: Measured, settings: Judged): string =>
  of.ph > CALCAREOUS_PH && bases_meq(of, FACTORS[settings.factors]) > of.cec_meq
    ? 'the bases sum to more than the stated CEC, as where lime dissolves'
    : NO_CAUSE;

/** Why a lab's own percentages may not sum to 100: a cause for each sample, kept where it is that of two thirds of them; a share that misses its own value is one row's. */
export function whySums(
  sums: readonly { readonly lab: Saturation; readonly workedOut: Saturation }[],
): readonly string[] {
  const causes = sums.map(({ lab, workedOut }) => whySum(lab, workedOut));
  const times = (cause: string): number => causes.filter((one) => one === cause).length;
  const common = new Set([...new Set(causes)].filter((cause) => times(cause) >= CLEAR_MAJORITY * causes.length));
  return causes.map((cause) => (common.has(cause) || cause.startsWith(OWN_VALUE) ? cause : NO_CAUSE));
}

const OWN_VALUE = 'the share of ';

function whySum(lab: Saturation, workedOut: Saturation): string {
  const total = [lab.k_pct, lab.ca_pct, lab.mg_pct, lab.na_pct, lab.h_pct].reduce(
    (sum, one) => sum + (Number.isNaN(one) ? 0 : one),
    0,
  );
  const closes = (change: number): boolean => Math.abs(total + change - 100) <= 1;
  if (Number.isNaN(lab.na_pct) && closes(workedOut.na_pct)) return 'Na is left out of them';
  if (closes(-lab.na_pct)) return 'Na stands beside the 100, not in it';
  if (closes(-lab.h_pct)) return 'the bases alone make 100, and H stands beside them';
  if (
    closes(lab.k_pct / OXIDE_PER_ELEMENT.k - lab.k_pct) &&
    Math.abs(lab.k_pct / OXIDE_PER_ELEMENT.k - workedOut.k_pct) <= ROUNDED_PCT * 2
  )
    return 'K seems to be counted as K2O';
  for (const [name, share] of SHARES)
    if (Math.abs(workedOut[share] - lab[share]) > 1 && closes(workedOut[share] - lab[share]))
      return `${OWN_VALUE}${name} does not fit its own value`;
  return NO_CAUSE;
}
