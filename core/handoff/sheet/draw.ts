import { bounds } from '../../geo/bounds.ts';
import { localFrame, toLocal } from '../../geo/frame.ts';
import type { LngLat, MultiPolygon } from '../../geo/types.ts';

/** A place on the drawing, in pixels from its top left. */
export type Px = readonly [number, number];
/** Rings of one area on the drawing; which are holes follows from the even-odd rule. */
export type Rings = readonly (readonly Px[])[];

/** A drawing of ground: where a place lies on it, and pixels to the metre. */
export interface Plot {
  readonly width_px: number;
  readonly height_px: number;
  readonly pxPerMetre: number;
  readonly at: (place: LngLat) => Px;
  readonly rings: (polygons: MultiPolygon) => Rings;
}

/** Room kept free around the field on the drawing: the north arrow and the scale stand below it. */
export interface Room {
  readonly top: number;
  readonly side: number;
  readonly bottom: number;
}

/** The largest drawing of the ground, north up, that fits. A flat frame about its middle; for ground within one hemisphere of longitude. */
export function plotOf(ground: MultiPolygon, width_px: number, height_px: number, room: Room): Plot {
  const box = bounds(ground);
  const middle: LngLat = [(box.west + box.east) / 2, (box.south + box.north) / 2];
  const frame = localFrame(middle);
  const [halfWidth_m, halfHeight_m] = toLocal(frame, [box.east, box.north]);
  const pxPerMetre = Math.min(
    (width_px - 2 * room.side) / Math.max(1, 2 * halfWidth_m),
    (height_px - room.top - room.bottom) / Math.max(1, 2 * halfHeight_m),
  );
  const [x0, y0] = [width_px / 2, room.top + (height_px - room.top - room.bottom) / 2];
  const at = (place: LngLat): Px => {
    const [east_m, north_m] = toLocal(frame, place);
    return [tenth(x0 + east_m * pxPerMetre), tenth(y0 - north_m * pxPerMetre)];
  };
  const rings = (polygons: MultiPolygon): Rings =>
    polygons.flatMap((polygon) =>
      polygon.map((ring) => withoutRepeats(ring.map(at))).filter((ring) => ring.length > 2),
    );
  return { width_px, height_px, pxPerMetre, at, rings };
}

/** Rounded, since the last bits of a sine differ from one JavaScript engine to the next, and the page shall not. */
export const tenth = (value: number): number => Math.round(value * 10) / 10;

/** The ring without its closing place and without places that fall on the one before. */
function withoutRepeats(ring: readonly Px[]): readonly Px[] {
  const kept = ring.filter(([x, y], index) => index === 0 || x !== ring[index - 1]?.[0] || y !== ring[index - 1]?.[1]);
  const [first, last] = [kept[0], kept.at(-1)];
  return kept.length > 1 && first?.[0] === last?.[0] && first?.[1] === last?.[1] ? kept.slice(0, -1) : kept;
}

/** The `d` of a path of closed rings. */
export const pathOf = (rings: Rings): string =>
  rings.map((ring) => `M${ring.map(([x, y]) => `${x} ${y}`).join('L')}Z`).join('');

/** Ways that lines can run, degrees: neighbours take different ones, so that a border shows in black and white. */
export const WAYS_DEG = [45, -45, 0, 90] as const;

/**
 * Parallel lines over an area as the `d` of one path: plain lines, since printers turn patterns into pictures. Lines stand `gap_px` apart in a
 * frame common to the whole drawing, so parts of one zone line up. Even-odd. Linear in edges and crossings.
 */
export function hatch(rings: Rings, gap_px: number, way_deg: number): string {
  const turn = (way_deg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const rows = crossings(
    rings.map((ring) => ring.map(([x, y]): Px => [x * cos + y * sin, y * cos - x * sin])),
    gap_px,
  );
  let path = '';
  for (const [row, along] of [...rows].sort((a, b) => a[0] - b[0])) {
    const v = (row + 0.5) * gap_px;
    for (const [from, to] of spans(along)) {
      path += `M${tenth(from * cos - v * sin)} ${tenth(from * sin + v * cos)}L${tenth(to * cos - v * sin)} ${tenth(to * sin + v * cos)}`;
    }
  }
  return path;
}

/** Dots over an area, every other row moved by half a gap, as the `d` of a path to stroke with round ends. */
export function dots(rings: Rings, gap_px: number): string {
  let path = '';
  for (const [row, along] of [...crossings(rings, gap_px)].sort((a, b) => a[0] - b[0])) {
    const start = (row & 1) * 0.5;
    for (const [from, to] of spans(along)) {
      for (let n = Math.ceil(from / gap_px - start); (n + start) * gap_px < to; n++)
        path += `M${tenth((n + start) * gap_px)} ${tenth((row + 0.5) * gap_px)}h0`;
    }
  }
  return path;
}

/** Where level lines, `gap` apart, cross the edges: places along, by line. */
function crossings(rings: Rings, gap: number): Map<number, number[]> {
  const rows = new Map<number, number[]>();
  for (const ring of rings) {
    for (const [index, [x1, y1]] of ring.entries()) {
      const [x2, y2] = ring[(index + 1) % ring.length] ?? [x1, y1];
      if (y1 === y2) continue;
      const last = Math.ceil(Math.max(y1, y2) / gap - 0.5) - 1;
      for (let row = Math.ceil(Math.min(y1, y2) / gap - 0.5); row <= last; row++) {
        const x = x1 + (((row + 0.5) * gap - y1) / (y2 - y1)) * (x2 - x1);
        const along = rows.get(row);
        if (along) along.push(x);
        else rows.set(row, [x]);
      }
    }
  }
  return rows;
}

/** Crossings of one line in pairs; spans that touch are one. */
function spans(along: number[]): readonly Px[] {
  along.sort((a, b) => a - b);
  const found: [number, number][] = [];
  for (let index = 0; index + 1 < along.length; index += 2) {
    const [from, to] = [along[index] ?? 0, along[index + 1] ?? 0];
    const last = found.at(-1);
    if (last && from - last[1] < 0.15) last[1] = to;
    else found.push([from, to]);
  }
  return found.filter(([from, to]) => to - from > 0.1);
}

/** Whether a place lies in the rings, by the even-odd rule. */
export function inside(rings: Rings, [x, y]: Px): boolean {
  let odd = false;
  for (const ring of rings) {
    for (const [index, [x1, y1]] of ring.entries()) {
      const [x2, y2] = ring[(index + 1) % ring.length] ?? [x1, y1];
      if (y1 > y !== y2 > y && x < x1 + ((y - y1) / (y2 - y1)) * (x2 - x1)) odd = !odd;
    }
  }
  return odd;
}

/** Distance from a place to the nearest edge. */
export function toEdge(rings: Rings, [x, y]: Px): number {
  let least = Infinity;
  for (const ring of rings) {
    for (const [index, [x1, y1]] of ring.entries()) {
      const [x2, y2] = ring[(index + 1) % ring.length] ?? [x1, y1];
      const [dx, dy] = [x2 - x1, y2 - y1];
      const t = Math.max(0, Math.min(1, ((x - x1) * dx + (y - y1) * dy) / (dx * dx + dy * dy || 1)));
      least = Math.min(least, Math.hypot(x - x1 - t * dx, y - y1 - t * dy));
    }
  }
  return least;
}
