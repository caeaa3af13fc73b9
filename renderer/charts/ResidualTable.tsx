import './charts.css';
import './surface-plots.css';
import type { ReactElement } from 'react';
import type { SampleResidual } from '../../core/surfaces/types.ts';
import { number } from '../ui/format.ts';
import type { ResidualPlotProps } from './ResidualPlot.tsx';

/** The samples by how far the others are from them, the farthest first. A row chosen is lit on the map. */
export function ResidualTable({ residuals, decimals, litSamples, onChoose }: ResidualPlotProps): ReactElement {
  const rows = [...residuals].sort((a, b) => far(b) - far(a) || a.row - b.row);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reached by keys
    <section className="plot-rows" tabIndex={0} aria-label="Samples of the plot">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Sample</th>
            <th scope="col" className="num">
              measured
            </th>
            <th scope="col" className="num">
              predicted
            </th>
            <th scope="col" className="num">
              difference
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((one) => {
            const lit = litSamples.has(one.id);
            return (
              <tr key={`${one.file} ${one.row}`} className={lit ? 'chosen' : undefined}>
                <th scope="row">
                  <button type="button" className="pick" aria-pressed={lit} onClick={() => onChoose(lit ? null : one)}>
                    {one.id}
                    {one.outlier && <span className="plot-rule">outlier</span>}
                  </button>
                </th>
                <td className="num">{number(one.measured, decimals)}</td>
                <td className="num">{number(one.predicted, decimals)}</td>
                <td className="num">{signed(one.measured - one.predicted, decimals)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

const far = (one: SampleResidual): number => (Number.isFinite(one.robustZ) ? Math.abs(one.robustZ) : -1);
const signed = (value: number, decimals: number): string => {
  const text = number(value, decimals);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
};
