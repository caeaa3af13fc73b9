import type { LngLat, LocalFrame, LocalXY } from './types.ts';
import { metresPerDegree } from './wgs84.ts';

/**
 * Flat frame about `at`, with the WGS84 radii there: x = (lng - lng0) N cos(lat0), y = (lat - lat0) M, in metres.
 * Across a field of 5,000 acres distances are true to about 1 part in 2,000 north to south of `at`. Ours.
 */
export function localFrame(at: LngLat): LocalFrame {
  const metres = metresPerDegree(at[1]);
  return { lng0_deg: at[0], lat0_deg: at[1], mPerDegLng: metres.lng, mPerDegLat: metres.lat };
}

/** Metres east and north of the frame's place. */
export const toLocal = (frame: LocalFrame, p: LngLat): LocalXY => [
  (p[0] - frame.lng0_deg) * frame.mPerDegLng,
  (p[1] - frame.lat0_deg) * frame.mPerDegLat,
];

/** The place in degrees: the inverse of `toLocal`. */
export const toLngLat = (frame: LocalFrame, p: LocalXY): LngLat => [
  frame.lng0_deg + p[0] / frame.mPerDegLng,
  frame.lat0_deg + p[1] / frame.mPerDegLat,
];
