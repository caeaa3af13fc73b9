import type { ReactElement } from 'react';
import { LB_PER_SHORT_TON } from '../../core/base/units.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { RatesOut, ZoneRate } from '../../core/rates/types.ts';
import { openPanel, selectZone, useView } from '../store/view.ts';
import { figure, money, number, quantity, unitOf } from '../ui/format.ts';
import { ZoneLetter } from '../ui/marks.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { ByProduct, productNames } from './ByProduct.tsx';

interface AllZonesProps {
  readonly plan: Plan;
  readonly rates: RatesOut;
  readonly fresh: boolean;
}

/** Every zone's rate with both readings alone, its passes, what the caps left out, and the totals. */
export function AllZones({ plan, rates, fresh }: AllZonesProps): ReactElement {
  return (
    <div className={fresh ? undefined : 'stale-figures'}>
      <RateTable rates={rates} productName={plan.rates.second ? 'All products' : plan.rates.product.name} />
      <PassTable rates={rates} />
      <Totals plan={plan} rates={rates} />
    </div>
  );
}

const open = (zone: ZoneRate): void => {
  selectZone(zone.key);
  openPanel('rates', 'ledger');
};

function RateTable({ rates, productName }: { readonly rates: RatesOut; readonly productName: string }): ReactElement {
  const { units, selectedZone } = useView();
  return (
    <Section title={`${productName}, ${unitOf('rate', units)}`} aside="both readings alone beside the plan">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Zone</th>
            <th scope="col" className="num">
              ppm
            </th>
            <th scope="col" className="num">
              satur.
            </th>
            <th scope="col" className="num">
              plan
            </th>
            <th scope="col" className="num">
              {unitOf('area', units)}
            </th>
            <th scope="col" className="num">
              {unitOf('pounds', units)}
            </th>
            <th scope="col" className="num">
              cost
            </th>
          </tr>
        </thead>
        <tbody>
          {rates.zones.map((zone) => (
            <tr key={zone.key} className={zone.key === selectedZone ? 'chosen' : undefined}>
              <td>
                <button
                  type="button"
                  className="pick"
                  aria-label={`Ledger of zone ${zone.letter}`}
                  onClick={() => open(zone)}
                >
                  <ZoneLetter letter={zone.letter} />
                </button>
              </td>
              <td className="num ink2">{figure(zone.answers.ppmAlone, 'rate', units)}</td>
              <td className="num ink2">{figure(zone.answers.saturationAlone, 'rate', units)}</td>
              <td className="num">
                {zone.rate_lbPerAc === null ? (
                  <span className="withheld-word">withheld</span>
                ) : (
                  <b>{figure(zone.rate_lbPerAc, 'rate', units)}</b>
                )}
                {zone.override && <span title={zone.override.why}> *</span>}
              </td>
              <td className="num">{figure(zone.acres, 'area', units)}</td>
              <td className="num">{figure((zone.rate_lbPerAc ?? 0) * zone.acres, 'pounds', units)}</td>
              <td className="num">{money(zone.cost_perAc === null ? null : zone.cost_perAc * zone.acres)}</td>
            </tr>
          ))}
          <tr className="sum">
            <td>Field</td>
            <td className="num" />
            <td className="num" />
            <td className="num" />
            <td className="num">{figure(rates.totals.acres, 'area', units)}</td>
            <td className="num">{figure(rates.totals.product_lb, 'pounds', units)}</td>
            <td className="num">{money(rates.totals.cost)}</td>
          </tr>
        </tbody>
      </table>
      {rates.totals.keptOut_ac > 0 && (
        <p className="small ink3 under">
          {quantity(rates.totals.keptOut_ac, 'area', units)} are kept out by the role of their zone: in no file, and not
          in the sum.
        </p>
      )}
      {rates.zones.some((zone) => zone.override) && <p className="small ink3 under">* typed by hand</p>}
    </Section>
  );
}

