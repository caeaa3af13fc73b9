import './charts.css';
import './surface-plots.css';
import type { ReactElement } from 'react';
import type { ErrorScan } from '../../core/surfaces/types.ts';
import { neighboursText } from '../../core/surfaces/ways.ts';
import { number, shortNumber } from '../ui/format.ts';
import { bestPoint, ERROR_NAMES, type ErrorMeasure, errorDecimals, errorLines } from './error-plot.ts';

export interface ErrorTableProps {
  readonly scan: ErrorScan;
  readonly measure: ErrorMeasure;
  readonly unit: string;
  readonly inUse: { readonly power: number; readonly neighbours: number };
  readonly onTake: (power: number, neighbours: number) => void;
}

/** The plot's errors as a table: a row a power, a column a neighbour count. A figure chosen is a setting taken. */
export function ErrorTable({ scan, measure, unit, inUse, onTake }: ErrorTableProps): ReactElement {
  const lines = errorLines(scan, measure);
  const best = bestPoint(scan, measure);
  const powers = lines[0]?.points.map((point) => point.power) ?? [];
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reached by keys
    <section className="plot-scroll" tabIndex={0} aria-label="Errors by setting">
      <table className="table error-table">
        <caption className="small ink2">
          {ERROR_NAMES[measure]}, {unit}, by power and number of neighbours; ◆ lowest, framed: in use
        </caption>
        <thead>
          <tr>
            <th scope="col">Power</th>
            {lines.map((line) => (
              <th scope="col" className="num" key={line.neighbours}>
                <span aria-hidden="true">{line.neighbours === 0 ? 'all' : line.neighbours}</span>
                <span className="unseen">{neighboursText(line.neighbours)}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {powers.map((power, row) => (
            <tr key={power}>
              <th scope="row">{shortNumber(power)}</th>
              {lines.map((line) => {
                const point = line.points[row];
                if (!point) return <td key={line.neighbours} />;
                const used = power === inUse.power && line.neighbours === inUse.neighbours;
                return (
                  <td className="num" key={line.neighbours}>
                    <button
                      type="button"
                      className={used ? 'pick error-used' : 'pick'}
                      aria-pressed={used}
                      aria-label={`power ${shortNumber(power)}, ${neighboursText(line.neighbours)}: ${number(point.error, errorDecimals(point.error))}${point.index === best?.index ? ', the lowest' : ''}`}
                      onClick={() => onTake(point.power, point.neighbours)}
                    >
                      {point.index === best?.index ? '◆ ' : ''}
                      {number(point.error, errorDecimals(point.error))}
                    </button>
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
