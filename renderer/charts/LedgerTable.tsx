import './ledger.css';
import { Fragment, type ReactElement } from 'react';
import { carriedSum } from '../../core/rates/ledger.ts';
import type { LedgerLine, ZoneRate } from '../../core/rates/types.ts';
import { figure, money, number, quantity, readable, type UnitSystem, unitOf } from '../ui/format.ts';

export interface LedgerTableProps {
  readonly zone: ZoneRate;
  readonly productName: string;
  readonly units: UnitSystem;
}

/** Last line whose carried figure belongs to K2O this year, and the one after which the rate stands. */
const SUM_AFTER = 'passes' as const satisfies LedgerLine['key'];
const RATE_AFTER = 'override' as const satisfies LedgerLine['key'];
/** A first clause this short stands beside the words; a longer one goes below them. */
const BESIDE_CHARACTERS = 30;

/**
 * One zone's account as a page of an account book: what explains stands in the working column, what adds up in the carried one.
 * It is kept in lb an acre whatever the window's units, since its sums are told so; the rate is then said in both.
 */
export function LedgerTable({ zone, productName, units }: LedgerTableProps): ReactElement {
  const lines = [...zone.lines].sort((a, b) => a.n - b.n);
  const sources = lines.filter((line) => line.source !== undefined && line.source !== '');
  return (
    <>
      <table className="ledger" data-testid="ledger">
        <caption className="unseen">
          Account of zone {zone.letter}: only the carried figures add up to the K₂O of this year.
        </caption>
        <thead>
          <tr>
            <th scope="col" className="ledger-n">
              <span className="unseen">Line</span>
            </th>
            <th scope="col">
              Zone {zone.letter}, {quantity(zone.acres, 'area', units)}
            </th>
            <th scope="col" className="ledger-working">
              working
            </th>
            <th scope="col" className="ledger-carried">
              <span className="unseen">carried, </span>lb K₂O/ac
            </th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <Fragment key={line.key}>
              <Line line={line} />
              {line.key === SUM_AFTER && (
                <tr className="ledger-sum">
                  <td />
                  <th scope="row">K₂O this year</th>
                  <td className="ledger-working" />
                  <td className="ledger-carried">{number(carriedSum(lines), 1)}</td>
                </tr>
              )}
              {line.key === RATE_AFTER && <Rate zone={zone} productName={productName} units={units} />}
            </Fragment>
          ))}
        </tbody>
      </table>
      {sources.length > 0 && (
        <details className="ledger-sources">
          <summary>Where the figures come from</summary>
          <ol>
            {sources.map((line) => (
              <li key={line.key} value={line.n}>
                <b>{readable(line.label)}</b> {readable(line.source ?? '')}
              </li>
            ))}
          </ol>
        </details>
      )}
    </>
  );
}

function Line({ line }: { readonly line: LedgerLine }): ReactElement {
  const [first = '', ...rest] = line.how.split('; ');
  const beside = first.length <= BESIDE_CHARACTERS ? first : '';
  const below = (beside === '' ? [first, ...rest] : rest).join('; ');
  return (
    <tr data-testid={`ledger-${line.key}`}>
      <td className="ledger-n">{line.n}</td>
      <th scope="row">
        <b>{readable(line.label)}</b>
        {beside !== '' && <i>{readable(beside)}</i>}
        {below !== '' && <small>{readable(below)}</small>}
      </th>
      <td className="ledger-working">
        {line.working !== null && (
          <>
            {workingText(line)}
            {line.unit !== 'lb K2O/ac' && line.unit !== '' && (
              <small>{line.unit.replace('$', '').replace(/^\/ac$/, 'an acre')}</small>
            )}
          </>
        )}
      </td>
      <td className="ledger-carried">{line.carried !== null && number(line.carried, 1)}</td>
    </tr>
  );
}

function workingText({ working, unit, key }: LedgerLine): string {
  if (unit === '$/ac') return money(working, 2);
  if (unit === '$') return money(working);
  if (unit === 'lb/ac') return number(working, key === 'product' ? 1 : 0);
  return number(working, 1);
}

/** The line under which the double rule stands: what the machine spreads. */
function Rate({ zone, productName, units }: LedgerTableProps): ReactElement {
  const rate = zone.rate_lbPerAc;
  const several = zone.products.length > 1;
  return (
    <>
      {several &&
        zone.products.map((one) => (
          <tr key={one.product} className="ledger-part">
            <td />
            <th scope="row">
              <b>{one.product}</b>
              <i>{readable(`${number(one.k2o_lbPerAc, 1)} lb K2O`)}</i>
            </th>
            <td className="ledger-working">
              {number(one.rates_lbPerAc.reduce((sum, pass) => sum + pass, 0))}
              <small>lb/ac</small>
            </td>
            <td className="ledger-carried" />
          </tr>
        ))}
      <RateRow zone={zone} productName={several ? 'All products' : productName} units={units} rate={rate} />
    </>
  );
}

function RateRow({
  zone,
  productName,
  units,
  rate,
}: LedgerTableProps & { readonly rate: number | null }): ReactElement {
  return (
    <tr className="ledger-end" data-testid="ledger-rate">
      <td />
      <th scope="row">
        <b>{productName}, lb/ac</b>
        {rate !== null && units === 'metric' && (
          <i>
            {figure(rate, 'rate', units)} {unitOf('rate', units)}
          </i>
        )}
        {zone.override && <i>typed by hand</i>}
      </th>
      <td className="ledger-working" />
      <td className="ledger-carried">
        {rate === null ? <span className="ledger-withheld">withheld</span> : number(rate)}
      </td>
    </tr>
  );
}
