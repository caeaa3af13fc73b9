import type { PlanOut } from '../../core/pipeline/types.ts';
import { LAYER_NAMES } from '../../core/surfaces/types.ts';
import { figure, number, quantity, unitOf } from '../ui/format.ts';
import type { FieldMapProps, MapLayer } from './props.ts';

type Units = FieldMapProps['units'];

/** What the map says of itself: title, unit and the line under it. */
export function layerTitle(layer: MapLayer, out: PlanOut, productName: string, units: Units): string {
  if (layer === 'rate') return `Rate, ${unitOf('rate', units)} of ${productName}`;
  if (layer === 'samples') return out.soil ? 'Samples' : 'Boundary';
  if (layer === 'k2oNeed_lbPerAc') return `${LAYER_NAMES[layer].name}, ${unitOf('rate', units)}`;
  const { name, unit } = LAYER_NAMES[layer];
  return unit === '' ? name : `${name}, ${unit}`;
}

/** The unit under a legend. */
export function legendUnit(layer: MapLayer, productName: string, units: Units): string {
  if (layer === 'samples') return '';
  if (layer === 'rate') return `${unitOf('rate', units)} of ${productName}`;
  if (layer === 'k2oNeed_lbPerAc') return `${unitOf('rate', units)} of K₂O`;
  const { unit } = LAYER_NAMES[layer];
  return unit === '%' ? '% of CEC' : unit === '' ? 'pH' : unit;
}

const DERIVED = ['kSat_pct', 'caSat_pct', 'mgSat_pct', 'k2oNeed_lbPerAc'] as const satisfies readonly MapLayer[];

export function layerMethod(layer: MapLayer, out: PlanOut, units: Units): string {
  if (layer === 'rate') return passesText(out);
  if (layer === 'samples') {
    const { soil, field } = out;
    if (soil) return `${number(soil.kept)} kept, ${number(soil.setAside)} set aside${soil.setAside > 0 ? ' (×)' : ''}`;
    return field ? `${quantity(field.spreadable_ac, 'area', units)} to be spread` : '';
  }
  if (out.soil?.kind === 'composites') return 'As the zone composites have it';
  if (DERIVED.some((id) => id === layer)) return 'Derived from the surfaces, cell by cell';
  return capital(out.surfaces?.method ?? '');
}

function passesText(out: PlanOut): string {
  const names = out.rates?.totals.byPass.map((pass) => pass.name) ?? [];
  return names.length === 0 ? '' : `${capital(names.join(' and '))}${names.length > 1 ? ' together' : ''}`;
}

/** `zones A–E outlined`. */
export function zonesText(letters: readonly string[]): string {
  const first = letters[0];
  const last = letters[letters.length - 1];
  if (first === undefined || last === undefined) return '';
  return letters.length === 1 ? `zone ${first} outlined` : `zones ${first}–${last} outlined`;
}

export const STALE_TEXT = 'Stale: being made again';
export const farText = (far_m: number, units: Units): string =>
  `Hatched: over ${quantity(far_m, 'distance', units)} from any sample`;
export const WITHHELD_TEXT = 'Cross-hatched: rate withheld';

/** `bars: acres, most 44 ac`. */
export function barsText(most_ac: number, units: Units): string {
  return `bars: ${units === 'US' ? 'acres' : 'hectares'}, most ${figure(most_ac, 'area', units, most_ac < 10 ? 1 : 0)} ${unitOf('area', units)}`;
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
