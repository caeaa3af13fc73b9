import { note, type Problem } from '../base/problem.ts';
import type { Account } from './account.ts';
import { cropUse } from './crop.ts';
import { workLedger } from './ledger.ts';
import { laterCropsAmiss, movesOf, planInYear, testAfter } from './path.ts';
import { responseProblems, returnsOf, withK2O_ppm, worthBand_perAc } from './response.ts';
import type { RatesSettings } from './settings.ts';
import { costOf_perAc, k2oOf, productsOf } from './spread.ts';
import { dollars } from './text.ts';
import type { SpendingPath } from './types.ts';

/** One zone, ready to be followed over the years. */
interface Way {
  readonly account: Account;
  readonly lbK2OPerPpm: number;
  /** K2O put on, and what that costs, at once in year 1. */
  readonly once: { readonly k2o_lbPerAc: number; readonly cost_perAc: number };
  /** The same dollars over the years: each year's K2O and cost. */
  readonly yearly: { readonly k2o_lbPerAc: number; readonly cost_perAc: number };
  /** lb K2O that each year's crop removes. */
  readonly removed_lbK2OPerAc: readonly number[];
}

/**
 * All at once and then skip, against the same dollars every year, over the years of the land.
 *
 * At once: in year 1 each zone gets what its ledger asks for with the whole build-up in one year, through caps, passes and machine, and
 * nothing after. Every year: the zone's same dollars in equal parts, each paying one pass first and product with the rest, not rounded to
 * the machine; where a part does not pay for the pass nothing is spread or spent. The test moves by (put on - removed) / lb K2O per ppm, the crops go
 * by the rotation; credits, leaching and the budget are left out. `k_ppm` is the acres' mean at the year's end, `short_ac` the acres of
 * zones then under their governing target, `returns` what the year's yield is worth over that of the same ground never fertilized:
 * null without curve or price, and in years of another crop than this season's, whose price is not known.
 * Where that leaves zones without, `rates-spending-unspent` names them and the dollars. Null, with `rates-spending-missing`, where no zone has a rate; or a zone's account cannot be worked; null where a later crop cannot, which `rates-then-crop` tells.
 */
export function spendingOf(
  rated: readonly Account[],
  plan: RatesSettings,
): { readonly paths: readonly SpendingPath[] | null; readonly problems: readonly Problem[] } {
  const ways = rated.map((account) => wayOf(account, plan.land_years));
  const known = ways.flatMap((way) => (way ? [way] : []));
  if (ways.length === 0) return { paths: null, problems: [missing('No zone has a rate')] };
  // a crop of the rotation that cannot be worked has been told with it
  if (known.length < ways.length)
    return {
      paths: null,
      problems: laterCropsAmiss(plan).length > 0 ? [] : [missing("A zone's own account cannot be worked out")],
    };
  const paths = [
    pathOf('at once, then skip', known, plan, ({ once }, year) => (year === 1 ? once : NOTHING)),
    pathOf('the same every year', known, plan, ({ yearly }) => yearly),
  ];
  return { paths, problems: unspent(known, paths, plan.land_years) };
}

/** `rates-spending-unspent`: zones whose part of a year does not pay a pass, so that the same every year spends less than all at once. */
function unspent(ways: readonly Way[], paths: readonly SpendingPath[], years: number): readonly Problem[] {
  const idle = ways.filter(({ once, yearly }) => once.cost_perAc > 0 && yearly.cost_perAc === 0);
  if (idle.length === 0) return [];
  const letters = idle.map(({ account }) => account.zone.letter);
  const left = idle.reduce((all, { account, once }) => all + account.zone.acres * once.cost_perAc, 0);
  const [once, yearly] = paths.map((path) => path.cost);
  return [
    {
      ...note(
        'rates-spending-unspent',
        `Spent every year the same, ${dollars(yearly ?? 0)} of the ${dollars(once ?? 0)} are put on: one year's part in ${years} does not pay a pass in zone${letters.length === 1 ? '' : 's'} ${letters.join(', ')}, so ${dollars(left)} stay unspent there.`,
        'Compare over fewer years, or read both ways with that in mind.',
        { setting: 'rates.land_years' },
      ),
      stage: 'rates',
    },
  ];
}

