import { inside, type Plot, type Px, type Rings, tenth, toEdge } from './draw.ts';

/** A box on the drawing, by its middle. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** What wants a place on the drawing. */
export interface Wanted {
  readonly key: string;
  /** The area it belongs to, and the widest spot of it. */
  readonly rings: Rings;
  readonly spot: Px;
  /** Its box, from the largest way to write it to the smallest. */
  readonly sizes: readonly { readonly width: number; readonly height: number }[];
  /** Which of them stands beside the field, at the end of a leader line; null where it is not worth one. */
  readonly led: number | null;
}

/** Where it went: `size` says which of its sizes; `leader` is the spot that a line leads to, null where it stands on its own ground. */
export interface Placed {
  readonly key: string;
  readonly size: number;
  readonly box: Box;
  readonly leader: Px | null;
}

/** Free room between two boxes. */
const GAP_PX = 3;
const GRID_PX = 9;
/** Part of a small label's width and height that must lie on its own ground. */
const MOSTLY = 0.7;

/** Keeps the boxes of one drawing apart. */
export class Taken {
  private readonly boxes: Box[] = [];
  private readonly plot: Pick<Plot, 'width_px' | 'height_px'>;
  constructor(plot: Pick<Plot, 'width_px' | 'height_px'>) {
    this.plot = plot;
  }
  add(box: Box): void {
    this.boxes.push(box);
  }
  isFree(box: Box): boolean {
    const { width_px, height_px } = this.plot;
    if (box.x - box.width / 2 < 4 || box.x + box.width / 2 > width_px - 4) return false;
    if (box.y - box.height / 2 < 4 || box.y + box.height / 2 > height_px - 4) return false;
    return this.boxes.every(
      (other) =>
        Math.abs(other.x - box.x) >= (other.width + box.width) / 2 + GAP_PX ||
        Math.abs(other.y - box.y) >= (other.height + box.height) / 2 + GAP_PX,
    );
  }
}

/**
 * A place for each label, the roomiest ground first: on its own ground in the largest size that lies wholly in it; else beside the field with a leader
 * line. What finds none is not in the answer: the table has it. `solid` is ground drawn black, which no label should cover. No two boxes meet, nor any with what `taken` holds.
 */
export function placeLabels(
  wanted: readonly Wanted[],
  field: Rings,
  solid: Rings,
  plot: Plot,
  taken: Taken,
): readonly Placed[] {
  const placed: Placed[] = [];
  const byRoom = wanted
    .map((one) => ({ one, room: toEdge(one.rings, one.spot) }))
    .sort((a, b) => b.room - a.room || (a.one.key < b.one.key ? -1 : 1));
  const led: Wanted[] = [];
  for (const { one, room } of byRoom) {
    const own = onOwnGround(one, room, taken);
    if (own) {
      taken.add(own.box);
      placed.push(own);
    } else led.push(one);
  }
  const free = led.length === 0 ? [] : gridOf(plot).map((at) => ({ at, ground: inside(field, at) }));
  for (const one of led) {
    const beside = besideField(one, free, field, solid, taken);
    if (!beside) continue;
    taken.add(beside.box);
    taken.add({ x: one.spot[0], y: one.spot[1], width: 8, height: 8 });
    placed.push(beside);
  }
  return placed;
}

/** Whole on its own ground in any size; else small, with no more than its rim over the border. */
function onOwnGround(one: Wanted, room: number, taken: Taken): Placed | null {
  for (const share of [1, MOSTLY]) {
    for (const [size, { width, height }] of one.sizes.entries()) {
      if (share < 1 && size < (one.led ?? 0)) continue;
      for (const [x, y] of [one.spot, ...around(one.spot, Math.min(60, room))]) {
        const box = { x, y, width, height };
        const core = { x, y, width: width * share, height: height * share };
        if (taken.isFree(box) && liesIn(one.rings, core, room)) return { key: one.key, size, box, leader: null };
      }
    }
  }
  return null;
}

/** Places on rings about one, nearest first. */
function* around([x, y]: Px, reach: number): Generator<Px> {
  for (let r = 6; r <= reach; r += 6)
    for (let n = 0; n < 12; n++) {
      const turn = (n * Math.PI) / 6;
      yield [tenth(x + r * Math.cos(turn)), tenth(y + r * Math.sin(turn))];
    }
}

function liesIn(rings: Rings, { x, y, width, height }: Box, room: number): boolean {
  if (room * 2 < height) return false;
  for (const dx of [-0.5, -0.25, 0, 0.25, 0.5])
    for (const dy of [-0.5, 0, 0.5]) if (!inside(rings, [x + dx * width, y + dy * height])) return false;
  return true;
}

function gridOf({ width_px, height_px }: Plot): readonly Px[] {
  const places: Px[] = [];
  for (let y = GRID_PX; y < height_px; y += GRID_PX)
    for (let x = GRID_PX; x < width_px; x += GRID_PX) places.push([x, y]);
  return places;
}

/** The free place nearest to the spot, off the field if there is one not much farther. */
function besideField(
  { key, sizes, spot, led: size }: Wanted,
  free: readonly { readonly at: Px; readonly ground: boolean }[],
  field: Rings,
  solid: Rings,
  taken: Taken,
): Placed | null {
  const least = size === null ? undefined : sizes[size];
  if (size === null || !least) return null;
  let best: Box | null = null;
  let cost = Infinity;
  for (const { at, ground } of free) {
    const far = Math.hypot(at[0] - spot[0], at[1] - spot[1]) + (ground ? 420 : 0);
    if (far >= cost) continue;
    const box = { x: at[0], y: at[1], ...least };
    const covers = Math.abs(at[0] - spot[0]) < box.width / 2 + 8 && Math.abs(at[1] - spot[1]) < box.height / 2 + 8;
    if (covers || !taken.isFree(box)) continue;
    const corners = [-0.5, 0.5].flatMap((dx) =>
      [-0.5, 0.5].map((dy): Px => [box.x + dx * box.width, box.y + dy * box.height]),
    );
    const spots = [at, ...corners];
    const rim = !ground && corners.some((corner) => inside(field, corner)) ? 120 : 0;
    const whole = far + rim + (spots.some((spot) => inside(solid, spot)) ? 600 : 0);
    if (whole >= cost) continue;
    cost = whole;
    best = box;
  }
  return best && { key, size, box: best, leader: spot };
}

/** A free place for a numbered mark: as near to where it belongs as there is one within `reach` px, on ground it belongs to first. */
export function placeMark(spot: Px, size: number, on: Rings | null, taken: Taken, reach = 90): Box | null {
  for (const ground of on ? [on, null] : [null]) {
    for (const [x, y] of [spot, ...around(spot, reach)]) {
      const box = { x, y, width: size, height: size };
      if (!taken.isFree(box) || (ground && !inside(ground, [x, y]))) continue;
      taken.add(box);
      return box;
    }
  }
  return null;
}
