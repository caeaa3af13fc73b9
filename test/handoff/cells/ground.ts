import { toAcres } from '../../../core/base/units.ts';
import { area_m2 } from '../../../core/geo/area.ts';
import { localFrame, toLngLat } from '../../../core/geo/frame.ts';
import { toDegrees, toUnits } from '../../../core/geo/ring.ts';
import type { LngLat, LocalXY, MultiPolygon, Ring } from '../../../core/geo/types.ts';
import type { Loads } from '../../../core/handoff/pieces.ts';
import { totalsOf } from '../../../core/handoff/pieces.ts';
import { type CellSettings, cellSettingsSchema } from '../../../core/handoff/settings.ts';
import type { Piece, Prescription } from '../../../core/handoff/types.ts';
import type { Machine } from '../../../core/rates/machine.ts';

export const MACHINE: Machine = { least_lbPerAc: 50, most_lbPerAc: 800, step_lbPerAc: 5, distinctRates: null };
export const LOADS: Loads = {
  products: [{ name: '0-0-60', price_perTon: 400, density_lbPerFt3: null }],
  charge_perAc: 9,
};

export const cells = (some: Partial<CellSettings>): CellSettings => cellSettingsSchema.parse(some);

/** A place some metres east and north of a middle, on 9 decimals, turned clockwise about it. */
export function place(at: LngLat, [x, y]: LocalXY, turn_deg = 0): LngLat {
  const [sin, cos] = [Math.sin((turn_deg * Math.PI) / 180), Math.cos((turn_deg * Math.PI) / 180)];
  const [lng, lat] = toLngLat(localFrame(at), [x * cos + y * sin, y * cos - x * sin]);
  return [toDegrees(toUnits(lng)), toDegrees(toUnits(lat))];
}

export const ringOf = (at: LngLat, corners: readonly LocalXY[], turn_deg = 0): Ring => {
  const ring = corners.map((corner) => place(at, corner, turn_deg));
  return ring[0] ? [...ring, ring[0]] : [];
};

/** A rectangle in metres about a middle, counter-clockwise. */
export const rectangle = (
  at: LngLat,
  [west, south, east, north]: readonly [number, number, number, number],
  turn_deg = 0,
): Ring =>
  ringOf(
    at,
    [
      [west, south],
      [east, south],
      [east, north],
      [west, north],
    ],
    turn_deg,
  );

export function piece(letter: string, polygons: MultiPolygon, rate_lbPerAc: number, more: Partial<Piece> = {}): Piece {
  return {
    zoneKey: letter.toLowerCase(),
    letter,
    polygons,
    acres: toAcres(area_m2(polygons)),
    rate_lbPerAc,
    second_lbPerAc: 0,
    k2o_lbPerAc: rate_lbPerAc * 0.6,
    k_ppm: 100,
    kSat_pct: 2,
    cec_meq: 15,
    note: '',
    ...more,
  };
}

export const pass = (name: string, pieces: readonly Piece[]): Prescription => ({
  pass: name,
  pieces,
  totals: totalsOf(pieces, LOADS),
});
