import { MEASURED_IDS, type MeasuredId, type SurfacesSettings } from '../../core/surfaces/settings.ts';
import { LAYER_NAMES, type SurfacesOut } from '../../core/surfaces/types.ts';
import { type Way, wayOf } from '../../core/surfaces/ways.ts';

export const hasOwnWay = (settings: SurfacesSettings, id: MeasuredId): boolean => settings.ways[id] !== undefined;

/** What a change of a quantity's way changes in the settings: its own way where it has one, else that of all the others too. */
export function patchWay(settings: SurfacesSettings, id: MeasuredId, patch: Partial<Way>): Partial<SurfacesSettings> {
  const own = settings.ways[id];
  return own === undefined ? patch : { ways: { ...settings.ways, [id]: { ...own, ...patch } } };
}

/** The quantity takes a copy of the common settings as its own, or goes with the others again. */
export function setOwnWay(settings: SurfacesSettings, id: MeasuredId, own: boolean): Partial<SurfacesSettings> {
  const { [id]: _, ...others } = settings.ways;
  return { ways: own ? { ...others, [id]: wayOf(settings, id) } : others };
}

/** Quantities that were interpolated, in their order. */
export const measuredIn = (surfaces: SurfacesOut | null): readonly MeasuredId[] =>
  MEASURED_IDS.filter((id) => surfaces?.scans[id] !== undefined);

export const isMeasured = (layer: string): layer is MeasuredId => MEASURED_IDS.some((id) => id === layer);

/** `K`: the short name that a label or an undo step has room for. */
export const SHORT_NAMES = {
  k_ppm: 'K',
  cec_meq: 'CEC',
  ca_ppm: 'Ca',
  mg_ppm: 'Mg',
  na_ppm: 'Na',
  ph: 'pH',
  kSat_pct: 'K saturation',
} as const satisfies Record<MeasuredId, string>;

/** `K, ppm`. */
export const shortWithUnit = (id: MeasuredId): string =>
  LAYER_NAMES[id].unit !== '' ? `${SHORT_NAMES[id]}, ${LAYER_NAMES[id].unit}` : SHORT_NAMES[id];
