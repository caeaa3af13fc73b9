import './charts.css';
import type { ReactElement } from 'react';
import type { LayerWords } from '../../core/layers/layer.ts';
import type { LayerPair } from '../compute/protocol.ts';
import { figure, number, shortNumber, type UnitSystem, unitOf } from '../ui/format.ts';

interface PairTableProps {
  readonly pair: LayerPair;
  readonly across: LayerWords;
  readonly up: LayerWords;
  readonly units: UnitSystem;
}

/** The line of the plot as a table: spans of the first layer, their ground, the second's mean there. */
export function PairTable({ pair, across, up, units }: PairTableProps): ReactElement {
  return (
    <table className="table">
      <thead>
        <tr>
          <th scope="col">
            {across.name} <span className="ink3">{across.unit}</span>
          </th>
          <th scope="col" className="num">
            {unitOf('area', units)}
          </th>
          <th scope="col" className="num">
            mean of {up.name} <span className="ink3">{up.unit}</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {pair.spans.map((span) => (
          <tr key={span.from}>
            <td>
              {shortNumber(span.from)}–{shortNumber(span.to)}
            </td>
            <td className="num">{figure(span.acres, 'area', units)}</td>
            <td className="num">{number(span.mean, up.decimals)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
