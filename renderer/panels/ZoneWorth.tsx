import type { ReactElement } from 'react';
import { layerName } from '../../core/layers/layer.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import { isFresh } from '../store/derive.ts';
import { useResults } from '../store/results.ts';
import { number, readable } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** What part of each layer's variance the zones account for: the figure by which two zonings are compared. */
export function ZoneWorth({ plan }: { readonly plan: Plan }): ReactElement | null {
  const results = useResults();
  const { zones, surfaces } = results.out ?? { zones: null, surfaces: null };
  if (!zones || !surfaces) return null;
  const layers = (Object.keys(zones.explained) as AnyLayerId[]) // the keys are layers
    .map((layer) => ({ layer, share: zones.explained[layer] ?? 0 }))
    .sort((a, b) => b.share - a.share);
  if (layers.length === 0) return null;
  return (
    <Section title="What the zones tell apart" aside="share of each layer’s variance, %">
      <table
        className={isFresh(plan, results) ? 'table zone-worth' : 'table zone-worth stale-figures'}
        data-testid="zone-worth"
      >
        <thead>
          <tr>
            <th scope="col">Layer</th>
            <th scope="col">
              <span className="unseen">As a bar</span>
            </th>
            <th scope="col" className="num">
              %
            </th>
          </tr>
        </thead>
        <tbody>
          {layers.map(({ layer, share }) => (
            <tr key={layer}>
              <td>{readable(layerName(surfaces, layer).name)}</td>
              <td>
                <svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
                  <line className="guide-track" x1="0" x2="100" y1="4" y2="4" />
                  <line className="guide-value" x1="0" x2={100 * share} y1="4" y2="4" />
                </svg>
              </td>
              <td className="num">{number(100 * share, 0)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="small ink3 under">
        100 is all of it. More zones always tell more apart: compare zonings with the same number of zones.
      </p>
    </Section>
  );
}
