import type { ReactElement } from 'react';
import { layerName } from '../../core/layers/layer.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import { isFresh } from '../store/derive.ts';
import { useResults } from '../store/results.ts';
import { type KeptZoning, useZoneTable } from '../store/zone-table.ts';
import { counted, number, readable } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** What part of each layer's variance the zones account for: the figure by which two zonings are compared. */
export function ZoneWorth({ plan }: { readonly plan: Plan }): ReactElement | null {
  const results = useResults();
  const { zones, surfaces } = results.out ?? { zones: null, surfaces: null };
  const kept = useZoneTable((table) => table.kept);
  if (!zones || !surfaces) return null;
  const layers = (Object.keys(zones.explained) as AnyLayerId[]) // the keys are layers
    .map((layer) => ({ layer, share: zones.explained[layer] ?? 0 }))
    .sort((a, b) => b.share - a.share);
  if (layers.length === 0) return null;
  const now: KeptZoning = {
    says: `${counted(zones.zones.length, 'zone')} by ${METHODS[plan.zones.method]}`,
    explained: zones.explained,
  };
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
            {kept && (
              <th scope="col" className="num">
                kept, %
              </th>
            )}
            <th scope="col" className="num">
              {kept ? 'now, %' : '%'}
            </th>
          </tr>
        </thead>
        <tbody>
          {layers.map(({ layer, share }) => (
            <tr key={layer}>
              <td>{readable(layerName(surfaces, layer).name)}</td>
              <td>
                <Bar share={share} kept={kept?.explained[layer] ?? null} />
              </td>
              {kept && <td className="num ink2">{percent(kept.explained[layer])}</td>}
              <td className="num">{percent(share)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <div className="hand-acts worth-kept">
        {kept && <span className="small ink2">Kept: {kept.says}</span>}
        <button type="button" className="btn s" onClick={() => useZoneTable.setState({ kept: now })}>
          {kept ? 'Keep these instead' : 'Keep these to compare'}
        </button>
        {kept && (
          <button type="button" className="btn s" onClick={() => useZoneTable.setState({ kept: null })}>
            Let them go
          </button>
        )}
      </div>
      <p className="small ink3 under">
        100 is all of it. More zones always tell more apart: compare zonings with the same number of zones.
      </p>
    </Section>
  );
}

const percent = (share: number | undefined): string => (share === undefined ? '–' : number(100 * share, 0));

/** The share as a bar; a tick where the kept zoning stands. */
const Bar = ({ share, kept }: { readonly share: number; readonly kept: number | null }): ReactElement => (
  <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
    <line className="worth-track" x1="0" x2="100" y1="5" y2="5" />
    <line className="worth-bar" x1="0" x2={100 * share} y1="5" y2="5" />
    {kept !== null && <line className="worth-kept-tick" x1={100 * kept} x2={100 * kept} y1="0" y2="10" />}
  </svg>
);

const METHODS = {
  classes: 'classes of a layer',
  clusters: 'clusters',
  polygons: 'polygons of a file',
  composites: 'zone composites',
} as const satisfies Record<Plan['zones']['method'], string>;
