import { caution, note, type Problem, stop } from '../base/problem.ts';
import { choiceBy, RULES, type Rule, wayOf, worstUnfed } from './budget.ts';
import { type BudgetZone, type Choice, type Option, spent } from './budget-options.ts';
import type { Ground, Money, Worked } from './ledger.ts';
import { beforeCaps_lbK2OPerAc } from './left.ts';
import { movesOf } from './path.ts';
import { middleReturn_perAc, type Returns, returnOf, returnsOf, withK2O_ppm } from './response.ts';
import type { Budget, RatesSettings } from './settings.ts';
import { costOf_perAc, k2oOf, perPass_lbPerAc, productsOf, spreadOf } from './spread.ts';
import { figure, typed } from './text.ts';
import type { BudgetWay } from './types.ts';

/** A zone as it stands before the budget. */
export interface Sharer {
  readonly key: string;
  readonly letter: string;
  readonly acres: number;
  readonly plan: RatesSettings;
  readonly ground: Ground;
  readonly worked: Worked;
  /** Rates that may not be changed, such as those typed by hand: one list a product; null where the ledger's stand. */
  readonly fixed_lbPerAc: readonly (readonly number[])[] | null;
  /** False where the zone gets no rate at all. */
  readonly rated: boolean;
}

/** How a budget is shared. */
export interface Shared {
  /** The rules at the plan's amount, as far as they can be worked out; null where no budget is set. */
  readonly ways: readonly BudgetWay[] | null;
  /** What the chosen rule leaves each zone, by key; none for rates that may not be changed. */
  readonly money: ReadonlyMap<string, Money>;
  /** Why the chosen rule cannot be followed, so that no zone may get a rate; null where it can. */
  readonly blocked: Problem | null;
  readonly problems: readonly Problem[];
}

/** Whether any zone's ledger asks for product that a budget could leave out. */
const asksForSome = (zones: readonly BudgetZone[]): boolean =>
  zones.some((zone) => zone.options.length > 1 && (zone.options.at(-1)?.rate_lbPerAc ?? 0) > 0);

/** Most rates of a zone that are tried: beyond it they are tried in coarser steps. */
const MOST_OPTIONS = 400;
const NO_BUDGET: Shared = { ways: null, money: new Map(), blocked: null, problems: [] };

/**
 * The three rules at the plan's budget, and what the chosen one leaves each zone.
 *
 * A zone's options are what passes and machine make of its K2O in steps of the machine, from nothing to all that its ledger asks for;
 * zones without a rate share in nothing, and hand-typed rates are paid first. Problems: `rates-budget-no-curve` (equal marginal return
 * without curve, price or goal: a stop where it is the chosen rule, a note else), `rates-budget-by-hand` (typed rates alone take more),
 * `rates-budget-nothing` (an amount of 0, or one that the rule turns into nothing anywhere), `rates-budget-unspent` (worst first stops at a zone whose next step is
 * not paid), `rates-budget-near` (equal marginal return could not be proven to be the best).
 */
