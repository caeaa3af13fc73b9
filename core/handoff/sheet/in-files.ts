import { bounds } from '../../geo/bounds.ts';
import { contains } from '../../geo/contains.ts';
import type { LngLat, MultiPolygon } from '../../geo/types.ts';
import type { Zone } from '../../zones/types.ts';
import type { Piece, Prescription } from '../types.ts';
import { totalRate } from './classes.ts';
import type { Measures } from './measures.ts';

/** What the records on a zone's ground hold, all products together. */
export interface InFiles {
  readonly least_lbPerAc: number;
  readonly most_lbPerAc: number;
}

/** Rates of the records that name a zone, and of those under its spots: cells of one rate may be melted into a record of another zone. Null where there is none. */
export function inFilesOf({ pieces }: Prescription, zone: Zone): InFiles | null {
  const spots = [zone.spot, ...zone.otherSpots];
  const rates = pieces.filter((piece) => piece.zoneKey === zone.key || lies(piece, spots)).map(totalRate);
  if (rates.length === 0) return null;
  return {
    least_lbPerAc: rates.reduce((a, b) => Math.min(a, b), Infinity),
    most_lbPerAc: rates.reduce((a, b) => Math.max(a, b), 0),
  };
}

/** `65 to 120 lb/ac`. */
export const inFilesWords = ({ least_lbPerAc, most_lbPerAc }: InFiles, say: Measures): string =>
  least_lbPerAc === most_lbPerAc
    ? `${say.rate(most_lbPerAc)} ${say.rateUnit}`
    : `${say.rate(least_lbPerAc)} to ${say.rate(most_lbPerAc)} ${say.rateUnit}`;

const lies = ({ polygons }: Piece, spots: readonly LngLat[]): boolean =>
  spots.some((spot) => isNear(polygons, spot) && contains(polygons, spot));

/** Cells are many: their boxes are asked first. */
function isNear(polygons: MultiPolygon, [lng, lat]: LngLat): boolean {
  const { west, south, east, north } = bounds(polygons);
  return lng >= west && lng <= east && lat >= south && lat <= north;
}
