import type { ReactElement } from 'react';
import { squareMetres, toAcres } from '../../core/base/units.ts';
import { figure, number, shortNumber, type UnitSystem, unitOf } from '../ui/format.ts';
import { BALANCE_MEANS, BALANCE_NAMES, type BalanceClass, type BalanceLimits, type BalanceSums } from './balance.ts';
import { MarkKey } from './Mark.tsx';

export interface BalanceTableProps {
  readonly sums: BalanceSums;
  readonly limits: BalanceLimits;
  readonly lit: ReadonlySet<string>;
  readonly units: UnitSystem;
  readonly onBrush: (ids: readonly string[]) => void;
}

/** Samples and ground of each class. Choosing a class chooses its samples; choosing it again lets them go. */
export function BalanceTable({ sums, limits, lit, units, onBrush }: BalanceTableProps): ReactElement {
  const area = (m2: number): string => figure(toAcres(squareMetres(m2)), 'area', units);
  const all_m2 = sums.classes.reduce((all, one) => all + one.area_m2, sums.unknown.area_m2);
  const samples = sums.classes.reduce((all, one) => all + one.samples.length, sums.unknown.samples.length);
  const unknown = sums.unknown.samples.length > 0 || sums.unknown.area_m2 > 0;
  return (
    <table className="table plot-classes">
      <caption className="unseen">Balance classes</caption>
      <thead>
        <tr>
          <th scope="col">Class</th>
          <th scope="col" className="num">
            samples
          </th>
          <th scope="col" className="num">
            {unitOf('area', units)}
          </th>
        </tr>
      </thead>
      <tbody>
        {sums.classes.map(({ id, samples: ids, area_m2 }) => {
          const chosen = ids.length > 0 && ids.length === lit.size && ids.every((one) => lit.has(one));
          return (
            <tr key={id} className={chosen ? 'chosen' : undefined} data-testid={`class-${id}`}>
              <th scope="row">
                <button type="button" className="pick" aria-pressed={chosen} onClick={() => onBrush(chosen ? [] : ids)}>
                  <MarkKey id={id} />
                  <span>
                    {BALANCE_NAMES[id]} <span className="plot-rule">{ruleOf(id, limits)}</span>
                    <span className="plot-means">{BALANCE_MEANS[id]}</span>
                  </span>
                </button>
              </th>
              <td className="num plot-count">{number(ids.length)}</td>
              <td className="num">{area(area_m2)}</td>
            </tr>
          );
        })}
        {unknown && (
          <tr>
            <th scope="row" className="plot-unknown">
              Not known <span className="plot-rule">K or its share is missing</span>
            </th>
            <td className="num plot-count">{number(sums.unknown.samples.length)}</td>
            <td className="num">{area(sums.unknown.area_m2)}</td>
          </tr>
        )}
      </tbody>
      <tfoot>
        <tr className="sum">
          <th scope="row">Field</th>
          <td className="num">{number(samples)}</td>
          <td className="num">{area(all_m2)}</td>
        </tr>
      </tfoot>
    </table>
  );
}

/** What makes a place belong to the class, in figures of the plan. */
export function ruleOf(id: BalanceClass, limits: BalanceLimits): string {
  // No-break spaces: a figure and its unit stay together.
  const ppm = `${shortNumber(limits.floor_ppm, 1)}\u00a0ppm`;
  const low = shortNumber(limits.floor_pct, 1);
  const top = shortNumber(limits.rangeTop_pct, 1);
  const out = shortNumber(Math.max(limits.caution_pct, limits.rangeTop_pct), 1);
  switch (id) {
    case 'both':
      return `under ${ppm} and under ${low}\u00a0%`;
    case 'pounds':
      return `under ${ppm}, ${low}–${top}\u00a0%`;
    case 'share':
      return `${ppm} or more, under ${low}\u00a0%`;
    case 'enough':
      return `${ppm} or more, ${low}–${top}\u00a0%`;
    case 'rich':
      return `${top}–${out}\u00a0%`;
    case 'out':
      return `over ${out}\u00a0%`;
  }
}