function PassTable({ rates }: { readonly rates: RatesOut }): ReactElement {
  const units = useView((view) => view.units);
  const undone = rates.zones.some((zone) => zone.undone_lbK2OPerAc > 0.05);
  const products = productNames(rates);
  if (products.length > 1) return <ByProduct rates={rates} products={products} undone={undone} />;
  return (
    <Section title="By pass" aside={unitOf('rate', units)}>
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Zone</th>
            {rates.totals.byPass.map((pass) => (
              <th scope="col" className="num" key={pass.name}>
                {pass.name}
              </th>
            ))}
            {undone && (
              <th scope="col" className="num">
                left undone, {unitOf('k2o', units)}
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
              {rates.totals.byPass.map(({ name }) => (
                <td className="num" key={name}>
                  {figure(zone.passes.find((pass) => pass.name === name)?.rate_lbPerAc ?? null, 'rate', units)}
                </td>
              ))}
              {undone && <td className="num">{figure(zone.undone_lbK2OPerAc, 'k2o', units)}</td>}
            </tr>
          ))}
          <tr className="sum">
            <td>{unitOf('pounds', units)}</td>
            {rates.totals.byPass.map((pass) => (
              <td className="num" key={pass.name}>
                {figure(pass.product_lb, 'pounds', units)}
              </td>
            ))}
            {undone && <td className="num" />}
          </tr>
        </tbody>
      </table>
    </Section>
  );
}

function Totals({ plan, rates }: { readonly plan: Plan; readonly rates: RatesOut }): ReactElement {
  const units = useView((view) => view.units);
  const { totals } = rates;
  const changed_tons = (totals.product_lb - totals.exact_lb) / LB_PER_SHORT_TON;
  const cut = plan.handoff.shape === 'cells';
  return (
    <Section title={cut ? 'Totals, by zones' : 'Totals'}>
      {cut && (
        <p className="small ink2">
          What the zones ask, before cutting into cells: what is loaded and spread stands under Handoff.
        </p>
      )}
      <dl className="figures">
        <dt>{cut ? 'Asked in all' : 'Load in all'}</dt>
        <dd>{quantity(totals.product_tons, 'tons', units, 2)}</dd>
        <dt>Before the machine’s least rate and step</dt>
        <dd>{quantity(totals.exact_lb / LB_PER_SHORT_TON, 'tons', units, 2)}</dd>
        <dt>What rounding to them changed</dt>
        <dd>
          {changed_tons > 0 ? '+' : ''}
          {quantity(changed_tons, 'tons', units, 2)}
        </dd>
        <dt>K₂O</dt>
        <dd>{quantity(totals.k2o_lb, 'pounds', units)}</dd>
        {totals.undone_lbK2O > 0.5 && (
          <>
            <dt>K₂O left undone by caps, budget and machine</dt>
            <dd>{quantity(totals.undone_lbK2O, 'pounds', units)}</dd>
          </>
        )}
        <dt>Cost, product and passes</dt>
        <dd>{money(totals.cost)}</dd>
        <dt>Cost, each {units === 'US' ? 'acre' : 'hectare'}</dt>
        <dd>{totals.acres > 0 ? quantity(totals.cost / totals.acres, 'moneyPerArea', units) : '–'}</dd>
        {totals.withheld_ac > 0 && (
          <>
            <dt>Withheld</dt>
            <dd>{quantity(totals.withheld_ac, 'area', units)}</dd>
          </>
        )}
      </dl>
      {plan.rates.cropPrice_perUnit !== null && <Returns rates={rates} />}
    </Section>
  );
}

function Returns({ rates }: { readonly rates: RatesOut }): ReactElement | null {
  const units = useView((view) => view.units);
  const known = rates.zones.filter((zone) => zone.return_perAc !== null);
  const [first] = known;
  if (!first?.return_perAc) return <p className="small ink3 under">No return can be told for these zones.</p>;
  return (
    <>
      <table className="table under">
        <thead>
          <tr>
            <th scope="col">Zone</th>
            <th scope="col" className="num">
              cost, {unitOf('moneyPerArea', units)}
            </th>
            <th scope="col" className="num">
              may return, {unitOf('moneyPerArea', units)}
            </th>
          </tr>
        </thead>
        <tbody>
          {known.map((zone) => (
            <tr key={zone.key}>
              <td>
                <ZoneLetter letter={zone.letter} />
              </td>
              <td className="num">{figure(zone.cost_perAc, 'moneyPerArea', units)}</td>
              <td className="num">
                {figure(zone.return_perAc?.low, 'moneyPerArea', units)} to{' '}
                {figure(zone.return_perAc?.high, 'moneyPerArea', units)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="small ink3 under">
        {number(known.length)} zones. {first.return_perAc.source}
      </p>
    </>
  );
}
