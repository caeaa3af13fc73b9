import './budget.css';
import type { ReactElement } from 'react';
import { LB_PER_SHORT_TON } from '../../core/base/units.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { Budget as BudgetSettings } from '../../core/rates/settings.ts';
import type { BudgetWay, RatesOut } from '../../core/rates/types.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { NumberField, SelectField } from '../ui/Fields.tsx';
import { figure, money, number, quantity, shortNumber, type UnitSystem, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';

/** The three ways in the window's words. */
export const WAY_NAMES: Readonly<Record<BudgetWay['rule'], string>> = {
  'all alike': 'Scale all alike',
  'worst first': 'Worst first',
  'equal marginal return': 'Equal next dollar',
};

interface BudgetProps {
  readonly plan: Plan;
  readonly rates: RatesOut;
  readonly fresh: boolean;
}

/** What there is to spend, the three ways to share it, and what each leaves undone. */
export function Budget({ plan, rates, fresh }: BudgetProps): ReactElement {
  const { budget } = plan.rates;
  const ways = rates.budget ?? [];
  return (
    <div className={fresh ? undefined : 'stale-figures'}>
      <Amount budget={budget} totals={rates.totals} />
      {budget && ways.length > 0 && (
        <>
          <Spend rates={rates} budget={budget} way={ways.find(({ rule }) => rule === budget.rule) ?? ways[0] ?? null} />
          <Ways rates={rates} budget={budget} />
          <Undone ways={ways} />
        </>
      )}
      <ProblemList problems={rates.problems.filter(({ code }) => code.startsWith('rates-budget'))} />
    </div>
  );
}

const set = (label: string, budget: BudgetSettings | null): void => editPart('rates', label, { budget });

/** What the plan takes as it is, so that a limit begins by changing nothing. */
const takenNow = (by: BudgetSettings['by'], { cost, product_tons }: RatesOut['totals']): number =>
  by === 'dollars' ? Math.ceil(cost) : Math.ceil(product_tons * 100) / 100;

function Amount({
  budget,
  totals,
}: {
  readonly budget: BudgetSettings | null;
  readonly totals: RatesOut['totals'];
}): ReactElement {
  const units = useView((view) => view.units);
  if (!budget)
    return (
      <Section title="No limit is set">
        <p className="ink2">
          The plan gives every zone what its ledger asks for. With less money, or fewer tons on hand, say how much there
          is; the three ways to share it then stand side by side. It begins with what the plan takes now.
        </p>
        <div className="hand-acts">
          <button
            type="button"
            className="btn s"
            data-setting="rates.budget"
            onClick={() =>
              set('a budget in dollars', { by: 'dollars', amount: takenNow('dollars', totals), rule: 'all alike' })
            }
          >
            Set dollars
          </button>
          <button
            type="button"
            className="btn s"
            onClick={() =>
              set('a budget in tons', {
                by: 'tons',
                amount: takenNow('tons', totals),
                rule: 'all alike',
              })
            }
          >
            Set tons on hand
          </button>
        </div>
      </Section>
    );
  return (
    <Section title="To spend">
      <SelectField
        label="Limit by"
        setting="rates.budget.by"
        value={budget.by}
        options={[
          { value: 'dollars', label: 'dollars, product and passes' },
          { value: 'tons', label: 'tons of product on hand' },
        ]}
        onCommit={(by) => set(`budget by ${by}`, { ...budget, by, amount: takenNow(by, totals) })}
      />
      <NumberField
        label={budget.by === 'dollars' ? 'Dollars' : 'Product on hand'}
        setting="rates.budget.amount"
        measure={budget.by === 'dollars' ? 'plain' : 'tons'}
        {...(budget.by === 'dollars' ? { unit: '$' } : {})}
        min={0}
        value={budget.amount}
        onCommit={(amount) =>
          set(`budget ${budget.by === 'dollars' ? money(amount) : quantity(amount, 'tons', units)}`, {
            ...budget,
            amount,
          })
        }
      />
      <div className="hand-acts">
        <button type="button" className="btn s" onClick={() => set('no budget', null)}>
          No limit
        </button>
      </div>
    </Section>
  );
}

/** What the ledger asks for without a limit, what there is, and what the chosen way leaves. */
function Spend({
  rates,
  budget,
  way,
}: {
  readonly rates: RatesOut;
  readonly budget: BudgetSettings;
  readonly way: BudgetWay | null;
}): ReactElement | null {
  const units = useView((view) => view.units);
  if (!way) return null;
  const asked_lb = way.zones.reduce((sum, zone) => sum + zone.asked_lbPerAc * acresOf(rates, zone.key), 0);
  const asked_tons = asked_lb / LB_PER_SHORT_TON;
  const tons = (value: number): string => quantity(value, 'tons', units, 2);
  const toSpend = budget.by === 'dollars' ? money(budget.amount) : tons(budget.amount);
  const cells = [
    ['asked for', tons(asked_tons), 'without a limit'],
    ['to spend', toSpend, `takes ${tons(way.tons)}, ${money(way.cost)}`],
    ['short by', tons(Math.max(0, asked_tons - way.tons)), `${number(way.undone_lbK2O)} lb K₂O undone`],
  ] as const;
  return (
    <dl className="budget-spend">
      {cells.map(([name, value, under]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>
            {value}
            <small>{under}</small>
          </dd>
        </div>
      ))}
    </dl>
  );
}

interface WaysProps {
  readonly rates: RatesOut;
  readonly budget: BudgetSettings;
}

function Ways({ rates, budget }: WaysProps): ReactElement {
  const units = useView((view) => view.units);
  const ways = rates.budget ?? [];
  const most = Math.max(1, ...ways.flatMap((way) => way.zones.map((zone) => zone.asked_lbPerAc)));
  const without = rates.zones.filter((zone) => !ways.some((way) => way.zones.some(({ key }) => key === zone.key)));
  return (
    <fieldset className="section budget-ways" data-setting="rates.budget.rule">
      <legend className="section-head">
        Three ways to share it <span>{unitOf('rate', units)}; dashed: what the ledger asks</span>
      </legend>
      {ways.map((way) => (
        <label key={way.rule} className={way.rule === budget.rule ? 'budget-way chosen' : 'budget-way'}>
          <span className="budget-way-head">
            <input
              type="radio"
              name="budget-rule"
              checked={way.rule === budget.rule}
              onChange={() => set(`budget: ${WAY_NAMES[way.rule].toLowerCase()}`, { ...budget, rule: way.rule })}
            />
            <b>{WAY_NAMES[way.rule]}</b>
            <span className="ink2">{sentenceOf(way, rates)}</span>
          </span>
          <Bars way={way} rates={rates} most={most} units={units} />
        </label>
      ))}
      {without.length > 0 && (
        <p className="small ink3 under">
          Not shared in: zone {without.map(({ letter }) => letter).join(', ')}, withheld.
        </p>
      )}
    </fieldset>
  );
}

/** The zone that is cut most, in a few words. */
function sentenceOf(way: BudgetWay, rates: RatesOut): string {
  const cuts = way.zones.map((zone) => ({ ...zone, cut: zone.asked_lbPerAc - zone.rate_lbPerAc }));
  const cut = cuts.filter((zone) => zone.cut > 0.5);
  if (cut.length === 0) return 'no zone is cut';
  const most = cut.reduce((a, b) => (b.cut > a.cut ? b : a));
  const letter = rates.zones.find(({ key }) => key === most.key)?.letter ?? '';
  if (cut.length === cuts.length) return `every zone is cut, ${letter} most`;
  return `${letter} is cut most; ${cut.length} of ${way.zones.length} are cut`;
}

const acresOf = (rates: RatesOut, key: string): number => rates.zones.find((zone) => zone.key === key)?.acres ?? 0;

const BAR_PX = 46;

function Bars({
  way,
  rates,
  most,
  units,
}: {
  readonly way: BudgetWay;
  readonly rates: RatesOut;
  readonly most: number;
  readonly units: UnitSystem;
}): ReactElement {
  return (
    <span className="budget-bars">
      {way.zones.map((zone) => {
        const asked = (zone.asked_lbPerAc / most) * BAR_PX;
        const given = (zone.rate_lbPerAc / most) * BAR_PX;
        const cut = zone.asked_lbPerAc - zone.rate_lbPerAc;
        const letter = rates.zones.find(({ key }) => key === zone.key)?.letter ?? '';
        return (
          <span key={zone.key} className="budget-bar">
            <span className="budget-cut">{cut > 0.5 ? figure(-cut, 'rate', units) : ''}</span>
            <svg viewBox={`0 0 40 ${BAR_PX + 1}`} preserveAspectRatio="none" aria-hidden="true">
              <rect className="budget-given" x="0.5" width="39" y={BAR_PX - given} height={given} />
              <rect
                className="budget-asked"
                x="0.5"
                width="39"
                y={BAR_PX - asked + 0.5}
                height={Math.max(0, asked - 0.5)}
              />
              <line className="budget-ground" x1="0" x2="40" y1={BAR_PX + 0.5} y2={BAR_PX + 0.5} />
            </svg>
            <span className="budget-foot">
              <b>{letter}</b> {figure(zone.rate_lbPerAc, 'rate', units)}
            </span>
          </span>
        );
      })}
    </span>
  );
}

/** Return in the middle of the doubt, by which the third way goes; how far it may be from the best, where that is not proven. */
const middle = (way: BudgetWay): string =>
  `${returned(way.return_dollars?.middle)}${way.gap_dollars > 0 ? `, within ${money(Math.ceil(way.gap_dollars))} of the best` : ''}`;

const returned = (dollars: number | undefined): string => (dollars === undefined ? 'no curve' : money(dollars));

function Undone({ ways }: { readonly ways: readonly BudgetWay[] }): ReactElement {
  const units = useView((view) => view.units);
  const deepest = (way: BudgetWay): number =>
    Math.max(0, ...way.zones.map((zone) => zone.asked_lbPerAc - zone.rate_lbPerAc));
  const rows: readonly (readonly [string, (way: BudgetWay) => string])[] = [
    [`Product, ${unitOf('tons', units)}`, (way) => figure(way.tons, 'tons', units, 2)],
    ['Cost', (way) => money(way.cost)],
    ['K₂O left undone, lb', (way) => number(way.undone_lbK2O)],
    [`Short ground that is cut, ${unitOf('area', units)}`, (way) => figure(way.shortAcres, 'area', units)],
    [`Deepest cut, ${unitOf('rate', units)}`, (way) => figure(deepest(way), 'rate', units)],
    ['May return over its cost, in the middle', (way) => middle(way)],
    ['May return over its cost, least', (way) => returned(way.return_dollars?.low)],
    ['May return over its cost, most', (way) => returned(way.return_dollars?.high)],
  ];
  return (
    <Section title="What each leaves">
      <table className="table budget-table">
        <thead>
          <tr>
            <th scope="col">
              <span className="unseen">Figure</span>
            </th>
            {ways.map((way) => (
              <th scope="col" className="num" key={way.rule}>
                {way.rule === 'equal marginal return' ? 'next dollar' : way.rule}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(([name, value]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              {ways.map((way) => (
                <td className="num" key={way.rule}>
                  {value(way)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </Section>
  );
}

/** Words of the budget for the panel's head: `$6,500, worst first`. */
export const budgetWords = (budget: BudgetSettings): string =>
  `${budget.by === 'dollars' ? money(budget.amount) : `${shortNumber(budget.amount, 2)} tons`}, ${WAY_NAMES[budget.rule].toLowerCase()}`;
