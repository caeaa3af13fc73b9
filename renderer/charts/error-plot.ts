import type { ErrorScan } from '../../core/surfaces/types.ts';
import { niceStep } from './scales.ts';

/** Which error the plot shows. */
export type ErrorMeasure = 'rmse' | 'mae';
export const ERROR_NAMES = { rmse: 'RMSE', mae: 'MAE' } as const satisfies Record<ErrorMeasure, string>;

/** A setting with its error. */
export interface ErrorPoint {
  /** Place in the scan's entries. */
  readonly index: number;
  readonly power: number;
  readonly neighbours: number;
  readonly error: number;
}
export interface ErrorLine {
  /** 0 is all. */
  readonly neighbours: number;
  /** Powers ascending. */
  readonly points: readonly ErrorPoint[];
}

/** One line for each neighbour count, in the scan's order. */
export function errorLines(scan: ErrorScan, measure: ErrorMeasure): readonly ErrorLine[] {
  const lines = new Map<number, ErrorPoint[]>();
  scan.entries.forEach((entry, index) => {
    const { power, neighbours } = entry;
    lines.set(neighbours, [...(lines.get(neighbours) ?? []), { index, power, neighbours, error: entry[measure] }]);
  });
  return [...lines].map(([neighbours, points]) => ({ neighbours, points }));
}

/** The setting with the least error: the scan's own choice by RMSE, the first of equals by MAE. Null where nothing is known. */
export function bestPoint(scan: ErrorScan, measure: ErrorMeasure): ErrorPoint | null {
  const points = errorLines(scan, measure).flatMap((line) => line.points);
  if (measure === 'rmse') return points.find((point) => point.index === scan.best) ?? null;
  return points.reduce<ErrorPoint | null>((best, one) => (best && best.error <= one.error ? best : one), null);
}

/** Error of a line at a power between its points, drawn as the line is; NaN beyond its ends. */
export function errorAt(line: ErrorLine, power: number): number {
  const next = line.points.findIndex((point) => point.power >= power);
  const after = line.points[next];
  if (!after) return Number.NaN;
  if (after.power === power) return after.error;
  const before = line.points[next - 1];
  if (!before) return Number.NaN;
  return before.error + ((power - before.power) / (after.power - before.power)) * (after.error - before.error);
}

/** Settings whose error is within a share of the least. */
export function asGood(scan: ErrorScan, measure: ErrorMeasure, share: number): number {
  const best = bestPoint(scan, measure);
  return best ? scan.entries.filter((entry) => entry[measure] <= best.error * (1 + share)).length : 0;
}

/** Where things stand: power across, error up, from 0. */
export interface ErrorFrame {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly least: number;
  readonly most: number;
  readonly most_error: number;
  readonly x: (power: number) => number;
  readonly y: (error: number) => number;
}
const MARGIN = { left: 38, right: 92, top: 24, bottom: 34 } as const;
/** Room before the first power, where the lines have their names. */
const NAMES_PX = 34;

export function errorFrame(
  width: number,
  height: number,
  lines: readonly ErrorLine[],
  powersShown: readonly number[],
  errorsShown: readonly number[],
): ErrorFrame {
  const powers = [...lines.flatMap((line) => line.points.map((point) => point.power)), ...powersShown];
  const errors = [...lines.flatMap((line) => line.points.map((point) => point.error)), ...errorsShown];
  const least = Math.min(...powers);
  const most = Math.max(...powers, least + 0.5);
  const greatest = Math.max(...errors.filter(Number.isFinite), 1e-6) * 1.04;
  const step = niceStep(greatest, 8);
  const most_error = Math.ceil(greatest / step) * step;
  const inner = { width: Math.max(1, width - MARGIN.left - MARGIN.right), height: height - MARGIN.top - MARGIN.bottom };
  return {
    left: MARGIN.left,
    top: MARGIN.top,
    width: inner.width,
    height: inner.height,
    least,
    most,
    most_error,
    x: (power) => MARGIN.left + NAMES_PX + ((power - least) / (most - least)) * (inner.width - NAMES_PX - 6),
    y: (error) => MARGIN.top + inner.height * (1 - error / most_error),
  };
}

/**
 * Heights moved apart to at least `apart`, in their order, by as little as can be (least squares), none below `lowest`: names that would
 * cover one another. Neighbours that touch move as one (pool adjacent violators).
 */
export function spaced(wanted: readonly number[], apart: number, lowest: number): readonly number[] {
  const order = wanted.map((y, i) => ({ y, i })).sort((a, b) => a.y - b.y || a.i - b.i);
  const groups: { sum: number; size: number }[] = [];
  order.forEach((one, at) => {
    groups.push({ sum: one.y - at * apart, size: 1 });
    for (let last = groups.length - 1; last > 0; last--) {
      const [before, here] = [groups[last - 1], groups[last]];
      if (!before || !here || before.sum / before.size <= here.sum / here.size) break;
      groups.splice(last - 1, 2, { sum: before.sum + here.sum, size: before.size + here.size });
    }
  });
  const placed = groups.flatMap(({ sum, size }) => Array.from({ length: size }, () => sum / size));
  const out: number[] = [];
  order.forEach((one, at) => {
    const most = lowest - (order.length - 1 - at) * apart;
    out[one.i] = Math.min((placed[at] ?? one.y) + at * apart, most);
  });
  return out;
}

/** How the lines are told apart without colour, in their order; the one in use is drawn solid and heavy. */
export const DASHES = ['1.5 3.5', '6 4', '10 3 2 3', '14 4', '3 3', '8 3 2 3 2 3'] as const;

/** Three figures that mean something: no more than an error has. */
export const errorDecimals = (error: number): number => (error >= 99.95 ? 0 : error >= 9.995 ? 1 : 2);
