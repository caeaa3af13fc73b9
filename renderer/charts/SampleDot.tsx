import type { ReactElement } from 'react';
import { number } from '../ui/format.ts';
import { BALANCE_NAMES, type BalanceLimits, type BalanceSample, balanceClass } from './balance.ts';
import { Mark } from './Mark.tsx';

interface DotProps {
  readonly id: string;
  readonly sample: BalanceSample;
  readonly at: readonly [number, number];
  readonly limits: BalanceLimits;
  readonly lit: boolean;
  readonly active: boolean;
}

/** A sample in the plot: its class by shape, its figures as its name. */
export function SampleDot({ id, sample, at, limits, lit, active }: DotProps): ReactElement | null {
  const cls = balanceClass(sample.k_ppm, sample.kSat_pct, limits);
  if (!cls) return null;
  return (
    <g
      id={id}
      className={active ? 'plot-dot plot-active' : 'plot-dot'}
      transform={`translate(${at[0].toFixed(1)} ${at[1].toFixed(1)})`}
      role="option"
      aria-selected={lit}
      aria-label={`${sample.id}: ${number(sample.k_ppm)} ppm, ${number(sample.kSat_pct, 1)} %, ${BALANCE_NAMES[cls]}`}
    >
      {lit && <circle className="plot-lit" r={7} />}
      <circle className="plot-here" r={10} />
      <Mark id={cls} />
    </g>
  );
}
