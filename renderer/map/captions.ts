import { isMade, layerName } from '../../core/layers/layer.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { MEASURED_IDS } from '../../core/surfaces/settings.ts';
import { type AnyLayerId, LAYER_NAMES, type LayerId, type SurfacesOut } from '../../core/surfaces/types.ts';
import { figure, number, quantity, unitOf } from '../ui/format.ts';
import { nameWithUnit } from './layer-of.ts';
import { type FieldMapProps, isOpened, isRate, type MapLayer } from './props.ts';
import { writtenPasses } from './written.ts';

type Units = FieldMapProps['units'];

/** What the map says of itself: title, unit and the line under it. */
export function layerTitle(layer: MapLayer, out: PlanOut, productName: string, units: Units): string {
  if (layer === 'written') return `As written to the files, ${unitOf('rate', units)} of ${productName}`;
  if (layer === 'rate') return `Rate, ${unitOf('rate', units)} of ${productName}`;
  if (layer === 'opened') return `Rate as opened, ${unitOf('rate', units)}`;
  if (layer === 'openedLess') return `Opened less planned, ${unitOf('rate', units)}`;
  if (layer === 'samples') return out.soil ? 'Samples' : 'Boundary';
  if (layer === 'balance') return 'Balance, ppm and share together';
  if (layer === 'k2oNeed_lbPerAc') return `${LAYER_NAMES[layer].name}, ${unitOf('rate', units)}`;
  return nameWithUnit(nameOf(layer, out.surfaces));
}

const nameOf = (layer: AnyLayerId, surfaces: SurfacesOut | null): { readonly name: string; readonly unit: string } =>
  layerName(surfaces ?? { own: [] }, layer);

/** Words for the legends of what has no unit, and of shares of CEC. */
const LEGEND_WORDS: Partial<Record<LayerId, string>> = {
  ph: 'pH',
  kMg_ratio: 'meq of K for one of Mg',
  kSat_pct: '% of CEC',
  caSat_pct: '% of CEC',
  mgSat_pct: '% of CEC',
  caMgShare_pct: '% of CEC',
};

/** The unit under a legend. */
export function legendUnit(layer: MapLayer, out: PlanOut, productName: string, units: Units): string {
  if (layer === 'samples' || layer === 'balance') return '';
  if (isRate(layer)) return `${unitOf('rate', units)} of ${productName}`;
  if (isOpened(layer)) return unitOf('rate', units);
  if (layer === 'k2oNeed_lbPerAc') return `${unitOf('rate', units)} of K₂O`;
  const { name, unit } = nameOf(layer, out.surfaces);
  return (isMade(layer) ? LEGEND_WORDS[layer] : undefined) ?? (unit === '' ? name : unit);
}

export function layerMethod(layer: MapLayer, out: PlanOut, units: Units): string {
  if (layer === 'rate') return passesText(out);
  if (layer === 'written') return writtenText(out, units);
  if (layer === 'samples') {
    const { soil, field } = out;
    if (soil) return `${number(soil.kept)} kept, ${number(soil.setAside)} set aside${soil.setAside > 0 ? ' (×)' : ''}`;
    return field ? `${quantity(field.spreadable_ac, 'area', units)} to be spread` : '';
  }
  if (layer === 'balance') return 'By the plan’s floors and range';
  if (layer === 'opened') return 'As the file has it';
  if (layer === 'openedLess') return 'Where both have a rate';
  const { surfaces } = out;
  if (!isMade(layer)) return 'Brought in by you; each colour covers about a seventh of its ground';
  if (out.soil?.kind === 'composites') return 'As the zone composites have it';
  const measured = MEASURED_IDS.find((id) => id === layer);
  // Saturation stands among the measured only where it was interpolated itself.
  if (measured === undefined || surfaces?.errors[measured] === undefined)
    return 'Derived from the surfaces, cell by cell';
  return capital(surfaces.methods[measured] ?? surfaces.method);
}

/** What a record of the files is: `Zones`, or the size and way of the cells. */
function writtenText(out: PlanOut, units: Units): string {
  const cells = out.handoff?.cells;
  const shape = cells
    ? `Cells of ${quantity(cells.swath_m, 'distance', units)} × ${quantity(cells.length_m, 'distance', units)} at ${number(cells.heading_deg, 1)}°`
    : 'Zones';
  const passes = writtenPasses(out);
  return `${shape}${passes.length > 1 ? `, ${passes.join(' and ')} together` : ''}`;
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
export const farText = (far_m: number, far_ac: number, units: Units): string =>
  `over ${quantity(far_m, 'distance', units)} from any sample: ${quantity(far_ac, 'area', units)}`;
export const outsideText = (outside_ac: number, units: Units): string =>
  `outside the samples’ hull: ${quantity(outside_ac, 'area', units)}`;
export const WITHHELD_TEXT = 'rate withheld';
export const UNRATED_TEXT = 'no rate in the file';

export const farthestText = (distance_m: number, units: Units): string =>
  `farthest, ${quantity(distance_m, 'distance', units)}`;

/** `bars: acres, most 44 ac`. */
export function barsText(most_ac: number, units: Units): string {
  return `bars: ${units === 'US' ? 'acres' : 'hectares'}, most ${figure(most_ac, 'area', units, most_ac < 10 ? 1 : 0)} ${unitOf('area', units)}`;
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
