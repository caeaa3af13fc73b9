import type { ReactElement } from 'react';
import type { BackLine } from '../../core/handoff/back/compare.ts';
import type { OpenedPrescription } from '../../core/handoff/back/types.ts';
import type { Prescription } from '../../core/handoff/types.ts';
import { compareOpenedWith } from '../commands/open-prescription.ts';
import { useDocument } from '../store/document.ts';
import { useOpened } from '../store/opened.ts';
import { useResults } from '../store/results.ts';
import { flyTo, useView } from '../store/view.ts';
import { SelectField } from '../ui/Fields.tsx';
import { figure, number, quantity, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';

/** The opened file less the plan, zone by zone. */
export function OpenedBack({ opened }: { readonly opened: OpenedPrescription }): ReactElement | null {
  const hasPlan = useDocument((state) => state.history !== null);
  const back = useOpened((state) => state.back);
  const prescriptions = useResults((results) => results.out?.handoff?.prescriptions);
  const units = useView((view) => view.units);
  const layer = useView((view) => view.layer);
  if (!hasPlan) return null;
  if (!back)
    return (
      <Section title="Against the plan">
        <p className="ink3">Nothing to compare with yet: the plan has no prescription made.</p>
      </Section>
    );
  const { comparison } = back;
  const { all, zones } = comparison;
  const same = all.planOnly_ac === 0 && all.fileOnly_ac === 0 && all.greatest_lbPerAc === 0;
  return (
    <Section
      title="Against the plan"
      aside={
        <button
          type="button"
          className="btn s"
          aria-pressed={layer === 'openedLess'}
          onClick={() => useView.setState({ layer: layer === 'openedLess' ? null : 'openedLess' })}
        >
          {layer === 'openedLess' ? 'Difference shown' : 'Show the difference'}
        </button>
      }
    >
      <AgainstField prescriptions={prescriptions ?? []} />
      <ProblemList problems={comparison.problems} />
      <p className="small ink2" data-testid="opened-says">
        {same
          ? `${opened.name} is the plan: the same ground and the same rates.`
          : `Opened less planned, ${comparison.pass}${comparison.product === '' ? '' : `, ${comparison.product}`}.`}
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a part that scrolls can be reached by the keyboard */}
      <section className="opened-back" tabIndex={0} aria-label="Opened less planned">
        <table className="table" data-testid="opened-back">
          <thead>
            <tr>
              <th scope="col">Zone</th>
              <th scope="col" className="num">
                both, {unitOf('area', units)}
              </th>
              <th scope="col" className="num">
                planned, {unitOf('pounds', units)}
              </th>
              <th scope="col" className="num">
                opened
              </th>
              <th scope="col" className="num">
                mean, {unitOf('rate', units)}
              </th>
              <th scope="col" className="num">
                greatest
              </th>
            </tr>
          </thead>
          <tbody>
            {zones.map((line) => (
              <Line key={line.letter} line={line} />
            ))}
            <Line line={all} />
          </tbody>
        </table>
      </section>
      <dl className="figures opened-figures">
        <dt>In the file alone</dt>
        <dd>{quantity(all.fileOnly_ac, 'areaFine', units)}</dd>
        <dt>In the plan alone</dt>
        <dd>{quantity(all.planOnly_ac, 'areaFine', units)}</dd>
        <dt>Differs by more than {quantity(comparison.step_lbPerAc, 'rate', units)}</dt>
        <dd>{quantity(all.differs_ac, 'areaFine', units)}</dd>
        {all.greatestAt && (
          <>
            <dt>Greatest difference</dt>
            <dd>
              <button type="button" className="btn s" onClick={() => flyTo(all.greatestAt)}>
                {signed(all.greatest_lbPerAc, units)} {unitOf('rate', units)}: show the place
              </button>
            </dd>
          </>
        )}
      </dl>
      <p className="small ink3">
        Looked at in {number(comparison.pointsPerCell)} points a cell, which alone miss the acres by{' '}
        {quantity(comparison.error_ac, 'areaFine', units)}. It is kept for this session, not in the plan.
      </p>
    </Section>
  );
}

const signed = (rate: number, units: 'US' | 'metric'): string => {
  const text = figure(rate, 'rate', units, Math.abs(rate) > 0 && Math.abs(rate) < 1 ? 2 : 0);
  return rate > 0 && text !== '0' ? `+${text}` : text;
};

function Line({ line }: { readonly line: BackLine }): ReactElement {
  const units = useView((view) => view.units);
  return (
    <tr className={line.letter === '' ? 'sum' : undefined}>
      <td>{line.letter === '' ? 'In all' : line.letter}</td>
      <td className="num">{figure(line.both_ac, 'areaFine', units)}</td>
      <td className="num">{figure(line.planned_lb, 'pounds', units)}</td>
      <td className="num">{figure(line.opened_lb, 'pounds', units)}</td>
      <td className="num">{signed(line.meanDifference_lbPerAc, units)}</td>
      <td className="num">{signed(line.greatest_lbPerAc, units)}</td>
    </tr>
  );
}

/** Which pass and product of the plan, where there is a choice. */
function AgainstField({ prescriptions }: { readonly prescriptions: readonly Prescription[] }): ReactElement | null {
  const back = useOpened((state) => state.back);
  const choices = prescriptions.flatMap(({ pass, totals }) =>
    totals.byProduct.map(({ product }, index) => ({ pass, product, index })),
  );
  const nameOf = (pass: string, product: string): string => `${pass}, ${product}`;
  if (!back || choices.length < 2) return null;
  return (
    <SelectField
      label="Compared with"
      value={nameOf(back.comparison.pass, back.comparison.product)}
      options={choices.map(({ pass, product }) => ({ value: nameOf(pass, product), label: nameOf(pass, product) }))}
      onCommit={(name) => {
        const chosen = choices.find(({ pass, product }) => nameOf(pass, product) === name);
        if (chosen) void compareOpenedWith({ pass: chosen.pass, product: chosen.index });
      }}
    />
  );
}
