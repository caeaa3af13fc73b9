import { describe, expect, it } from 'vitest';
import { placeLabels } from '../../renderer/map/labels.ts';

const zone = (key: string, acres: number, x: number, others: readonly number[] = []) => ({
  key,
  letter: key,
  acres,
  spot: [x, 0] as const,
  otherSpots: others.map((other) => [other, 0] as const),
});
const here = (p: readonly [number, number]): readonly [number, number] => p;
const rate = () => ({ text: '315', plate: false });

describe('zone labels', () => {
  it('stand with their rates where there is room', () => {
    const placed = placeLabels([zone('A', 5, 0), zone('B', 50, 100)], here, rate);
    expect(placed.map((label) => [label.key, label.below])).toEqual([
      ['B', '315'],
      ['A', '315'],
    ]);
  });

  it('leave out the rate of the smaller zone where two would touch, never the letter', () => {
    const placed = placeLabels([zone('A', 5, 0), zone('B', 50, 20)], here, rate);
    expect(placed.map((label) => [label.letter, label.below])).toEqual([
      ['B', '315'],
      ['A', null],
    ]);
  });

  it('stand again on the other parts of a zone, where there is room for the letter', () => {
    const placed = placeLabels([zone('A', 50, 0, [100, 5]), zone('B', 5, 200)], here, rate);
    expect(placed.map((label) => [label.key, label.at[0]])).toEqual([
      ['A', 0],
      ['B', 200],
      ['A/2', 100],
    ]);
  });
});
