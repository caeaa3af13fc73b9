import type { LngLat } from '../../core/geo/types.ts';
import { type Camera, lngPerPx, type Point, project, unproject } from './camera.ts';

/** Crosses on whole seconds of arc, and the latitudes named at the left edge. */
export interface Graticule {
  readonly crosses: readonly Point[];
  readonly latitudes: readonly { readonly y: number; readonly name: string }[];
}

/** Seconds of arc between crosses: the least of these that leaves them room. */
const STEPS_SEC = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800, 3600, 7200, 18000, 36000] as const;
const ROOM_PX = 130;
const SEC_PER_DEG = 3600;

/** `42°42′30″`, with S below the equator. */
export function degreeText(seconds: number): string {
  const whole = Math.abs(Math.round(seconds));
  const two = (n: number): string => String(n).padStart(2, '0');
  const text = `${Math.floor(whole / 3600)}°${two(Math.floor(whole / 60) % 60)}′${two(whole % 60)}″`;
  return seconds < 0 ? `${text} S` : text;
}

/**
 * The crosses in view, without those that `covered` says lie on the field's ground.
 * @param named where the latitudes may stand, in pixels from the top: between captions and legend.
 */
export function graticule(
  camera: Camera,
  covered: (p: LngLat) => boolean,
  named: { readonly from: number; readonly to: number },
): Graticule {
  const [west, north] = unproject(camera, [0, 0]);
  const [east, south] = unproject(camera, [camera.width, camera.height]);
  // Mercator stretches north and south alike, by 1 / cos(lat) against degrees of longitude.
  const pxPerSec = 1 / (lngPerPx(camera) * Math.cos((camera.centre[1] * Math.PI) / 180)) / SEC_PER_DEG;
  const step = STEPS_SEC.find((sec) => sec * pxPerSec >= ROOM_PX) ?? STEPS_SEC[STEPS_SEC.length - 1] ?? 36000;
  const every = (from_deg: number, to_deg: number): number[] => {
    const seconds: number[] = [];
    for (let s = Math.ceil((from_deg * SEC_PER_DEG) / step) * step; s <= to_deg * SEC_PER_DEG; s += step)
      seconds.push(s);
    return seconds;
  };
  const lngs = every(west, east);
  const crosses: Point[] = [];
  const latitudes: { y: number; name: string }[] = [];
  for (const lat of every(south, north)) {
    const y = project(camera, [camera.centre[0], lat / SEC_PER_DEG])[1];
    if (y > named.from && y < named.to) latitudes.push({ y, name: degreeText(lat) });
    for (const lng of lngs) {
      const at: LngLat = [lng / SEC_PER_DEG, lat / SEC_PER_DEG];
      if (!covered(at)) crosses.push(project(camera, at));
    }
  }
  return { crosses, latitudes };
}

export interface ScaleBar {
  readonly length_px: number;
  /** Length in the unit shown. */
  readonly length: number;
  readonly unit: 'ft' | 'mi' | 'm' | 'km';
}

const M_PER = { ft: 0.3048, mi: 1609.344, m: 1, km: 1000 } as const;
type Length = Omit<ScaleBar, 'length_px'>;
const lengths = (unit: Length['unit'], ...all: number[]): Length[] => all.map((length) => ({ length, unit }));
const BARS: Record<'US' | 'metric', readonly Length[]> = {
  US: [
    ...lengths('ft', 10, 20, 50, 100, 250, 500, 1000, 2000),
    ...lengths('mi', 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500),
  ],
  metric: [...lengths('m', 5, 10, 25, 50, 100, 200, 500), ...lengths('km', 1, 2, 5, 10, 20, 50, 100, 200, 500)],
};

/** The longest round length that fits; the shortest where none does. */
export function scaleBar(m_per_px: number, units: 'US' | 'metric', most_px: number): ScaleBar {
  const px = (bar: Length): number => (bar.length * M_PER[bar.unit]) / m_per_px;
  const best = BARS[units].findLast((bar) => px(bar) <= most_px) ?? BARS[units][0];
  if (!best) throw new Error('the list of bars is empty');
  return { ...best, length_px: px(best) };
}
