// The marks' shapes are the plots'.
import '../charts/charts.css';
import type { ReactElement } from 'react';
import { BALANCE_CLASSES, BALANCE_MEANS, BALANCE_NAMES, type Balance } from '../../core/zones/balance.ts';
import { Mark } from '../charts/Mark.tsx';
import { quantity } from '../ui/format.ts';
import type { FieldMapProps } from './props.ts';
import { BALANCE_GROUND } from './ramps.ts';

interface BalanceLegendProps {
  readonly balance: Balance;
  readonly units: FieldMapProps['units'];
  readonly plated: boolean;
}

/** The six balance classes with their marks, colours and ground; each piece of ground is of one of them. */
export function BalanceLegend({ balance, units, plated }: BalanceLegendProps): ReactElement {
  return (
    <figure
      className={plated ? 'map-legend map-classes map-plate' : 'map-legend map-classes'}
      data-testid="map-legend"
      aria-label="Legend: balance classes"
    >
      <ul>
        {BALANCE_CLASSES.map((id, index) => (
          <li key={id} title={BALANCE_MEANS[id]}>
            <svg width={22} height={14} viewBox="-11 -7 22 14" aria-hidden="true">
              <rect x={-10.5} y={-6.5} width={21} height={13} fill={BALANCE_GROUND[id]} className="map-swatches" />
              <Mark id={id} r={3.6} />
            </svg>
            {BALANCE_NAMES[id]}
            <span className="figure">{quantity(balance.acres[index] ?? 0, 'area', units)}</span>
          </li>
        ))}
      </ul>
      {balance.unknown_ac > 0.05 && <figcaption>not known: {quantity(balance.unknown_ac, 'area', units)}</figcaption>}
    </figure>
  );
}
