import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { type LayerWords, layerName, layerValues } from '../layers/layer.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import { type BreakTargets, breaksOf } from './breaks.ts';
import type { ClassesOf, ZonesSettings } from './settings.ts';
import { classWords } from './words.ts';

/** Key of the ground that has no reading: it gets no class, and no rate. */
export const UNKNOWN_KEY = 'unknown';
export const UNKNOWN_NAME = 'no reading';
/** Name of that ground where K and CEC are read, and the target is what is not known. */
export const NO_TARGET = 'no target';
/** Name of ground that no zone composite covers. */
export const UNCOVERED = 'no composite covers it';

/** One kind of zone: its number in the raster is its place in the list, from 1. */
export interface ZoneClass {
  readonly key: string;
  readonly name: string;
  readonly what: string;
}

export interface Classified {
  /** 0 where there is no ground. */
  readonly labels: Int16Array;
  /** In class order; the last is the unknown. Not all need be on the field. */
  readonly classes: readonly ZoneClass[];
  /** Limits that the classes were made with, where they were; what `limits` worked out stands here. */
  readonly breaks?: readonly number[];
}

/**
 * Cells by the classes of one layer, crossed with those of each further layer that the settings keep ground apart by.
 *
 * A value on a limit belongs to the class above it. Keys are `i`, or `i.j.k` with further layers, counted from 1. A cell
 * without a value in any of the layers is `unknown`, never its neighbour's class. Stops: `zones-no-layer`,
 * `zones-limits-order`, `zones-nothing-known`, `zones-no-target`. Caution: `zones-no-second-layer`, and that layer is then left out.
 */
export function classifyCells(
  surfaces: SurfacesOut,
  settings: ZonesSettings,
  targets: BreakTargets,
): Result<Classified> {
  const { by } = settings;
  const problems: Problem[] = [];
  const name = (one: ClassesOf): LayerWords => layerName(surfaces, one.layer);
  const wrong = [
    ...(settings.limits === 'as typed' ? [disorder(by, name(by), 'zones.by.breaks')] : []),
    ...settings.apart.map((one, i) => disorder(one, name(one), `zones.apart.${i}.breaks`)),
  ].filter((problem) => problem !== null);
  if (wrong.length > 0) return fail(...wrong);
  const { cover_m2 } = surfaces.grid;
  const isKnown = (layer: Float64Array): boolean =>
    layer.some((value, cell) => isGround(cover_m2, cell) && !Number.isNaN(value));
  const values = layerValues(surfaces, by.layer);
  if (!values) {
    const message = `There is no surface of ${name(by).name} to make zones by.`;
    const remedy = 'Choose a layer that was measured, or map its column.';
    return fail(stop('zones-no-layer', message, remedy, { setting: 'zones.by.layer' }));
  }
  if (!isKnown(values)) {
    const message = `${name(by).name} is not known anywhere on the field.`;
    if (by.layer === 'k2oNeed_lbPerAc' && hasBoth(surfaces, isKnown)) return fail(noTarget());
    const remedy =
      by.layer === 'k2oNeed_lbPerAc'
        ? 'It needs K, and CEC where saturation plays a part: see the soil stage, or choose another layer.'
        : 'Choose a layer that was measured, or map its column.';
    return fail(stop('zones-nothing-known', message, remedy, { setting: 'zones.by.layer' }));
  }
  const made = breaksOf(values, cover_m2, by, settings, targets, name(by));
  if (!made.ok) return made;
  problems.push(...made.problems);
  const crossed: Crossed[] = [{ breaks: made.value, words: name(by), values }];
  for (const [i, one] of settings.apart.entries()) {
    const known = layerValues(surfaces, one.layer);
    if (known && isKnown(known)) crossed.push({ breaks: one.breaks, words: name(one), values: known });
    else {
      const message = `${name(one).name} is not known anywhere, so no ground was kept apart by it.`;
      const remedy = 'Map its column, or keep nothing apart by it.';
      problems.push(caution('zones-no-second-layer', message, remedy, { setting: `zones.apart.${i}` }));
    }
  }

  const classes = classList(crossed);
  const labels = new Int16Array(values.length);
  for (let cell = 0; cell < labels.length; cell++) {
    if (!isGround(cover_m2, cell)) continue;
    let at = 0;
    for (const { values: layer, breaks } of crossed) {
      const own = classOf(layer[cell] ?? Number.NaN, breaks);
      at = own < 0 || at < 0 ? -1 : at * (breaks.length + 1) + own;
    }
    labels[cell] = at < 0 ? classes.length : at + 1;
  }
  const breaks = made.value;
  if (!lacksTarget(surfaces, settings, labels, classes.length)) return ok({ labels, classes, breaks }, problems);
  const named = classes.map((one) => (one.key === UNKNOWN_KEY ? { ...one, name: NO_TARGET, what: NO_TARGET } : one));
  return ok({ labels, classes: named, breaks }, problems);
}

