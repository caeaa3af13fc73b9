import type { LngLat } from '../../core/geo/types.ts';
import type { Point } from './camera.ts';

/** An area's name where it finds room. */
export interface AreaName {
  readonly name: string;
  readonly at: Point;
  readonly chosen: boolean;
}

const LETTER_PX = 6.6;
const HALF_HEIGHT_PX = 7;
/** Half of a sample's dot and the air about it. */
const DOT_PX = 6;
/** Steps up and down, and to the sides, in which a free place is looked for. */
const STEPS = [0, -1, 1, -2, 2, -3, 3] as const;
const DOWN_PX = 15;
const ACROSS_PX = 24;

/**
 * Names of areas about their widest spots, moved off samples and off each other: of the places within three steps the nearest that is free.
 * Where none is, the one that hides fewest dots.
 */
export function placeAreaNames(
  areas: readonly { readonly at: LngLat; readonly name: string; readonly chosen: boolean }[],
  dots: readonly LngLat[],
  project: (p: LngLat) => Point,
): readonly AreaName[] {
  const marks: (readonly [x: number, y: number, halfX: number, halfY: number])[] = dots.map((dot) => {
    const [x, y] = project(dot);
    return [x, y, DOT_PX, DOT_PX];
  });
  return areas.map(({ at, name, chosen }) => {
    const [x, y] = project(at);
    const half = (name.length * LETTER_PX) / 2;
    const hidden = ([px, py]: Point): number =>
      marks.filter(([mx, my, hx, hy]) => Math.abs(mx - px) < hx + half && Math.abs(my - py) < hy + HALF_HEIGHT_PX)
        .length;
    const places = STEPS.flatMap((across) =>
      STEPS.map((down): Point => [x + across * ACROSS_PX, y + down * DOWN_PX]),
    ).sort((a, b) => Math.hypot(a[0] - x, a[1] - y) - Math.hypot(b[0] - x, b[1] - y));
    let best: Point = [x, y];
    let fewest = Number.POSITIVE_INFINITY;
    for (const place of places) {
      const count = hidden(place);
      if (count < fewest) [best, fewest] = [place, count];
      if (count === 0) break;
    }
    marks.push([best[0], best[1], half, HALF_HEIGHT_PX]);
    return { name, at: best, chosen };
  });
}
