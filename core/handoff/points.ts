import type { Bounds } from '../geo/bounds.ts';
import { bounds } from '../geo/bounds.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { rateFactor, roundTo } from './figures.ts';
import { farFromBorders, NOWHERE, type Places, placesOf, recordsAt, SEVERAL, uniform } from './points.kernel.ts';
import { type FileSet, rateOf } from './sets.ts';
import type { HandoffSettings } from './settings.ts';
import type { ManifestPoints, Piece, Prescription } from './types.ts';

/** Points that shall lie on ground, and most that are drawn for them. */
const WANTED = 1000;
const MOST_DRAWN = 20_000;
/** A border nearer than this is too near to tell, degrees: some 3 mm, since coordinates are written with nine decimals. */
const HAIR_DEG = 3e-8;

/** No file has ground there; a border is too near. */
export const OUTSIDE = '-';
export const NEAR = '~';

/** The seed of a plan: the first 32 bits of its SHA-256. */
export const seedOf = (planSha256: string): number => Number.parseInt(planSha256.slice(0, 8), 16) >>> 0;

/** The points of a manifest, always the same ones. */
export function drawPlaces({ seed, drawn, ...box }: Omit<ManifestPoints, 'inside' | 'inner'>): Places {
  const next = uniform(seed);
  const lng = new Float64Array(drawn);
  const lat = new Float64Array(drawn);
  for (let i = 0; i < drawn; i++) {
    lng[i] = box.west_deg + next() * (box.east_deg - box.west_deg);
    lat[i] = box.south_deg + next() * (box.north_deg - box.south_deg);
  }
  return placesOf(lng, lat);
}

interface CellSize {
  readonly lng_deg: number;
  readonly lat_deg: number;
}

/** What the plan itself says at the points, for the manifest. */
export interface PlannedPoints {
  readonly points: ManifestPoints;
  /** Text of one channel of a set. */
  readonly textOf: (set: FileSet, channel: number) => string;
}

/**
 * Draws points over the ground until 1,000 lie in a record of the first pass, at most 20,000, and looks up each pass's rates there. `cell` is that of
 * the task data's grid: which points are farther than a cell from any border to another rate, `borders` of the ground among them, is then told.
 */
export function plannedPoints(
  planSha256: string,
  prescriptions: readonly Prescription[],
  rateUnit: HandoffSettings['rateUnit'],
  cell: CellSize | null,
  borders: MultiPolygon,
): PlannedPoints {
  const records = prescriptions.map(({ pieces }) => pieces.map(({ polygons }) => polygons));
  const first = records[0] ?? [];
  const box = rounded(bounds(first.flat()));
  const seed = seedOf(planSha256);
  const { drawn, inside } = drawnFor(first, (most) => drawPlaces({ seed, ...box, drawn: most }));
  const places = drawPlaces({ seed, ...box, drawn });
  const at = records.map((one) => sureRecords(places, one));
  return {
    points: { seed, ...box, drawn, inside, inner: cell && innerOf(places, at, prescriptions, cell, borders) },
    textOf: (set, channel) => {
      const { pass = 0, product = 0, decimals = 2 } = set.channels[channel] ?? {};
      const { pieces } = set.passes[pass] ?? { pieces: [] };
      const of = at[set.numbers[pass] ?? 0] ?? new Int32Array(0);
      const texts = pieces.map((piece) => String(roundTo(rateOf(piece, product) * rateFactor(rateUnit), decimals)));
      return Array.from(of, (record) =>
        record === NOWHERE ? OUTSIDE : record === SEVERAL ? NEAR : (texts[record] ?? ''),
      ).join(' ');
    },
  };
}

/** How many are drawn until enough lie on ground; a longer drawing begins with the shorter one. */
function drawnFor(
  records: readonly MultiPolygon[],
  draw: (most: number) => Places,
): { readonly drawn: number; readonly inside: number } {
  for (let most = 2 * WANTED; ; most = Math.min(2 * most, MOST_DRAWN)) {
    const found = recordsAt(draw(most), records);
    let [drawn, inside] = [0, 0];
    for (; drawn < most && inside < WANTED; drawn++) if (found[drawn] !== NOWHERE) inside++;
    if (inside === WANTED || most === MOST_DRAWN) return { drawn, inside };
  }
}

/** Records at places; SEVERAL where a border is too near to tell. */
function sureRecords(places: Places, records: readonly MultiPolygon[]): Int32Array {
  const at = recordsAt(places, records);
  for (const [x, y] of [
    [1, 1],
    [1, -1],
    [-1, 1],
    [-1, -1],
  ] as const) {
    const beside = placesOf(
      places.lng.map((lng) => lng + x * HAIR_DEG),
      places.lat.map((lat) => lat + y * HAIR_DEG),
    );
    const other = recordsAt(beside, records);
    for (let i = 0; i < at.length; i++) if (other[i] !== at[i]) at[i] = SEVERAL;
  }
  return at;
}

function innerOf(
  places: Places,
  at: readonly Int32Array[],
  prescriptions: readonly Prescription[],
  cell: CellSize,
  borders: MultiPolygon,
): string {
  const marks = prescriptions.map(({ pieces }, pass) => {
    const of = at[pass] ?? new Int32Array(0);
    const records = pieces.map(({ polygons }) => polygons);
    return farFromBorders(places, of, records, borders, cell, (place, record) =>
      differ(pieces[of[place] ?? -1], pieces[record]),
    );
  });
  return Array.from(places.lng, (_, i) => (marks.every((far) => far[i] === 1) ? '1' : '0')).join('');
}

const differ = (a: Piece | undefined, b: Piece | undefined): boolean =>
  a?.rate_lbPerAc !== b?.rate_lbPerAc || a?.second_lbPerAc !== b?.second_lbPerAc;

const rounded = ({ west, south, east, north }: Bounds) => ({
  west_deg: roundTo(west, 7),
  south_deg: roundTo(south, 7),
  east_deg: roundTo(east, 7),
  north_deg: roundTo(north, 7),
});
