type Position = readonly [number, number];

/** The area of a closed ring in its own square unit, positive where it winds counter-clockwise. */
export function signedArea(ring: readonly Position[]): number {
  if (ring.length < 4) return 0;
  const [x0, y0] = ring[0]!;
  let twice = 0;
  // About the first position, so that large coordinates do not eat the digits of a small ring.
  for (let i = 1; i < ring.length - 1; i++) {
    const a = ring[i]!;
    const b = ring[i + 1]!;
    twice += (a[0] - x0) * (b[1] - y0) - (b[0] - x0) * (a[1] - y0);
  }
  return twice / 2;
}

/** Share of a ring's extent, squared, under which a corner lies on a line: what rounding leaves of it in degrees. */
const ON_LINE = 1e-10;

/**
 * Whether a closed ring has no inside: fewer than 3 places, or all of them on one line. A ring that crosses itself may have a signed area
 * of 0 and is not flat.
 */
export function isFlatRing(ring: readonly Position[]): boolean {
  if (ring.length < 4) return true;
  const [x0, y0] = ring[0]!;
  let far2 = 0;
  let ux = 0;
  let uy = 0;
  for (let i = 1; i < ring.length; i++) {
    const dx = ring[i]![0] - x0;
    const dy = ring[i]![1] - y0;
    const d2 = dx * dx + dy * dy;
    if (d2 <= far2) continue;
    far2 = d2;
    ux = dx;
    uy = dy;
  }
  for (let i = 1; i < ring.length; i++)
    if (Math.abs(ux * (ring[i]![1] - y0) - uy * (ring[i]![0] - x0)) > ON_LINE * far2) return false;
  return true;
}

/** West, south, east, north of some positions. */
export function boxOf(positions: readonly Position[]): [number, number, number, number] {
  let west = Number.POSITIVE_INFINITY;
  let south = Number.POSITIVE_INFINITY;
  let east = Number.NEGATIVE_INFINITY;
  let north = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < positions.length; i++) {
    const [x, y] = positions[i]!;
    if (x < west) west = x;
    if (x > east) east = x;
    if (y < south) south = y;
    if (y > north) north = y;
  }
  return [west, south, east, north];
}

/** Whether a position lies inside a closed ring (even-odd); on the edge, either answer. Source: crossing number. */
export function insideRing(ring: readonly Position[], [x, y]: Position): boolean {
  let inside = false;
  for (let i = 1; i < ring.length; i++) {
    const a = ring[i - 1]!;
    const b = ring[i]!;
    if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

/**
 * A position inside a closed ring with an area, away from its edge: on the level halfway between the two vertex levels
 * nearest the middle, the middle of the widest stretch inside. No vertex lies on that level. Source: ours.
 */
export function interiorPoint(ring: readonly Position[]): Position {
  const [, south, , north] = boxOf(ring);
  const middle = (south + north) / 2;
  let below = south;
  let above = north;
  for (let i = 0; i < ring.length; i++) {
    const y = ring[i]![1];
    if (y <= middle && y > below) below = y;
    if (y > middle && y < above) above = y;
  }
  const level = (below + above) / 2;
  const crossings: number[] = [];
  for (let i = 1; i < ring.length; i++) {
    const a = ring[i - 1]!;
    const b = ring[i]!;
    if (a[1] > level !== b[1] > level) crossings.push(((b[0] - a[0]) * (level - a[1])) / (b[1] - a[1]) + a[0]);
  }
  crossings.sort((p, q) => p - q);
  let at = ring[0]![0];
  let widest = -1;
  for (let i = 0; i + 1 < crossings.length; i += 2) {
    const width = crossings[i + 1]! - crossings[i]!;
    if (width > widest) {
      widest = width;
      at = (crossings[i + 1]! + crossings[i]!) / 2;
    }
  }
  return [at, level];
}

/**
 * For each ring, the indices of the rings round it, smallest first; rings without area have none and are round none.
 * Ring i lies in ring j where j is larger and holds a position inside i. Null when more than `budget` edges were looked at.
 * Cost: rings whose boxes overlap, times their edges.
 */
export function ringsAround(
  rings: readonly (readonly Position[])[],
  areas: readonly number[],
  budget: number,
): readonly (readonly number[])[] | null {
  const around: number[][] = rings.map(() => []);
  const boxes = rings.map(boxOf);
  const size = areas.map(Math.abs);
  // A ring comes after every ring that can be round it: farther west, or as far west and larger.
  const order = rings.map((_, i) => i).filter((i) => size[i]! > 0);
  order.sort((i, j) => boxes[i]![0] - boxes[j]![0] || size[j]! - size[i]! || i - j);
  let left = budget;
  let open: number[] = [];
  for (const i of order) {
    const [west, south, east, north] = boxes[i]!;
    left -= open.length;
    open = open.filter((j) => boxes[j]![2] >= west);
    let inner: Position | null = null;
    for (const j of open) {
      const other = boxes[j]!;
      if (size[j]! <= size[i]! || other[1] > south || other[2] < east || other[3] < north) continue;
      inner ??= interiorPoint(rings[i]!);
      left -= rings[j]!.length;
      if (left < 0) return null;
      if (insideRing(rings[j]!, inner)) around[i]!.push(j);
    }
    if (left < 0) return null;
    around[i]!.sort((j, k) => size[j]! - size[k]! || j - k);
    open.push(i);
  }
  return around;
}
