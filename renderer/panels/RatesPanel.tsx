import './rates.css';
import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { GUIDES } from '../../core/rates/guides/list.ts';
import type { RatesOut, ZoneRate } from '../../core/rates/types.ts';
import { LedgerTable } from '../charts/LedgerTable.tsx';
import { ThreeAnswers } from '../charts/ThreeAnswers.tsx';
import { ZoneTabs } from '../charts/ZoneTabs.tsx';
import { goToSetting, waysTo } from '../commands/problems.ts';
import { gathered, isFresh } from '../store/derive.ts';
import { edit, usePlan } from '../store/document.ts';
import { useRatesChange } from '../store/rates-change.ts';
import { useResults } from '../store/results.ts';
import { openPanel, selectZone, useTab, useView } from '../store/view.ts';
import { CopyButton } from '../ui/CopyButton.tsx';
import { counted, money, quantity, readable } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';
import { AllZones } from './AllZones.tsx';
import { Basis } from './Basis.tsx';
import { Budget, budgetWords } from './Budget.tsx';
import { GOVERNING } from './basis-words.ts';
import { Compare } from './Compare.tsx';
import { Guides } from './Guides.tsx';
import { groundWords } from './ground-words.ts';
import { HandOverride } from './HandOverride.tsx';
import { ledgerText } from './ledger-text.ts';
import { ProblemList } from './Problems.tsx';
import { YearsAhead } from './YearsAhead.tsx';
import { ZoneChoices } from './ZoneChoices.tsx';

/** The account of every zone, all zones together, and the basis they rest on. */
export function RatesPanel(): ReactElement | null {
  const plan = usePlan();
  const results = useResults();
  const selected = useView((view) => view.selectedZone);
  const tab = useTab('rates', 'ledger');
  if (!plan) return null;
  const rates = results.out?.rates ?? null;
  const zone = rates?.zones.find((one) => one.key === selected) ?? rates?.zones[0] ?? null;
  const fresh = isFresh(plan, results);
  return (
    <PanelFrame
      panel="rates"
      title="Rates"
      sentence={
        <>
          Basis: <b>{basisWords(plan)}</b>
          <Changed />
        </>
      }
      tabs={[
        {
          id: 'ledger',
          label: 'Ledger',
          above: rates && zone && <Tabs rates={rates} zone={zone} />,
          body: rates && zone ? <Ledger plan={plan} rates={rates} zone={zone} fresh={fresh} /> : <NoRates />,
        },
        {
          id: 'all',
          label: 'All zones',
          body: rates ? <AllZones plan={plan} rates={rates} fresh={fresh} /> : <NoRates />,
        },
        {
          id: 'guides',
          label: 'Guides',
          above: rates && zone && <Tabs rates={rates} zone={zone} />,
          body: zone ? <Guides plan={plan} zone={zone} /> : <NoRates />,
        },
        {
          id: 'budget',
          label: 'Budget',
          body: rates ? <Budget plan={plan} rates={rates} fresh={fresh} /> : <NoRates />,
        },
        {
          id: 'compare',
          label: 'Compare',
          body: rates ? <Compare plan={plan} rates={rates} fresh={fresh} /> : <NoRates />,
        },
        { id: 'basis', label: 'Basis', body: <Basis plan={plan} rates={rates} /> },
      ]}
      foot={
        <>
          {tab === 'ledger' && zone && (
            <CopyButton label="Copy as text" text={() => ledgerText(zone, plan.rates.product.name)} />
          )}
          <span className="grow" />
          <button type="button" className="btn main" onClick={() => openPanel('handoff')}>
            To handoff
          </button>
        </>
      }
    />
  );
}

/** The basis in a few words: `Both floors, the larger; over 4 years`, or the guide that is followed; its name first, the budget last. */
export function basisWords({ rates }: Plan): string {
  const followed = GUIDES.find(({ id }) => id === rates.follows);
  const years = rates.buildUp_years === 1 ? 'all up front' : `over ${counted(rates.buildUp_years, 'year')}`;
  const words = [followed ? `as ${followed.name} says` : `${GOVERNING[rates.governs]}; ${years}`];
  if (rates.budget) words.push(budgetWords(rates.budget));
  const said = words.join('; ');
  return rates.basis === '' ? said.charAt(0).toUpperCase() + said.slice(1) : `${rates.basis} (${said})`;
}

