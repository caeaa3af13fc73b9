import './ledger.css';
import { type KeyboardEvent, type ReactElement, useRef } from 'react';
import type { ZoneRate } from '../../core/rates/types.ts';
import { figure, type UnitSystem, unitOf } from '../ui/format.ts';

export interface ZoneTabsProps {
  readonly zones: readonly Pick<ZoneRate, 'key' | 'letter' | 'rate_lbPerAc'>[];
  readonly selected: string | null;
  readonly onSelect: (zoneKey: string) => void;
  readonly units: UnitSystem;
  /** Id of the element that shows the chosen zone. */
  readonly controls?: string;
}

/** A tab a zone: letter and rate. Arrows, Home and End go along them. */
export function ZoneTabs({ zones, selected, onSelect, units, controls }: ZoneTabsProps): ReactElement {
  const row = useRef<HTMLDivElement>(null);
  const at = zones.findIndex((zone) => zone.key === selected);
  const go = (to: number): void => {
    const zone = zones[to];
    if (!zone) return;
    onSelect(zone.key);
    row.current?.querySelectorAll('button')[to]?.focus();
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const last = zones.length - 1;
    const to: Record<string, number> = {
      ArrowRight: at >= last ? 0 : at + 1,
      ArrowLeft: at <= 0 ? last : at - 1,
      Home: 0,
      End: last,
    };
    const next = to[event.key];
    if (next === undefined) return;
    event.preventDefault();
    go(next);
  };
  return (
    <div ref={row} className="ledger-tabs" role="tablist" aria-label="Zones" onKeyDown={onKeyDown}>
      {zones.map((zone, i) => {
        const rate = zone.rate_lbPerAc === null ? 'withheld' : figure(zone.rate_lbPerAc, 'rate', units);
        const unit = zone.rate_lbPerAc === null ? '' : ` ${unitOf('rate', units)}`;
        return (
          <button
            key={zone.key}
            type="button"
            role="tab"
            className={zone.rate_lbPerAc === null ? 'ledger-tab-withheld' : undefined}
            aria-selected={zone.key === selected}
            aria-controls={controls}
            tabIndex={i === Math.max(0, at) ? 0 : -1}
            data-testid={`zone-tab-${zone.letter}`}
            onClick={() => onSelect(zone.key)}
          >
            <b>
              <span className="unseen">Zone </span>
              {zone.letter}
            </b>
            <span className="unseen">, </span>
            <span>
              {rate}
              <span className="unseen">{unit}</span>
            </span>
          </button>
        );
      })}
    </div>
  );
}
