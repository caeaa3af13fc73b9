import type { LayerWords } from '../layers/layer.ts';

/** A, B .. Z, AA, AB .. for 0, 1 .. */
export function letterOf(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26));
  return index < 26 ? letter : letterOf(Math.floor(index / 26) - 1) + letter;
}

/**
 * A class in words: `K₂O to reach the target 100-200 lb/ac`, `CEC under 8 meq/100 g`, `Soil pH 6.5 and above`.
 * `index` counts from 0, the class under the first limit.
 */
export function classWords(layer: LayerWords, breaks: readonly number[], index: number): string {
  const { name, unit } = layer;
  const from = breaks[index - 1];
  const to = breaks[index];
  const withUnit = (value: string): string => (unit === '' ? value : `${value} ${unit}`);
  if (from === undefined) return `${name} under ${withUnit(String(to))}`;
  if (to === undefined) return `${name} ${withUnit(String(from))} and above`;
  return `${name} ${withUnit(`${from}-${to}`)}`;
}
