import { toAcres } from '../../base/units.ts';
import type { Piece, Prescription } from '../types.ts';
import type { Group } from './join.kernel.ts';
import { meanUnder, type Share, sum_m2 } from './under.ts';

/** A zone with less of the record's ground than this is not named in its letter. */
const NAMED_SHARE = 0.05;
const LETTERS_MOST = 8;

/** A cell of a record. */
export interface Member {
  readonly under: readonly Share[];
  readonly rate_lbPerAc: number;
  readonly second_lbPerAc: number;
}

/** lb of K2O in a cell's products. */
export type K2oOf = (member: Member, zones: readonly Piece[]) => number;

/**
 * One record of some cells that have the same rates in this pass. Readings are means by area over the zones under them, where known; K2O is the mean of
 * the cells' own. Key and note are those of the zone with most area (the note begins with the zone's letter where others lie under the record or
 * its rate is not the zone's); the letter joins all zones with 5 % or more by '+', largest first, as far as 8 characters hold.
 */
export function pieceOf(
  { polygons, m2 }: Pick<Group, 'polygons' | 'm2'>,
  members: readonly Member[],
  zones: readonly Piece[],
  k2oOf: K2oOf,
): Piece {
  const first = members[0];
  const under = members.length === 1 ? (first?.under ?? []) : together(members);
  const named = byZone(under, zones);
  const main = zones[named[0]?.zone ?? -1];
  const total_m2 = sum_m2(under);
  let [k2o, weight] = [0, 0];
  for (const member of members) {
    const m2 = sum_m2(member.under);
    k2o += k2oOf(member, zones) * m2;
    weight += m2;
  }
  const rate_lbPerAc = first?.rate_lbPerAc ?? 0;
  const second_lbPerAc = first?.second_lbPerAc ?? 0;
  const asMain = named.length === 1 && main?.rate_lbPerAc === rate_lbPerAc && main.second_lbPerAc === second_lbPerAc;
  const note = main?.note ?? '';
  return {
    zoneKey: main?.zoneKey ?? '',
    letter: lettersOf(named, total_m2, zones),
    polygons,
    acres: toAcres(m2),
    rate_lbPerAc,
    second_lbPerAc,
    k2o_lbPerAc: weight > 0 ? k2o / weight : 0,
    k_ppm: meanUnder(under, (zone) => zones[zone]?.k_ppm ?? Number.NaN),
    kSat_pct: meanUnder(under, (zone) => zones[zone]?.kSat_pct ?? Number.NaN),
    cec_meq: meanUnder(under, (zone) => zones[zone]?.cec_meq ?? Number.NaN),
    note: note === '' || asMain ? note : `zone ${main?.letter ?? ''}: ${note}`,
  };
}

function together(members: readonly Member[]): Share[] {
  const sums = new Map<number, number>();
  for (const { under } of members) for (const { zone, m2 } of under) sums.set(zone, (sums.get(zone) ?? 0) + m2);
  return [...sums].map(([zone, m2]) => ({ zone, m2 }));
}

/** Shares of whole zones, most area first, whose parts are apart in the list; `zone` is one of the parts. */
function byZone(under: readonly Share[], zones: readonly Piece[]): Share[] {
  const sums = new Map<string, { zone: number; m2: number }>();
  for (const { zone, m2 } of under) {
    const key = zones[zone]?.zoneKey ?? '';
    const known = sums.get(key);
    if (known) known.m2 += m2;
    else sums.set(key, { zone, m2 });
  }
  return [...sums.values()].sort((a, b) => b.m2 - a.m2 || a.zone - b.zone);
}

function lettersOf(named: readonly Share[], total_m2: number, zones: readonly Piece[]): string {
  let text = '';
  for (const { zone, m2 } of named) {
    const letter = zones[zone]?.letter ?? '';
    const longer = text === '' ? letter.slice(0, LETTERS_MOST) : `${text}+${letter}`;
    if (text !== '' && m2 < NAMED_SHARE * total_m2) break;
    if (longer.length > LETTERS_MOST) break;
    text = longer;
  }
  return text;
}

/**
 * How much K2O a cell's rates hold: that of its zones by area, and with it what rounding and the limit on change put on more or less of each
 * product, at the product's K2O per lb. Those are found from the zones of all passes by least squares, which is exact, since a zone's K2O is
 * the sum of its products' shares. Where the zones cannot tell two products apart (always in one proportion) K2O follows both together.
 */
export function k2oOfRates(prescriptions: readonly Prescription[]): K2oOf {
  let [aa, ab, bb, ak, bk] = [0, 0, 0, 0, 0];
  for (const { rate_lbPerAc: a, second_lbPerAc: b, k2o_lbPerAc: k } of prescriptions.flatMap(({ pieces }) => pieces)) {
    aa += a * a;
    ab += a * b;
    bb += b * b;
    ak += a * k;
    bk += b * k;
  }
  const det = aa * bb - ab * ab;
  const apart = det > 1e-9 * aa * bb;
  const [perFirst, perSecond] = apart
    ? [(ak * bb - bk * ab) / det, (bk * aa - ak * ab) / det]
    : bb === 0
      ? [aa > 0 ? ak / aa : 0, 0]
      : aa === 0
        ? [0, bk / bb]
        : Array<number>(2).fill((ak + bk) / (aa + 2 * ab + bb));
  return ({ under, rate_lbPerAc, second_lbPerAc }, zones) => {
    const first = meanUnder(under, (zone) => zones[zone]?.rate_lbPerAc ?? 0);
    const second = meanUnder(under, (zone) => zones[zone]?.second_lbPerAc ?? 0);
    const k2o = meanUnder(under, (zone) => zones[zone]?.k2o_lbPerAc ?? 0);
    const changed = k2o + (rate_lbPerAc - first) * (perFirst ?? 0) + (second_lbPerAc - second) * (perSecond ?? 0);
    return rate_lbPerAc === 0 && second_lbPerAc === 0 ? 0 : Math.max(0, changed);
  };
}
