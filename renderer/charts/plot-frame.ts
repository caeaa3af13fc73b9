import type { BalanceCells, BalanceLimits, BalanceSample } from './balance.ts';
import { niceStep, spread, ticks } from './scales.ts';

/** Where things stand in the balance plot: K across, saturation up. */
export interface PlotFrame {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly most_ppm: number;
  readonly most_pct: number;
  readonly x: (k_ppm: number) => number;
  readonly y: (kSat_pct: number) => number;
  readonly k: (x: number) => number;
  readonly sat: (y: number) => number;
}

const MARGIN = { left: 38, right: 14, top: 24, bottom: 38 } as const;
/** ppm of K that one percent of one meq/100 g holds: 390.98 / 100, by atomic weight. */
const PPM_PER_PCT_MEQ = 3.9098;
export const MOST_SPECKS = 3000;

export function plotFrame(
  width: number,
  height: number,
  samples: readonly BalanceSample[],
  cells: BalanceCells | null,
  limits: BalanceLimits,
): PlotFrame {
  const inner = { width: Math.max(1, width - MARGIN.left - MARGIN.right), height: height - MARGIN.top - MARGIN.bottom };
  // Everything known lies inside, and the lines of the plan with room about them.
  const most_ppm = roomy(
    Math.max(limits.floor_ppm * 2, greatest(samples.map((s) => s.k_ppm)), greatest(cells?.k_ppm ?? [])),
  );
  const most_pct = roomy(
    Math.max(
      limits.caution_pct + 2,
      limits.rangeTop_pct + 2,
      greatest(samples.map((s) => s.kSat_pct)),
      greatest(cells?.kSat_pct ?? []),
    ),
  );
  return {
    left: MARGIN.left,
    top: MARGIN.top,
    width: inner.width,
    height: inner.height,
    most_ppm,
    most_pct,
    x: (k) => MARGIN.left + (k / most_ppm) * inner.width,
    y: (s) => MARGIN.top + inner.height - (s / most_pct) * inner.height,
    k: (x) => ((x - MARGIN.left) / inner.width) * most_ppm,
    sat: (y) => ((MARGIN.top + inner.height - y) / inner.height) * most_pct,
  };
}

/** A little more than the top, on a round figure. */
const roomy = (top: number): number => {
  const step = niceStep(top, 20);
  return Math.ceil((top * 1.02) / step) * step;
};
function greatest(values: ArrayLike<number>): number {
  let top = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] ?? 0;
    if (value > top) top = value;
  }
  return top;
}

/** Ticks whose figure no grip stands on. */
export const freeTicks = (top: number, most: number, taken: readonly number[], room: number): number[] =>
  ticks(top, most).filter((tick) => taken.every((value) => Math.abs(value - tick) > room));

export interface Ray {
  readonly cec_meq: number;
  readonly to: readonly [number, number];
  readonly label: readonly [number, number];
}
const RAYS_MEQ = [5, 10, 20] as const;
/** Places for the name along its line, the best first; a name keeps this far from the plan's lines. */
const ALONG = [0.9, 0.84, 0.78, 0.72, 0.66, 0.96] as const;
const CLEAR_PX = { across: 28, up: 9 } as const;

/** Lines on which CEC is the same: saturation = ppm / (CEC x 3.91). They run from 0 to the plot's edge. */
export function rays(frame: PlotFrame, limits: BalanceLimits): Ray[] {
  const lines = [limits.floor_pct, limits.rangeTop_pct, limits.caution_pct].map(frame.y);
  return RAYS_MEQ.map((cec_meq) => {
    const k = Math.min(frame.most_ppm, frame.most_pct * cec_meq * PPM_PER_PCT_MEQ);
    const sat = k / (cec_meq * PPM_PER_PCT_MEQ);
    const places = ALONG.map((part) => [frame.x(k * part), frame.y(sat * part) - NAME_UP_PX] as const);
    const clear = places.find(
      ([x, y]) =>
        lines.every((line) => Math.abs(y - 4 - line) > CLEAR_PX.up) &&
        Math.abs(x - frame.x(limits.floor_ppm)) > CLEAR_PX.across,
    );
    return { cec_meq, to: [frame.x(k), frame.y(sat)], label: clear ?? places[0] ?? [0, 0] };
  });
}
const NAME_UP_PX = 4;

/** Cells as one path of short strokes, at most MOST_SPECKS of those that have ground and both readings. */
export function specks(frame: PlotFrame, cells: BalanceCells | null): string {
  if (!cells) return '';
  const known: number[] = [];
  for (let cell = 0; cell < cells.cover_m2.length; cell++) {
    const both = (cells.k_ppm[cell] ?? Number.NaN) + (cells.kSat_pct[cell] ?? Number.NaN);
    if ((cells.cover_m2[cell] ?? 0) > 0 && !Number.isNaN(both)) known.push(cell);
  }
  return spread(known.length, MOST_SPECKS)
    .map((i) => {
      const cell = known[i] ?? 0;
      return `M${frame.x(cells.k_ppm[cell] ?? 0).toFixed(1)} ${frame.y(cells.kSat_pct[cell] ?? 0).toFixed(1)}h1.4`;
    })
    .join('');
}
