import { caution, type Problem } from '../base/problem.ts';
import { K2O_PER_K, KG_PER_LB, M2_PER_ACRE } from '../base/units.ts';
import type { Credit } from './settings.ts';
import { figure, typed } from './text.ts';
import type { LedgerLine } from './types.ts';
import { shareWhere } from './zone-history.ts';

/** One credit as it stands for a zone. */
export interface ZoneCredit {
  readonly name: string;
  /** lb K2O/ac over the zone; 0 where it does not count. */
  readonly counts_lbK2OPerAc: number;
  /** The sum in words, or why it does not count. */
  readonly how: string;
  /** True where nobody told a day by which it could be said to come after the sample. */
  readonly undated: boolean;
}

/** When the zone was sampled, as far as it is told. */
export interface Sampling {
  /** ISO day, or empty. */
  readonly on: string;
  /** First and last year of the field's tests; null where none is told. */
  readonly years: { readonly first: number; readonly last: number } | null;
}

const L_PER_AC_IN = M2_PER_ACRE * 0.0254 * 1000;
/**
 * lb K/ac in irrigation water: inches x mg/L x 0.2266, since an inch on an acre is 102,790 L and a pound 453,592 mg.
 */
export const kInWater_lbPerAc = (water_in: number, k_mgPerL: number): number =>
  (water_in * k_mgPerL * L_PER_AC_IN) / (KG_PER_LB * 1e6);

/**
 * Whether something put on came after the sample: by its day against the day of sampling, which must be later; where only the year of the
 * test is told, a year after it does and a year before it does not. `unknown` where that decides nothing.
 */
export function cameAfter(on: string, sampling: Sampling): 'yes' | 'no' | 'unknown' {
  const day = on.slice(0, 10);
  if (day === '') return 'unknown';
  if (sampling.on !== '') return day > sampling.on ? 'yes' : 'no';
  if (!sampling.years) return 'unknown';
  const year = Number(day.slice(0, 4));
  if (year > sampling.years.last) return 'yes';
  return year < sampling.years.first ? 'no' : 'unknown';
}

/**
 * Each credit as it counts in one zone, in the plan's order.
 *
 * Manure: rate x total K2O per unit x availability (about 90 % the first year: University of Minnesota, second-hand). Water: by
 * `kInWater_lbPerAc` x 1.2046, always counted, since it comes with the season. Fertilizer: lb K2O/ac as told. What lies on a part of
 * the zone counts by its share of the ground. What came before the sample is in the test already and counts nothing; what nobody dated counts
 * nothing either and is `undated`. Source: ours.
 */
export function creditsOf(
  credits: readonly Credit[],
  zoneKey: string,
  shares: ReadonlyMap<string, number>,
  sampling: Sampling,
): readonly ZoneCredit[] {
  return credits.flatMap((credit) => {
    const share = shareWhere(credit.where, zoneKey, shares);
    if (share === 0) return [];
    const { name } = credit;
    const sum = sumOf(credit);
    const part = share < 1 ? `, on ${figure(share * 100)} % of the zone` : '';
    const none = (why: string, undated: boolean): ZoneCredit[] => [
      { name, counts_lbK2OPerAc: 0, how: `${name}: ${sum.how}, not counted: ${why}`, undated },
    ];
    if (credit.kind !== 'irrigation water') {
      const { afterSample } = credit;
      const after = afterSample === 'by date' ? cameAfter(credit.on, sampling) : afterSample;
      if (after === 'no') return none('it did not come after the sample, so it is taken to be in the test', false);
      if (after === 'unknown') return none('nobody told whether it came after the sample', true);
    }
    return [
      {
        name,
        counts_lbK2OPerAc: sum.lbK2OPerAc * share,
        how: `${name}: ${sum.how}${part} = ${figure(sum.lbK2OPerAc * share, 1)}`,
        undated: false,
      },
    ];
  });
}

