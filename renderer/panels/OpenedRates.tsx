import type { ReactElement } from 'react';
import type { OpenedPrescription } from '../../core/handoff/back/types.ts';
import { classedRate } from '../map/opened.ts';
import { colourOf, RAMPS } from '../map/ramps.ts';
import { useView } from '../store/view.ts';
import { counted, figure, number, quantity, shortNumber, shownValue, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** More rates than these are counted together. */
const MOST_ROWS = 30;

/** What is in the file: its rates with their ground, and what that comes to. */
export function OpenedRates({ opened }: { readonly opened: OpenedPrescription }): ReactElement {
  const units = useView((view) => view.units);
  const { rates, unit } = opened;
  const setAside = opened.records - opened.pieces.length;
  const shown = rates.slice(0, MOST_ROWS);
  const rest = rates.slice(MOST_ROWS);
  const sum = (of: (rate: (typeof rates)[number]) => number): number => rest.reduce((all, one) => all + of(one), 0);
  // The file's own figures stand beside where the window shows another unit.
  const own = unit !== unitOf('rate', units);
  return (
    <>
      <p className="small ink2 opened-figures">
        Rate from column <b>{opened.column}</b>, {unit} by{' '}
        {opened.unitFrom === 'as told' ? 'your word' : opened.unitFrom}.
        {opened.product !== '' && ` Product: ${opened.product}.`}
        {opened.pass !== '' && ` Pass: ${opened.pass}.`}
      </p>
      <Section
        title="Opened prescription"
        aside={
          setAside > 0
            ? `${counted(opened.records, 'record')}, ${number(setAside)} set aside`
            : counted(opened.records, 'record')
        }
      >
        <table className="table opened-rates" data-testid="opened-rates">
          <thead>
            <tr>
              <th scope="col">Rate, {unitOf('rate', units)}</th>
              {own && (
                <th scope="col" className="num">
                  {unit}
                </th>
              )}
              <th scope="col" className="num">
                records
              </th>
              <th scope="col" className="num">
                {unitOf('area', units)}
              </th>
              <th scope="col" className="num">
                {unitOf('pounds', units)}
              </th>
            </tr>
          </thead>
          <tbody>
            {shown.map((rate) => (
              <tr key={rate.asWritten}>
                <td>
                  <Swatch colour={colourOf(RAMPS.rate, classedRate(rate.rate_lbPerAc))} />
                  {figure(rate.rate_lbPerAc, 'rate', units, decimalsOf(shownValue(rate.rate_lbPerAc, 'rate', units)))}
                </td>
                {own && <td className="num">{shortNumber(rate.asWritten, 2)}</td>}
                <td className="num">{number(rate.records)}</td>
                <td className="num">{figure(rate.acres, 'areaFine', units)}</td>
                <td className="num">{figure(rate.product_lb, 'pounds', units)}</td>
              </tr>
            ))}
            {rest.length > 0 && (
              <tr>
                <td>{counted(rest.length, 'higher rate')}</td>
                {own && <td />}
                <td className="num">{number(sum((rate) => rate.records))}</td>
                <td className="num">
                  {figure(
                    sum((rate) => rate.acres),
                    'areaFine',
                    units,
                  )}
                </td>
                <td className="num">
                  {figure(
                    sum((rate) => rate.product_lb),
                    'pounds',
                    units,
                  )}
                </td>
              </tr>
            )}
            {opened.unrated_ac > 0.005 && (
              <tr>
                <td>no rate</td>
                {own && <td />}
                <td className="num">
                  {number(opened.pieces.filter((piece) => Number.isNaN(piece.rate_lbPerAc)).length)}
                </td>
                <td className="num">{figure(opened.unrated_ac, 'areaFine', units)}</td>
                <td className="num">{figure(Number.NaN, 'pounds', units)}</td>
              </tr>
            )}
            <tr className="sum">
              <td>In all</td>
              {own && <td />}
              <td className="num">{number(opened.pieces.length)}</td>
              <td className="num">{figure(opened.acres, 'areaFine', units)}</td>
              <td className="num">{figure(opened.product_lb, 'pounds', units)}</td>
            </tr>
          </tbody>
        </table>
        <dl className="figures opened-figures">
          <dt>To load</dt>
          <dd data-testid="opened-tons">{quantity(opened.product_tons, 'tons', units, 2)}</dd>
          <dt>To be spread</dt>
          <dd>{quantity(opened.spread_ac, 'areaFine', units)}</dd>
          <dt>At 0</dt>
          <dd>{quantity(opened.zero_ac, 'areaFine', units)}</dd>
          <dt>Under two records</dt>
          <dd>{opened.overlap_ac === null ? 'not measured' : quantity(opened.overlap_ac, 'areaFine', units)}</dd>
        </dl>
      </Section>
    </>
  );
}

/** A rate that is whole but for its rounding is written whole. */
const decimalsOf = (rate: number): number => (Math.abs(rate - Math.round(rate)) < 0.006 ? 0 : 1);

const Swatch = ({ colour }: { readonly colour: string | null }): ReactElement => (
  <svg className="swatch" width={16} height={11} aria-hidden="true">
    <rect x={0.5} y={0.5} width={15} height={10} fill={colour ?? 'none'} />
  </svg>
);
