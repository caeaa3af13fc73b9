import type { ReactElement } from 'react';
import { LB_PER_SHORT_TON } from '../../core/base/units.ts';
import type { RatesOut, ZoneRate } from '../../core/rates/types.ts';
import { useView } from '../store/view.ts';
import { figure, unitOf } from '../ui/format.ts';
import { ZoneLetter } from '../ui/marks.tsx';
import { Section } from '../ui/PanelFrame.tsx';

/** Names of the plan's products as the zones have them, the first one first. */
export const productNames = (rates: RatesOut): readonly string[] =>
  rates.zones.find((zone) => zone.products.length > 0)?.products.map(({ product }) => product) ?? [];

/** Two products: what each pass spreads of each, a column each, and what each comes to. */
export function ByProduct({
  rates,
  products,
  undone,
}: {
  readonly rates: RatesOut;
  readonly products: readonly string[];
  readonly undone: boolean;
}): ReactElement {
  const units = useView((view) => view.units);
  const passes = rates.totals.byPass.map(({ name }) => name);
  const columns = passes.flatMap((pass, i) => products.map((product, p) => ({ key: `${pass} ${product}`, i, p })));
  const rate = (zone: ZoneRate, { i, p }: { readonly i: number; readonly p: number }): number | null =>
    zone.rate_lbPerAc === null ? null : (zone.products[p]?.rates_lbPerAc[i] ?? 0);
  const sum = (of: (zone: ZoneRate) => number): number => rates.zones.reduce((all, zone) => all + of(zone), 0);
  return (
    <>
      <Section title="By pass and product" aside={unitOf('rate', units)}>
        <table className="table" data-testid="by-product">
          <thead>
            <tr>
              <td />
              {passes.map((pass) => (
                <th scope="colgroup" colSpan={products.length} className="num" key={pass}>
                  {pass}
                </th>
              ))}
              {undone && <td />}
            </tr>
            <tr>
              <th scope="col">Zone</th>
              {columns.map(({ key, p }) => (
                <th scope="col" className="num" key={key}>
                  {products[p]}
                </th>
              ))}
              {undone && (
                <th scope="col" className="num">
                  undone, {unitOf('k2o', units)}
                </th>
              )}
            </tr>
          </thead>
          <tbody>
            {rates.zones.map((zone) => (
              <tr key={zone.key}>
                <td>
                  <ZoneLetter letter={zone.letter} />
                </td>
                {columns.map((column) => (
                  <td className="num" key={column.key}>
                    {figure(rate(zone, column), 'rate', units)}
                  </td>
                ))}
                {undone && <td className="num">{figure(zone.undone_lbK2OPerAc, 'k2o', units)}</td>}
              </tr>
            ))}
            <tr className="sum">
              <td>{unitOf('pounds', units)}</td>
              {columns.map((column) => (
                <td className="num" key={column.key}>
                  {figure(
                    sum((zone) => (rate(zone, column) ?? 0) * zone.acres),
                    'pounds',
                    units,
                  )}
                </td>
              ))}
              {undone && <td className="num" />}
            </tr>
          </tbody>
        </table>
      </Section>
      <Section title="By product">
        <table className="table">
          <thead>
            <tr>
              <th scope="col">Product</th>
              <th scope="col" className="num">
                {unitOf('tons', units)}
              </th>
              <th scope="col" className="num">
                {units === 'US' ? 'lb' : 'kg'} K₂O
              </th>
            </tr>
          </thead>
          <tbody>
            {products.map((product, p) => (
              <tr key={product}>
                <th scope="row">{product}</th>
                <td className="num">
                  {figure(
                    sum(
                      (zone) => (zone.products[p]?.rates_lbPerAc.reduce((all, one) => all + one, 0) ?? 0) * zone.acres,
                    ) / LB_PER_SHORT_TON,
                    'tons',
                    units,
                    2,
                  )}
                </td>
                <td className="num">
                  {figure(
                    sum((zone) => (zone.products[p]?.k2o_lbPerAc ?? 0) * zone.acres),
                    'pounds',
                    units,
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Section>
    </>
  );
}