function sumOf(credit: Credit): { readonly lbK2OPerAc: number; readonly how: string } {
  if (credit.kind === 'manure')
    return {
      lbK2OPerAc: (credit.rate_perAc * credit.k2o_lbPerUnit * credit.availability_pct) / 100,
      how: `${typed(credit.rate_perAc)} x ${typed(credit.k2o_lbPerUnit)} lb K2O per ${credit.rateUnit} (${credit.analysis === '' ? 'analysis not named' : credit.analysis}) x ${typed(credit.availability_pct)} % available, ${credit.method}`,
    };
  if (credit.kind === 'irrigation water') {
    const k = kInWater_lbPerAc(credit.water_in, credit.k_mgPerL);
    return {
      lbK2OPerAc: k * K2O_PER_K,
      how: `${typed(credit.water_in)} in. x ${typed(credit.k_mgPerL)} mg/L x 0.2266 = ${figure(k, 1)} lb K, x 1.2046`,
    };
  }
  return { lbK2OPerAc: credit.k2o_lbPerAc, how: `${typed(credit.k2o_lbPerAc)} lb K2O/ac` };
}

/** What the credits take off, and what is left of them for next year. NaN where what is asked for is not known. */
export interface Credited {
  readonly all_lbK2OPerAc: number;
  readonly used_lbK2OPerAc: number;
  readonly carriedOver_lbK2OPerAc: number;
}

/** All credits of a zone against what is asked for: no more is used than is asked for, the rest counts next year. */
export function credited(credits: readonly ZoneCredit[], asked_lbK2OPerAc: number): Credited {
  const all = credits.reduce((sum, one) => sum + one.counts_lbK2OPerAc, 0);
  if (Number.isNaN(asked_lbK2OPerAc))
    return { all_lbK2OPerAc: all, used_lbK2OPerAc: Number.NaN, carriedOver_lbK2OPerAc: 0 };
  const used = Math.min(all, Math.max(0, asked_lbK2OPerAc));
  return { all_lbK2OPerAc: all, used_lbK2OPerAc: used, carriedOver_lbK2OPerAc: all - used };
}

/** Line 8: each credit, and what they take off together. */
export function creditsLine(credits: readonly ZoneCredit[], sum: Credited): LedgerLine {
  const how = credits.map((one) => one.how);
  if (sum.carriedOver_lbK2OPerAc > 0)
    how.push(`${figure(sum.carriedOver_lbK2OPerAc, 1)} more than is asked for, which counts next year`);
  const none = credits.length === 0;
  return {
    n: 8,
    key: 'credits',
    label: 'Credits',
    how: none ? 'none entered for this zone' : how.join('; '),
    unit: 'lb K2O/ac',
    working: none ? null : sum.all_lbK2OPerAc,
    // 0 - used, since -0 is not 0 in a file
    carried: none ? 0 : Number.isNaN(sum.used_lbK2OPerAc) ? null : 0 - sum.used_lbK2OPerAc,
    ...(none
      ? {}
      : {
          source:
            'as entered in the plan; manure about 90 % available the first year: University of Minnesota, second-hand; only what came after the sample counts: ours',
        }),
  };
}

/** Credits laid on zones or drawn areas that are not there: `rates-credit-nowhere`, one a credit. They stay in the plan. */
export function creditsNowhere(
  credits: readonly Credit[],
  zoneKeys: readonly string[],
  areaIds: readonly string[],
): readonly Problem[] {
  return credits.flatMap(({ name, where }) => {
    if (where === null) return [];
    const keys = where.zoneKeys.filter((key) => !zoneKeys.includes(key));
    const areas = where.areaIds.filter((id) => !areaIds.includes(id));
    const lost = [...keys.map((key) => `zone ${key}`), ...areas.map((id) => `area ${id}`)];
    const nowhere = where.zoneKeys.length + where.areaIds.length === 0;
    if (lost.length === 0 && !nowhere) return [];
    return [
      caution(
        'rates-credit-nowhere',
        nowhere
          ? `The credit ${name} is laid on no zone and no area, so it counts nowhere.`
          : `The credit ${name} is laid on ${lost.join(', ')}, which ${lost.length === 1 ? 'is' : 'are'} not there now: that part is not counted.`,
        'Say again where it was put on.',
        { setting: 'rates.credits' },
      ),
    ];
  });
}
