import type { ReactElement } from 'react';
import { number } from '../ui/format.ts';
import { BALANCE_NAMES, type BalanceLimits, type BalanceSample, balanceClass } from './balance.ts';
import { MarkKey } from './Mark.tsx';

export interface SampleTableProps {
  readonly samples: readonly BalanceSample[];
  readonly limits: BalanceLimits;
  readonly litSamples: ReadonlySet<string>;
  readonly onBrush: (ids: readonly string[]) => void;
}

/** The plot's samples as rows, from the poorest in K on. A row chosen is a dot brushed. */
export function SampleTable({ samples, limits, litSamples, onBrush }: SampleTableProps): ReactElement {
  const toggle = (id: string): void =>
    onBrush(litSamples.has(id) ? [...litSamples].filter((one) => one !== id) : [...litSamples, id]);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a box that scrolls must be reached by keys
    <section className="plot-rows" tabIndex={0} aria-label="Samples of the plot">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Sample</th>
            <th scope="col" className="num">
              K, ppm
            </th>
            <th scope="col" className="num">
              K, %
            </th>
            <th scope="col">
              <span className="plot-class-head">Class</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {inOrder(samples).map((sample) => {
            const id = balanceClass(sample.k_ppm, sample.kSat_pct, limits);
            const lit = litSamples.has(sample.id);
            return (
              <tr key={sample.id} className={lit ? 'chosen' : undefined}>
                <th scope="row">
                  <button type="button" className="pick" aria-pressed={lit} onClick={() => toggle(sample.id)}>
                    {sample.id}
                  </button>
                </th>
                <td className="num">{number(sample.k_ppm)}</td>
                <td className="num">{number(sample.kSat_pct, 1)}</td>
                <td className="plot-class-cell">
                  {id ? (
                    <>
                      <MarkKey id={id} />
                      {BALANCE_NAMES[id]}
                    </>
                  ) : (
                    'Not known'
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

/** By K, then by share, unknown ones last. */
export const inOrder = <S extends BalanceSample>(samples: readonly S[]): S[] =>
  [...samples].sort(
    (a, b) => rank(a.k_ppm) - rank(b.k_ppm) || rank(a.kSat_pct) - rank(b.kSat_pct) || a.id.localeCompare(b.id, 'en'),
  );
const rank = (value: number): number => (Number.isFinite(value) ? value : Number.MAX_VALUE);