/** A layer whose classes take part, with its limits. */
interface Crossed {
  readonly breaks: readonly number[];
  readonly words: LayerWords;
  readonly values: Float64Array;
}

const hasBoth = ({ layers }: SurfacesOut, isKnown: (layer: Float64Array) => boolean): boolean =>
  [layers.k_ppm, layers.cec_meq].every((layer) => layer !== undefined && isKnown(layer));

const noTarget = (): Problem =>
  stop(
    'zones-no-target',
    'K₂O to reach the target is not known anywhere, though K and CEC are: saturation may not govern where the CEC is overstated (soil pH above 7.3 with Mehlich-3).',
    'Let ppm or the larger govern, give the reason under rates, or make zones by another layer.',
    { setting: 'zones.by.layer' },
  );

/** Whether most of the cells without a class have K and CEC, so that only the target is missing. */
function lacksTarget({ layers }: SurfacesOut, settings: ZonesSettings, labels: Int16Array, unknown: number): boolean {
  const { k2oNeed_lbPerAc: need, k_ppm: k, cec_meq: cec } = layers;
  if (![settings.by, ...settings.apart].some(({ layer }) => layer === 'k2oNeed_lbPerAc')) return false;
  const at = (layer: Float64Array | undefined, cell: number): boolean => !Number.isNaN(layer?.[cell] ?? Number.NaN);
  let all = 0;
  let lacking = 0;
  labels.forEach((label, cell) => {
    if (label !== unknown) return;
    all++;
    if (!at(need, cell) && at(k, cell) && at(cec, cell)) lacking++;
  });
  return lacking > all / 2;
}

const isGround = (cover_m2: Float64Array, cell: number): boolean => (cover_m2[cell] ?? 0) > 0;

function disorder(limits: ClassesOf, { name }: LayerWords, setting: string): Problem | null {
  const rising = limits.breaks.every((value, i) => i === 0 || value > (limits.breaks[i - 1] ?? 0));
  if (rising && limits.breaks.every(Number.isFinite)) return null;
  const message = `The class limits of ${name} do not rise: ${limits.breaks.join(', ')}.`;
  return stop('zones-limits-order', message, 'Write them from low to high, each once.', { setting });
}

/** Class of a value, from 0; -1 for NaN. */
function classOf(value: number, breaks: readonly number[]): number {
  if (Number.isNaN(value)) return -1;
  let at = 0;
  while (at < breaks.length && value >= (breaks[at] ?? Infinity)) at++;
  return at;
}

/** Every combination of the layers' classes, the first layer's outermost, and last the unknown. */
function classList(crossed: readonly Crossed[]): readonly ZoneClass[] {
  const combine = (rest: readonly Crossed[]): readonly { key: string; what: string }[] => {
    const [first, ...others] = rest;
    if (!first) return [];
    const after = combine(others);
    return Array.from({ length: first.breaks.length + 1 }, (_, i) => {
      const key = `${i + 1}`;
      const what = classWords(first.words, first.breaks, i);
      return after.length === 0
        ? [{ key, what }]
        : after.map((one) => ({ key: `${key}.${one.key}`, what: `${what}, ${one.what}` }));
    }).flat();
  };
  const known = combine(crossed).map(({ key, what }) => ({ key, name: what, what }));
  return [...known, { key: UNKNOWN_KEY, name: UNKNOWN_NAME, what: UNKNOWN_NAME }];
}
