import './charts.css';
import type { ReactElement } from 'react';
import { shortNumber } from '../ui/format.ts';
import { binned } from './scales.ts';

const BARS = 12;
const WIDTH_PX = 46;
const HEIGHT_PX = 16;
const PITCH_PX = WIDTH_PX / BARS;

/** The spread of a column in twelve bars: a wrong unit shows by its shape. Nothing where there is no figure. */
export function MiniHistogram({
  values,
  label,
}: {
  readonly values: readonly number[];
  readonly label: string;
}): ReactElement | null {
  const bins = binned(values, BARS);
  if (!bins) return null;
  const most = Math.max(...bins.counts);
  const height = (count: number): number => (count === 0 ? 0 : Math.max(1, (count / most) * (HEIGHT_PX - 1)));
  return (
    <svg
      className="plot-mini"
      width={WIDTH_PX}
      height={HEIGHT_PX}
      role="img"
      aria-label={`Spread of ${label}: ${shortNumber(bins.low, 2)} to ${shortNumber(bins.high, 2)}`}
    >
      {bins.counts.map((count, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a bar is its place
        <rect key={i} x={i * PITCH_PX} y={HEIGHT_PX - height(count)} width={PITCH_PX - 0.8} height={height(count)} />
      ))}
    </svg>
  );
}
