import './compare.css';
import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { Alternative, RatesOut, SpendingPath } from '../../core/rates/types.ts';
import { SpendingPlot } from '../charts/SpendingPlot.tsx';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { NumberField } from '../ui/Fields.tsx';
import { figure, money, number, readable, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';

interface CompareProps {
  readonly plan: Plan;
  readonly rates: RatesOut;
  readonly fresh: boolean;
}

/** The plan beside flat rates and removal alone, and spending at once beside a little every year. */
export function Compare({ plan, rates, fresh }: CompareProps): ReactElement {
  return (
    <div className={fresh ? undefined : 'stale-figures'}>
      <Alternatives alternatives={rates.alternatives} />
      <Spending plan={plan} paths={rates.spending} />
      <ProblemList problems={rates.problems.filter(({ code }) => code.startsWith('rates-spending'))} />
    </div>
  );
}

function Alternatives({ alternatives }: { readonly alternatives: readonly Alternative[] }): ReactElement | null {
  const units = useView((view) => view.units);
  if (alternatives.length === 0) return null;
  const most = Math.max(1, ...alternatives.flatMap((one) => [one.over_ac + one.under_ac]));
  return (
    <Section title="Other ways to treat the field" aside="against the plan’s own targets">
      <table className="table compare" data-testid="alternatives">
        <thead>
          <tr>
            <th scope="col">Way</th>
            <th scope="col" className="num">
              {unitOf('tons', units)}
            </th>
            <th scope="col" className="num">
              cost
            </th>
            <th scope="col" className="num">
              too little, {unitOf('area', units)}
            </th>
            <th scope="col" className="num">
              too much, {unitOf('area', units)}
            </th>
          </tr>
        </thead>
        <tbody>
          {alternatives.map((one) => (
            <tr key={one.key} className={one.key === 'plan' ? 'compare-plan' : undefined}>
              <th scope="row">
                {one.key === 'plan' ? <b>This plan</b> : readable(sentence(one.key))}
                <small>{readable(one.what)}</small>
                <Share one={one} most={most} />
              </th>
              <td className="num">{figure(one.tons, 'tons', units, 2)}</td>
              <td className="num">{money(one.cost)}</td>
              <td className="num">
                {figure(one.under_ac, 'area', units)}
                <small>{number(one.under_lbK2O)} lb K₂O</small>
              </td>
              <td className="num">
                {figure(one.over_ac, 'area', units)}
                <small>{number(one.over_lbK2O)} lb K₂O</small>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="small ink3 under">
        Bars: acres given too little to the left, solid; too much to the right, dashed. Counted cell by cell, so that a
        zone’s own spread shows in the plan’s line too.
      </p>
    </Section>
  );
}

const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Acres given too little, to the left, and too much, to the right, of one line. The figures stand in the columns. */
function Share({ one, most }: { readonly one: Alternative; readonly most: number }): ReactElement {
  const wide = (acres: number): number => (acres / most) * 100;
  return (
    <svg className="compare-bar" viewBox="-101 0 202 8" preserveAspectRatio="none" aria-hidden="true">
      <line className="compare-under" x1={-wide(one.under_ac)} x2="0" y1="4" y2="4" />
      <line className="compare-over" x1="0" x2={wide(one.over_ac)} y1="4" y2="4" />
      <line className="compare-mid" x1="0" x2="0" y1="0" y2="8" />
    </svg>
  );
}

/** How long the ground is the user's to farm: what is banked in it beyond that is somebody else's. */
export const LandYears = ({ plan }: { readonly plan: Plan }): ReactElement => (
  <NumberField
    label="Years the land is yours to farm"
    setting="rates.land_years"
    measure="whole"
    whole
    min={1}
    max={30}
    value={plan.rates.land_years}
    onCommit={(land_years) => editPart('rates', `land for ${land_years} years`, { land_years })}
  />
);

function Spending({
  plan,
  paths,
}: {
  readonly plan: Plan;
  readonly paths: readonly SpendingPath[] | null;
}): ReactElement {
  const units = useView((view) => view.units);
  const years = paths?.[0]?.years ?? [];
  const sameDollars = Math.abs((paths?.[0]?.cost ?? 0) - (paths?.[1]?.cost ?? 0)) < 0.5;
  return (
    <Section
      title="At once, or every year"
      aside={sameDollars ? 'the same dollars over the years' : 'as far as a year’s part pays a pass'}
    >
      <LandYears plan={plan} />
      {paths && <SpendingPlot paths={paths} />}
      {paths === null ? (
        <p className="small ink3">Not worked out: a figure that it needs is missing.</p>
      ) : (
        <table className="table compare" data-testid="spending">
          <thead>
            <tr>
              <th scope="col">Year</th>
              {paths.map((path) => (
                <th scope="colgroup" colSpan={3} className="num" key={path.key}>
                  {path.key}
                </th>
              ))}
            </tr>
            <tr>
              <th scope="col">
                <span className="unseen">Year</span>
              </th>
              {paths.map((path) => [
                <th scope="col" className="num" key={`${path.key} cost`}>
                  cost
                </th>,
                <th scope="col" className="num" key={`${path.key} ppm`}>
                  ppm
                </th>,
                <th scope="col" className="num" key={`${path.key} short`}>
                  short, {unitOf('area', units)}
                </th>,
              ])}
            </tr>
          </thead>
          <tbody>
            {years.map((_, index) => (
              // Years have no name but their number.
              // biome-ignore lint/suspicious/noArrayIndexKey: see above
              <tr key={index}>
                <td>{years[index]?.year}</td>
                {paths.map((path) => [
                  <td className="num" key={`${path.key} cost`}>
                    {money(path.years[index]?.cost)}
                  </td>,
                  <td className="num" key={`${path.key} ppm`}>
                    {number(path.years[index]?.k_ppm)}
                  </td>,
                  <td className="num" key={`${path.key} short`}>
                    {figure(path.years[index]?.short_ac, 'area', units)}
                  </td>,
                ])}
              </tr>
            ))}
            <tr className="sum">
              <td>All</td>
              {paths.map((path) => [
                <td className="num" key={`${path.key} cost`}>
                  {money(path.cost)}
                </td>,
                <td key={`${path.key} ppm`} />,
                <td key={`${path.key} short`} />,
              ])}
            </tr>
          </tbody>
        </table>
      )}
      {paths && <Returns paths={paths} />}
    </Section>
  );
}

/** What the response curve says each comes back with; nothing where no curve or price is told. */
function Returns({ paths }: { readonly paths: readonly SpendingPath[] }): ReactElement | null {
  const sums = paths.map((path) => {
    const known = path.years.map((year) => year.returns);
    if (known.some((one) => one === null)) return null;
    return known.reduce<{ low: number; high: number }>(
      (all, one) => ({ low: all.low + (one?.low ?? 0), high: all.high + (one?.high ?? 0) }),
      { low: 0, high: 0 },
    );
  });
  if (sums.some((sum) => sum === null))
    return (
      <p className="small ink3 under">With a response curve and a crop price, what each may return stands here.</p>
    );
  return (
    <dl className="figures under">
      {paths.map((path, index) => (
        <div key={path.key} className="compare-return">
          <dt>May return, {path.key}</dt>
          <dd>
            {money(sums[index]?.low)} to {money(sums[index]?.high)}
          </dd>
        </div>
      ))}
    </dl>
  );
}