export function shareBudget(zones: readonly Sharer[], budget: Budget | null): Shared {
  if (budget === null) return NO_BUDGET;
  const sharing = zones.filter((zone) => zone.rated && !(zone.ground.off && zone.fixed_lbPerAc === null));
  const offered = sharing.map(budgetZone);
  const problems: Problem[] = [];
  const ways: BudgetWay[] = [];
  let chosen: Choice | null = null;
  for (const rule of RULES) {
    const found = choiceBy(rule, offered, budget);
    if (found) ways.push(wayOf(rule, offered, found));
    else problems.push(noCurve(rule === budget.rule));
    if (rule === budget.rule) chosen = found?.choice ?? null;
    if (found && found.gap_dollars > 0)
      problems.push(
        note(
          'rates-budget-near',
          `Equal marginal return is within $${figure(Math.ceil(found.gap_dollars))} of the best way there is to share the budget: with so many zones and rates the best was not sought to the end.`,
          'Use larger steps of the machine or fewer zones to have it found.',
          { setting: 'rates.budget.rule' },
        ),
      );
  }
  const byHand = sharing.flatMap((zone, index) => {
    const one = offered[index];
    return zone.fixed_lbPerAc && one ? [one] : [];
  });
  const handSpent = spent(
    byHand,
    byHand.map(() => 0),
    budget.by,
  );
  if (handSpent > budget.amount + 1e-6) problems.push(overByHand(handSpent, budget));
  if (budget.amount === 0)
    problems.push(
      note(
        'rates-budget-nothing',
        'The budget is 0, so no zone gets anything.',
        'Say how much there is, or set no budget.',
        {
          setting: 'rates.budget.amount',
        },
      ),
    );
  else if (chosen && offered.length > 0 && spent(offered, chosen, budget.by) === 0 && asksForSome(offered))
    problems.push(
      caution(
        'rates-budget-nothing',
        `By this rule ${budget.by === 'dollars' ? `$${typed(budget.amount)} buy` : `${typed(budget.amount)} tons give`} nothing anywhere: ${budget.rule === 'all alike' ? "each zone's share is under what the machine can spread at least" : budget.rule === 'worst first' ? "no zone's least rate is paid by it" : 'no rate that it pays returns more than it costs'}.`,
        budget.rule === 'all alike'
          ? 'Let the worst go first, raise it, or set no budget.'
          : 'Raise it, or set no budget.',
        { setting: 'rates.budget.rule' },
      ),
    );
  const unspent = chosen && budget.rule === 'worst first' ? unspentBy(offered, chosen, budget) : null;
  if (unspent) {
    const letter = sharing[unspent.zone]?.letter ?? '';
    problems.push(
      note(
        'rates-budget-unspent',
        `${budget.by === 'dollars' ? `$${figure(unspent.left)}` : `${figure(unspent.left, 2)} tons`} of the budget stay unspent: they do not pay the next step of zone ${letter}, and by this rule no ground that stands better is fed before it.`,
        'Raise the budget so far, or share it by another rule.',
        { setting: 'rates.budget.rule' },
      ),
    );
  }
  const money = new Map<string, Money>();
  sharing.forEach((zone, index) => {
    const option = chosen ? offered[index]?.options[chosen[index] ?? 0] : undefined;
    if (option && !zone.fixed_lbPerAc) money.set(zone.key, { k2o_lbPerAc: option.k2o_lbPerAc, how: howOf(budget) });
  });
  const staged = problems.map((problem): Problem => ({ ...problem, stage: 'rates' }));
  return {
    ways,
    money,
    blocked: staged.find((problem) => problem.severity === 'stop') ?? null,
    problems: staged.filter((problem) => problem.severity !== 'stop'),
  };
}

/** What the worst first leaves unspent although zones would take it, and the zone that it stopped at; null where nothing worth a word is. */
function unspentBy(
  zones: readonly BudgetZone[],
  choice: Choice,
  { by, amount }: Budget,
): { readonly left: number; readonly zone: number } | null {
  const left = amount - spent(zones, choice, by);
  const zone = worstUnfed(zones, choice);
  return zone === null || left < (by === 'dollars' ? 1 : 0.01) || spent(zones, choice, by) === 0
    ? null
    : { left, zone };
}

const amountText = ({ by }: Budget, amount: number): string =>
  by === 'dollars' ? `$${figure(amount)}` : `${typed(amount)} tons`;
const RULE_WORDS: Readonly<Record<Rule, string>> = {
  'all alike': 'every zone gets the same share of what it asks for',
  'worst first': 'the zones lowest against their target first',
  'equal marginal return': 'the next dollar goes where it returns most, while it returns more than it costs',
};
const howOf = (budget: Budget): string =>
  `${amountText(budget, budget.amount)} for the field, ${RULE_WORDS[budget.rule]}`;

