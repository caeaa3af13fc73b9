import { describe, expect, it } from 'vitest';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { zoneArcs } from '../../renderer/map/arcs.ts';
import { deepFreeze } from '../freeze.ts';

const ring = (...p: LngLat[]): LngLat[] => [...p, ...p.slice(0, 1)];
const box = (w: number, s: number, e: number, n: number): LngLat[] => ring([w, s], [e, s], [e, n], [w, n]);
const whole: MultiPolygon = [[box(0, 0, 4, 2)]];
const hole = [...box(2.5, 0.5, 3.5, 1.5)].reverse();
const ground: MultiPolygon = [[box(0, 0, 4, 2), hole]];
const left: MultiPolygon = [[ring([0, 0], [2, 0], [2, 1], [2, 2], [0, 2])]];
const right: MultiPolygon = [[ring([2, 0], [4, 0], [4, 2], [2, 2], [2, 1]), hole]];
const zones = deepFreeze([
  { key: '1', polygons: left },
  { key: '2', polygons: right },
]);
const ends = (line: readonly LngLat[] | undefined): unknown => [line?.[0], line?.at(-1)];

describe('lines between zones', () => {
  it('draws what two zones share once, as one line', () => {
    const { shared } = zoneArcs(zones, ground, whole);
    expect(shared).toHaveLength(1);
    expect(new Set(shared[0]?.map(String))).toEqual(new Set(['2,0', '2,1', '2,2']));
  });

  it('keeps the zone on the left of each of its lines', () => {
    const { ofZone } = zoneArcs(zones, ground, whole);
    const one = ofZone.get('1');
    expect(one?.inner.map(ends)).toEqual([
      [
        [2, 0],
        [2, 2],
      ],
    ]);
    expect(one?.boundary.map(ends)).toEqual([
      [
        [2, 2],
        [2, 0],
      ],
    ]);
    expect(one?.keepOut).toEqual([]);
    const two = ofZone.get('2');
    expect(two?.inner.map(ends)).toEqual([
      [
        [2, 2],
        [2, 0],
      ],
    ]);
    expect(two?.keepOut[0]?.map(String)).toEqual(hole.map(String));
  });

  it('draws a line that nothing answers rather than lose it', () => {
    const short: MultiPolygon = [[ring([0, 0], [1, 0], [1, 2], [0, 2])]];
    const { shared } = zoneArcs([{ key: '1', polygons: short }], ground, whole);
    expect(shared.map(ends)).toEqual([
      [
        [1, 0],
        [1, 2],
      ],
    ]);
  });
});