/** What the last change did to tons and dollars, so that a line can be changed and its price seen. */
function Changed(): ReactElement | null {
  const change = useRatesChange((state) => state.change);
  const units = useView((view) => view.units);
  if (!change) return null;
  const none = Math.abs(change.tons) < 0.005 && Math.abs(change.cost) < 0.5;
  const signed = (value: number, text: string): string => (value > 0 ? `+${text}` : text);
  return (
    <output className="rates-change" data-testid="rates-change">
      Since the last change:{' '}
      {none ? (
        'tons and dollars as before'
      ) : (
        <b>
          {signed(change.tons, quantity(change.tons, 'tons', units, 2))}, {signed(change.cost, money(change.cost))}
        </b>
      )}
    </output>
  );
}

const NoRates = (): ReactElement => (
  <>
    <p className="section ink3">No rates yet: a stage before this one waits or has stopped.</p>
    <StoppedProblems />
  </>
);

function StoppedProblems(): ReactElement {
  const stages = useResults((results) => results.out?.stages);
  const problems = stages
    ? Object.values(stages).flatMap((stage) => (stage.state === 'problem' ? stage.problems : []))
    : [];
  return <ProblemList problems={gathered(problems.filter((problem) => problem.severity === 'stop'))} />;
}

function Tabs({ rates, zone }: { readonly rates: RatesOut; readonly zone: ZoneRate }): ReactElement {
  const units = useView((view) => view.units);
  return (
    <div className="zone-tabs-place">
      <ZoneTabs zones={rates.zones} selected={zone.key} onSelect={selectZone} units={units} controls="rates-body" />
    </div>
  );
}

interface LedgerProps {
  readonly plan: Plan;
  readonly rates: RatesOut;
  readonly zone: ZoneRate;
  readonly fresh: boolean;
}

function Ledger({ plan, rates, zone, fresh }: LedgerProps): ReactElement {
  const units = useView((view) => view.units);
  return (
    <div className={fresh ? 'ledger-place' : 'ledger-place stale-figures'}>
      <ThreeAnswers answers={zone.answers} units={units} />
      {zone.withheld && <Withheld plan={plan} zone={zone} />}
      <GroundLine zone={zone} />
      <LedgerTable zone={zone} productName={plan.rates.product.name} units={units} />
      <HandOverride plan={plan} zone={zone} />
      <ZoneChoices plan={plan} zone={zone} />
      <YearsAhead plan={plan} zone={zone} />
      {zone.short_ac > 0.05 && (
        <Note severity="caution">
          <b>
            {quantity(zone.short_ac, 'area', units)} of {quantity(zone.acres, 'area', units)}
          </b>{' '}
          lie short of the target by more than the {plan.rates.reading} says.
        </Note>
      )}
      <ProblemList problems={zone.problems} />
      <Section title="With every plan">
        <ul className="small ink2 sentences">
          {rates.cautions.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      </Section>
    </div>
  );
}

/** What is known of the zone's ground, and where it is told. */
function GroundLine({ zone }: { readonly zone: ZoneRate }): ReactElement {
  const words = groundWords(zone.history);
  return (
    <p className="ground-line small ink2">
      <span>Ground: {words === '' ? 'nothing told of its history' : words}</span>
      <button type="button" className="btn link small" onClick={() => goToSetting('ground.history')}>
        {words === '' ? 'Tell it' : 'Change it'}
      </button>
    </p>
  );
}

/** Why there is no rate, with a way to what settles it. */
function Withheld({ plan, zone }: { readonly plan: Plan; readonly zone: ZoneRate }): ReactElement {
  const units = useView((view) => view.units);
  const written0 = plan.handoff.withheld === 'written 0';
  // The ledger of the zone is where this stands.
  const ways = zone.withheld ? waysTo(zone.withheld).filter(({ label }) => label !== 'Open the ledger') : [];
  return (
    <Note severity="stop">
      <b>
        {quantity(zone.acres, 'area', units)} of zone {zone.letter} are withheld.
      </b>{' '}
      {readable(zone.withheld?.message ?? '')} {zone.withheld?.remedy} {written0 && 'The files say 0 there.'}
      <span className="hand-acts">
        {ways.map((way) => (
          <button type="button" className="btn s" key={way.label} onClick={way.go}>
            {way.label}
          </button>
        ))}
        {!written0 && (
          <button
            type="button"
            className="btn s"
            onClick={() =>
              edit('withheld ground is written as 0', (now) => ({
                ...now,
                handoff: { ...now.handoff, withheld: 'written 0' },
              }))
            }
          >
            Write 0 there
          </button>
        )}
      </span>
    </Note>
  );
}
