import { ckmeans } from 'simple-statistics';
import { caution, fail, ok, type Result, stop } from '../base/problem.ts';
import type { LayerWords } from '../layers/layer.ts';
import type { ClassesOf, ZonesSettings } from './settings.ts';

/** Floors and range of the plan that class limits can be taken from. */
export interface BreakTargets {
  readonly floor_ppm: number;
  readonly floor_pct: number;
  readonly rangeTop_pct: number;
  /** Saturation from which ground is far above the range. */
  readonly farAbove_pct: number;
}

/** Cells that natural breaks are found from: more change no limit that is drawn, and cost their square. */
const MOST_CELLS = 4000;

/**
 * Rising class limits of a layer, by the settings: as typed; equal area (each class the same ground, by cells weighted with theirs);
 * natural breaks (least squared deviation within classes, optimal in one dimension: Wang and Song, The R Journal 3(2), 2011, by
 * simple-statistics' ckmeans, on at most 4,000 cells spread evenly; a limit lies midway between neighbouring classes); or the floors and the range of the
 * plan, for K, K saturation and the K2O need.
 *
 * Limits that fall together are one: a caution `zones-fewer-classes` says so. Stops: `zones-one-value` (the layer has one value
 * only), `zones-no-floors` (the plan has no floor for this layer). Cells with NaN or without ground take no part.
 */
export function breaksOf(
  values: Float64Array,
  cover_m2: Float64Array,
  by: ClassesOf,
  settings: Pick<ZonesSettings, 'limits' | 'classes'>,
  targets: BreakTargets,
  words: LayerWords,
): Result<readonly number[]> {
  if (settings.limits === 'as typed') return ok(by.breaks);
  if (settings.limits === 'floors and range') {
    const own = floorsOf(by.layer, targets);
    if (own) return ok(own);
    const message = `The plan has no floor or range for ${words.name}.`;
    const remedy = 'Make classes of K, K saturation or the K₂O need, or choose other limits.';
    return fail(stop('zones-no-floors', message, remedy, { setting: 'zones.limits' }));
  }
  const known = knownCells(values, cover_m2);
  const found =
    settings.limits === 'equal area'
      ? equalAreaBreaks(known.values, known.cover_m2, settings.classes)
      : naturalBreaks(known.values, settings.classes);
  const rounded = tidy(found, words.decimals, known.values);
  if (rounded.length === 0) {
    const message = `${words.name} has one value all over the field, so it makes no classes.`;
    return fail(stop('zones-one-value', message, 'Make zones by another layer.', { setting: 'zones.by.layer' }));
  }
  if (rounded.length === settings.classes - 1) return ok(rounded);
  const message = `${words.name} makes ${rounded.length + 1} classes instead of ${settings.classes}: some limits fell together.`;
  const remedy = 'Take fewer classes, or type the limits.';
  return ok(rounded, [caution('zones-fewer-classes', message, remedy, { setting: 'zones.classes' })]);
}

/** Limits of the classes of equal ground: the values that 1/n, 2/n ... of the known ground do not pass. */
export function equalAreaBreaks(values: Float64Array, cover_m2: Float64Array, classes: number): readonly number[] {
  const order = Uint32Array.from(values, (_, i) => i).sort((a, b) => (values[a] ?? 0) - (values[b] ?? 0));
  const total = cover_m2.reduce((sum, cover) => sum + cover, 0);
  const breaks: number[] = [];
  let below = 0;
  for (let i = 0; i < order.length && breaks.length < classes - 1; i++) {
    below += cover_m2[order[i] ?? 0] ?? 0;
    const here = values[order[i] ?? 0] ?? 0;
    const next = values[order[i + 1] ?? order[i] ?? 0] ?? here;
    while (breaks.length < classes - 1 && below >= ((breaks.length + 1) / classes) * total * (1 - 1e-12))
      breaks.push((here + next) / 2);
  }
  return breaks;
}

/** Limits midway between the classes of least squared deviation. */
export function naturalBreaks(values: Float64Array, classes: number): readonly number[] {
  const some = spread(values, MOST_CELLS);
  const kinds = new Set(some).size;
  if (kinds < 2) return [];
  const groups = ckmeans(some, Math.min(classes, kinds));
  return groups.slice(1).map((group, i) => ((groups[i]?.at(-1) ?? 0) + (group[0] ?? 0)) / 2);
}

/** At most `most` of the values, evenly over their order by size, so that the ends are among them. */
function spread(values: Float64Array, most: number): number[] {
  const sorted = [...values.slice().sort()];
  if (sorted.length <= most) return sorted;
  return Array.from({ length: most }, (_, i) => sorted[Math.round((i * (sorted.length - 1)) / (most - 1))] ?? 0);
}

/** Limits written as people would, where that moves no value over one; each once, and none without ground on both sides. */
function tidy(breaks: readonly number[], decimals: number, values: Float64Array): readonly number[] {
  let least = Infinity;
  let most = -Infinity;
  for (const value of values) {
    if (value < least) least = value;
    if (value > most) most = value;
  }
  const rounded = breaks.map((value) => Number(value.toFixed(decimals + 1)));
  return [...new Set(rounded)].sort((a, b) => a - b).filter((value) => value > least && value <= most);
}

function knownCells(values: Float64Array, cover_m2: Float64Array): { values: Float64Array; cover_m2: Float64Array } {
  const isKnown = (cell: number): boolean => (cover_m2[cell] ?? 0) > 0 && Number.isFinite(values[cell] ?? Number.NaN);
  return {
    values: values.filter((_, cell) => isKnown(cell)),
    cover_m2: cover_m2.filter((_, cell) => isKnown(cell)),
  };
}

function floorsOf(layer: ClassesOf['layer'], targets: BreakTargets): readonly number[] | null {
  const rising = (limits: readonly number[]): readonly number[] => [...new Set(limits)].sort((a, b) => a - b);
  if (layer === 'k_ppm') return [targets.floor_ppm];
  if (layer === 'kSat_pct') return rising([targets.floor_pct, targets.rangeTop_pct, targets.farAbove_pct]);
  if (layer === 'k2oNeed_lbPerAc') return [1];
  return null;
}
