import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { LAYER_NAMES, type LayerId, type SurfacesOut } from '../surfaces/types.ts';
import type { ZonesSettings } from './settings.ts';
import { classWords } from './words.ts';

/** Key of the ground that has no reading: it gets no class, and no rate. */
export const UNKNOWN_KEY = 'unknown';
export const UNKNOWN_NAME = 'no reading';

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
}

/**
 * Cells by the classes of one layer, crossed with those of a second where the settings keep ground apart.
 *
 * A value on a limit belongs to the class above it. Keys are `i`, or `i.j` with a second layer, counted from 1. A cell
 * without a value in either layer is `unknown`, never its neighbour's class. Stops: `zones-no-layer`,
 * `zones-limits-order`, `zones-nothing-known`. Caution: `zones-no-second-layer`, and the second layer is then left out.
 */
export function classifyCells(surfaces: SurfacesOut, settings: ZonesSettings): Result<Classified> {
  const { by } = settings;
  const problems: Problem[] = [];
  const values = surfaces.layers[by.layer];
  const orders = [disorder(by, 'zones.by.breaks'), settings.apart && disorder(settings.apart, 'zones.apart.breaks')];
  const wrong = orders.filter((problem) => problem !== null);
  if (wrong.length > 0) return fail(...wrong);
  const { cover_m2 } = surfaces.grid;
  const isKnown = (layer: Float64Array): boolean =>
    layer.some((value, cell) => isGround(cover_m2, cell) && !Number.isNaN(value));
  if (!values) {
    const message = `There is no surface of ${LAYER_NAMES[by.layer].name} to make zones by.`;
    const remedy = 'Choose a layer that was measured, or map its column.';
    return fail(stop('zones-no-layer', message, remedy, { setting: 'zones.by.layer' }));
  }
  if (!isKnown(values)) {
    const message = `${LAYER_NAMES[by.layer].name} is not known anywhere on the field.`;
    const remedy =
      by.layer === 'k2oNeed_lbPerAc'
        ? 'It needs K, and CEC where saturation plays a part: see the soil stage, or choose another layer.'
        : 'Choose a layer that was measured, or map its column.';
    return fail(stop('zones-nothing-known', message, remedy, { setting: 'zones.by.layer' }));
  }
  let apart = settings.apart;
  let apartValues = apart && surfaces.layers[apart.layer];
  if (apart && !(apartValues && isKnown(apartValues))) {
    const message = `${LAYER_NAMES[apart.layer].name} is not known anywhere, so no ground was kept apart by it.`;
    const remedy = 'Map its column, or choose no second layer.';
    problems.push(caution('zones-no-second-layer', message, remedy, { setting: 'zones.apart' }));
    apart = null;
    apartValues = null;
  }

  const across = apart ? apart.breaks.length + 1 : 1;
  const classes = classList(by, apart);
  const labels = new Int16Array(values.length);
  for (let cell = 0; cell < labels.length; cell++) {
    if (!isGround(cover_m2, cell)) continue;
    const first = classOf(values[cell] ?? Number.NaN, by.breaks);
    const second = apart && apartValues ? classOf(apartValues[cell] ?? Number.NaN, apart.breaks) : 0;
    labels[cell] = first < 0 || second < 0 ? classes.length : first * across + second + 1;
  }
  return ok({ labels, classes }, problems);
}

const isGround = (cover_m2: Float64Array, cell: number): boolean => (cover_m2[cell] ?? 0) > 0;

function disorder(
  limits: { readonly layer: LayerId; readonly breaks: readonly number[] },
  setting: string,
): Problem | null {
  const rising = limits.breaks.every((value, i) => i === 0 || value > (limits.breaks[i - 1] ?? 0));
  if (rising && limits.breaks.every(Number.isFinite)) return null;
  const message = `The class limits of ${LAYER_NAMES[limits.layer].name} do not rise: ${limits.breaks.join(', ')}.`;
  return stop('zones-limits-order', message, 'Write them from low to high, each once.', { setting });
}

/** Class of a value, from 0; -1 for NaN. */
function classOf(value: number, breaks: readonly number[]): number {
  if (Number.isNaN(value)) return -1;
  let at = 0;
  while (at < breaks.length && value >= (breaks[at] ?? Infinity)) at++;
  return at;
}

function classList(by: ZonesSettings['by'], apart: ZonesSettings['apart']): readonly ZoneClass[] {
  const classes: ZoneClass[] = [];
  for (let i = 0; i <= by.breaks.length; i++) {
    const words = classWords(by.layer, by.breaks, i);
    if (!apart) classes.push({ key: `${i + 1}`, name: words, what: words });
    for (let j = 0; apart && j <= apart.breaks.length; j++) {
      const what = `${words}, ${classWords(apart.layer, apart.breaks, j)}`;
      classes.push({ key: `${i + 1}.${j + 1}`, name: what, what });
    }
  }
  return [...classes, { key: UNKNOWN_KEY, name: UNKNOWN_NAME, what: UNKNOWN_NAME }];
}