const missing = (why: string): Problem => ({
  ...note(
    'rates-spending-missing',
    `${why}, so spending at once and every year cannot be compared.`,
    'Settle what keeps the zones from a worked rate.',
  ),
  stage: 'rates',
});

const NOTHING = { k2o_lbPerAc: 0, cost_perAc: 0 } as const;

function wayOf(account: Account, years: number): Way | null {
  const { plan, ground } = account;
  const free = { ...ground, money: null, credits: [] };
  const built = workLedger(free, { ...plan, buildUp_years: 1 }, plan.governs);
  const products = productsOf(plan);
  if (!built.products_lbPerAc) return null;
  const removed: number[] = [];
  for (let year = 1; year <= years; year++) {
    const use = cropUse(planInYear(plan, year));
    if (typeof use === 'string') return null;
    removed.push(use.removal_lbK2OPerAc);
  }
  const k2o = k2oOf(built.products_lbPerAc, products);
  const cost = costOf_perAc(built.products_lbPerAc, products, plan.charge_perAcPerPass);
  const product = costOf_perAc(built.products_lbPerAc, products, 0);
  const part = cost / years;
  const forProduct = part - plan.charge_perAcPerPass;
  const pays = forProduct > 0 && product > 0;
  return {
    account,
    lbK2OPerPpm: movesOf(ground.supply_factor, ground.reading.cec_meq).lbK2OPerPpm,
    once: { k2o_lbPerAc: k2o, cost_perAc: cost },
    yearly:
      years === 1
        ? { k2o_lbPerAc: k2o, cost_perAc: cost }
        : pays
          ? { k2o_lbPerAc: (k2o * forProduct) / product, cost_perAc: part }
          : NOTHING,
    removed_lbK2OPerAc: removed,
  };
}

function pathOf(
  key: SpendingPath['key'],
  ways: readonly Way[],
  plan: RatesSettings,
  given: (way: Way, year: number) => Way['once'],
): SpendingPath {
  const acres = ways.reduce((all, { account }) => all + account.zone.acres, 0);
  const now = ways.map(({ account }) => account.ground.reading.k_ppm);
  const never = [...now];
  const years: SpendingPath['years'][number][] = [];
  for (let year = 1; year <= plan.land_years; year++) {
    let cost = 0;
    let sum = 0;
    let short_ac = 0;
    const sameCrop = planInYear(plan, year).crop === plan.crop && responseProblems(plan.response).length === 0;
    let returns: { low: number; high: number } | null = sameCrop ? { low: 0, high: 0 } : null;
    ways.forEach((way, index) => {
      const { zone, plan: own, worked } = way.account;
      const { k2o_lbPerAc, cost_perAc } = given(way, year);
      const from = never[index] ?? Number.NaN;
      const start = now[index] ?? Number.NaN;
      const by = returnsOf(planInYear(own, year), way.lbK2OPerPpm);
      const worth = by ? worthBand_perAc(by, from, withK2O_ppm(start, k2o_lbPerAc, by)) : null;
      returns =
        returns && worth
          ? { low: returns.low + zone.acres * worth.low, high: returns.high + zone.acres * worth.high }
          : null;
      const removed = way.removed_lbK2OPerAc[year - 1] ?? 0;
      const end = testAfter(start, k2o_lbPerAc - removed, way.lbK2OPerPpm);
      now[index] = end;
      never[index] = testAfter(from, 0 - removed, way.lbK2OPerPpm);
      cost += zone.acres * cost_perAc;
      sum += zone.acres * end;
      if (end < worked.governing.target_ppm - SHORT_PPM) short_ac += zone.acres;
    });
    years.push({ year, cost, k_ppm: sum / acres, short_ac, returns });
  }
  return { key, years, cost: years.reduce((all, one) => all + one.cost, 0) };
}

/** A test this little under its target is even with it: less than a lab can tell. Ours. */
const SHORT_PPM = 1;
