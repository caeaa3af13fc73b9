import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';

type Line = readonly LngLat[];
type Segment = readonly [LngLat, LngLat];

/** A zone's outline in two kinds of line, both with the zone on their left. */
export interface ZoneEdge {
  /** Along other zones. */
  readonly inner: readonly Line[];
  /** Along the field's outer edge. */
  readonly boundary: readonly Line[];
  /** Along a keep-out. */
  readonly keepOut: readonly Line[];
}
export interface ZoneArcs {
  /** Every line between two zones, once. */
  readonly shared: readonly Line[];
  readonly ofZone: ReadonlyMap<string, ZoneEdge>;
}

/** Degrees within which a position counts as lying on the ground's edge: about 2 cm, far under any line's width. */
const ON_EDGE_DEG = 2e-7;

/**
 * Sorts the segments of all zones' rings. One that two zones have runs between them; the others lie along the ground's
 * edge. A segment that neither another zone nor the edge answers is drawn as a line between zones rather than left out.
 * `ground` is the spreadable ground, `whole` the same without its holes.
 * Near-linear in segments; those with a single owner are tested against the edge.
 */
export function zoneArcs(
  zones: readonly { readonly key: string; readonly polygons: MultiPolygon }[],
  ground: MultiPolygon,
  whole: MultiPolygon,
): ZoneArcs {
  const owners = new Map<string, number>();
  eachSegment(zones, (_, a, b) => {
    const name = segmentName(a, b);
    owners.set(name, (owners.get(name) ?? 0) + 1);
  });
  const onEdge = edgeTest(ground);
  const onBoundary = edgeTest(whole);
  const shared = new Map<string, Segment>();
  const ofZone = new Map<string, ZoneEdge>();
  for (const zone of zones) {
    const inner: Segment[] = [];
    const boundary: Segment[] = [];
    const keepOut: Segment[] = [];
    eachSegment([zone], (_, a, b) => {
      const name = segmentName(a, b);
      const between = (owners.get(name) ?? 0) > 1 || !onEdge(a, b);
      if (between) {
        inner.push([a, b]);
        if (!shared.has(name)) shared.set(name, [a, b]);
      } else (onBoundary(a, b) ? boundary : keepOut).push([a, b]);
    });
    ofZone.set(zone.key, {
      inner: chained(inner, true),
      boundary: chained(boundary, true),
      keepOut: chained(keepOut, true),
    });
  }
  return { shared: chained([...shared.values()], false), ofZone };
}

function eachSegment(
  zones: readonly { readonly key: string; readonly polygons: MultiPolygon }[],
  take: (key: string, a: LngLat, b: LngLat) => void,
): void {
  for (const zone of zones) {
    for (const ring of zone.polygons.flat()) {
      let previous = ring[0];
      for (const here of ring.slice(1)) {
        if (previous) take(zone.key, previous, here);
        previous = here;
      }
    }
  }
}

const placeName = (p: LngLat): string => `${p[0]},${p[1]}`;
function segmentName(a: LngLat, b: LngLat): string {
  const one = placeName(a);
  const two = placeName(b);
  return one < two ? `${one} ${two}` : `${two} ${one}`;
}

/** Whether both ends and the middle of a segment lie on an edge of the ground. */
function edgeTest(ground: MultiPolygon): (a: LngLat, b: LngLat) => boolean {
  const edges: Segment[] = [];
  eachSegment([{ key: '', polygons: ground }], (_, a, b) => edges.push([a, b]));
  const on = (p: LngLat): boolean => edges.some(([a, b]) => distance2(p, a, b) <= ON_EDGE_DEG * ON_EDGE_DEG);
  return (a, b) => on(a) && on(b) && on([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
}

function distance2(p: LngLat, a: LngLat, b: LngLat): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const length2 = dx * dx + dy * dy;
  const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length2));
  return (p[0] - a[0] - t * dx) ** 2 + (p[1] - a[1] - t * dy) ** 2;
}

/** Segments as long lines; broken where more than two meet. `directed` keeps every segment's direction. */
function chained(segments: readonly Segment[], directed: boolean): Line[] {
  const at = new Map<string, number[]>();
  segments.forEach(([a, b], index) => {
    for (const name of [placeName(a), placeName(b)]) {
      const here = at.get(name);
      if (here) here.push(index);
      else at.set(name, [index]);
    }
  });
  const used = new Set<number>();
  const step = (from: LngLat, forward: boolean): LngLat | null => {
    const here = at.get(placeName(from)) ?? [];
    if (here.length !== 2) return null;
    const index = here.find((i) => !used.has(i));
    const segment = index === undefined ? undefined : segments[index];
    if (index === undefined || !segment) return null;
    const [a, b] = segment;
    const starts = placeName(a) === placeName(from);
    if (directed && starts !== forward) return null;
    used.add(index);
    return starts ? b : a;
  };
  return segments.flatMap(([a, b], index) => {
    if (used.has(index)) return [];
    used.add(index);
    const line: LngLat[] = [a, b];
    for (let next = step(b, true); next; next = step(next, true)) line.push(next);
    const before: LngLat[] = [];
    for (let next = step(a, false); next; next = step(next, false)) before.push(next);
    return [[...before.reverse(), ...line]];
  });
}