function budgetZone({ key, acres, plan, ground, worked, fixed_lbPerAc }: Sharer): BudgetZone {
  const { k_ppm } = ground.reading;
  const moves = movesOf(ground.supply_factor, ground.reading.cec_meq);
  const returns = returnsOf(plan, moves.lbK2OPerPpm);
  /** What the crop finds without any product: the returns begin there. */
  const found_ppm = withK2O_ppm(k_ppm, worked.credited.all_lbK2OPerAc, moves);
  const fixed = fixed_lbPerAc === null ? null : [optionOf(Number.NaN, fixed_lbPerAc, plan, found_ppm, returns)];
  return {
    key,
    acres,
    standing: k_ppm / worked.governing.target_ppm,
    short: worked.governing.takes_lbK2OPerAc > 0,
    aboveRange: worked.governing.aboveRange,
    asked_lbK2OPerAc: fixed ? 0 : beforeCaps_lbK2OPerAc(worked),
    options: fixed ?? optionsOf(worked, plan, found_ppm, returns),
  };
}

/** Every rate that passes and machine make of a part of the zone's K2O, rising, none twice. */
function optionsOf(worked: Worked, plan: RatesSettings, k_ppm: number, returns: Returns | null): readonly Option[] {
  const asked = worked.toSpread_lbK2OPerAc;
  const { mix, split } = spreadOf(asked, worked.spread);
  const total = split ? mix.first_lbPerAc + mix.second_lbPerAc - split.left_lbPerAc : 0;
  const step = plan.machine.step_lbPerAc * Math.max(1, Math.ceil(total / plan.machine.step_lbPerAc / MOST_OPTIONS));
  const whole = mix.first_lbPerAc + mix.second_lbPerAc;
  const tried: number[] = [0];
  for (let lb = step; lb < total; lb += step) tried.push((asked * lb) / whole);
  if (asked > 0) tried.push(asked);
  const options: Option[] = [];
  for (const k2o of tried) {
    const rates = spreadOf(k2o, worked.spread).rates_lbPerAc;
    if (!rates) continue;
    const option = optionOf(k2o, rates, plan, k_ppm, returns);
    const last = options.at(-1);
    if (!last || option.rate_lbPerAc > last.rate_lbPerAc + 1e-9) options.push(option);
    else if (k2o === asked && option.rate_lbPerAc >= last.rate_lbPerAc - 1e-9) options[options.length - 1] = option;
  }
  return options;
}

function optionOf(
  k2o_lbPerAc: number,
  rates_lbPerAc: readonly (readonly number[])[],
  plan: RatesSettings,
  k_ppm: number,
  returns: Returns | null,
): Option {
  const products = productsOf(plan);
  const given = k2oOf(rates_lbPerAc, products);
  const band = returnOf(returns, k_ppm, given);
  return {
    k2o_lbPerAc,
    given_lbK2OPerAc: given,
    rate_lbPerAc: perPass_lbPerAc(rates_lbPerAc).reduce((all, one) => all + one, 0),
    cost_perAc: costOf_perAc(rates_lbPerAc, products, plan.charge_perAcPerPass),
    return_perAc:
      returns === null || band === null
        ? null
        : { middle: middleReturn_perAc(returns, k_ppm, given), low: band.low, high: band.high },
  };
}

function noCurve(chosen: boolean): Problem {
  const message = `Equal marginal return needs a response curve, the price of the crop and a yield goal${chosen ? ': without them no zone gets a rate by it' : ', so it does not stand beside the other two'}.`;
  const remedy = 'Enter a curve with its source and the crop price, or share the budget by another rule.';
  return (chosen ? stop : note)('rates-budget-no-curve', message, remedy, { setting: 'rates.response' });
}

const overByHand = (took: number, budget: Budget): Problem =>
  caution(
    'rates-budget-by-hand',
    `Rates typed by hand alone take ${amountText(budget, took)} of a budget of ${amountText(budget, budget.amount)}.`,
    'Lower them, or raise the budget.',
    { setting: 'rates.overrides' },
  );
