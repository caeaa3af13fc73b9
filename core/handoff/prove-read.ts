import { fail, ok, type Result, stop } from '../base/problem.ts';
import { decodeText } from '../base/text.ts';
import { toAcres } from '../base/units.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset, NamedBytes } from '../formats/types.ts';
import { unzipFiles } from '../formats/zip.ts';
import { area_m2 } from '../geo/area.ts';
import { signedArea_deg2 } from '../geo/ring.ts';
import type { LngLat, MultiPolygon } from '../geo/types.ts';
import { shpTrouble } from './prove-shp.ts';
import type { ManifestSet } from './types.ts';

/** What a file holds, as it was read back: one entry a record throughout. */
export interface Found {
  readonly polygons: readonly MultiPolygon[];
  /** From the geometry. */
  readonly acres: Float64Array;
  /** As the table says; NaN where it says nothing. */
  readonly toldAcres: Float64Array;
  /** One array a channel, in the unit of the file; NaN where there is none. */
  readonly rates: readonly Float64Array[];
  /** One array a figure of the set; NaN where a record has none. */
  readonly figures: readonly Float64Array[];
  /** Different texts of the unit, and of each channel's product and pass. */
  readonly units: readonly string[];
  readonly products: readonly (readonly string[])[];
  readonly passes: readonly (readonly string[])[];
  /** What a reader had to say; empty for a sound file. */
  readonly troubles: readonly string[];
}

/** Value of a column in a record. */
type CellOf = (record: number, column: string) => unknown;

/**
 * A shapefile by this program's own reader (geometry by shpjs, the table by itself), and its bytes walked once more without it. Cautions of the reader count as troubles: what was written has none.
 * Problems: those of the reader; `proof-differs` where no polygons with the rate columns are in it.
 */
export function readBackShapefile(label: string, files: readonly NamedBytes[], set: ManifestSet): Result<Found> {
  const read = readFiles(files);
  if (!read.ok) return read;
  const dataset = read.value.find((one) => one.geometry === 'polygon');
  if (!dataset) return fail(noPolygons(label));
  const at = new Map(dataset.columns.map((name, i) => [name, i]));
  if (set.channels.some(({ column }) => !at.has(column))) return fail(noPolygons(label));
  const polygons = dataset.records.map((record) => polygonsOf(record));
  const cell: CellOf = (record, column) => dataset.records[record]?.cells[at.get(column) ?? -1];
  const part = (ending: string): Uint8Array =>
    files.find(({ name }) => name.endsWith(ending))?.bytes ?? new Uint8Array();
  const raw = shpTrouble(part('.shp'), part('.shx'), polygons);
  const troubles = [
    ...read.problems.filter(({ severity }) => severity !== 'note').map(({ message }) => message),
    ...(raw === null ? [] : [raw]),
  ];
  const suffix = (channel: ManifestSet['channels'][number]): string => channel.column.slice('RATE'.length);
  return ok(gather(polygons, set, cell, troubles, (of) => of.column, suffix, ['ACRES', 'UNIT', 'PRODUCT', 'PASS']));
}

/** The text beside the shapes, as the writer names it. */
const COLUMNS_NAME = 'columns.txt';

/** A zipped shapefile: its parts alone, since the text beside them is no table. Problems: those of `unzipFiles` and `readBackShapefile`. */
export function readBackZip(label: string, bytes: Uint8Array, set: ManifestSet): Result<Found> {
  const parts = unzipFiles(bytes, label);
  if (!parts.ok) return parts;
  if (!parts.value.some(({ name }) => name === `${set.base}.shp`)) return fail(otherShapes(label, set, parts.value));
  const found = readBackShapefile(
    label,
    parts.value.filter(({ name }) => name.startsWith(`${set.base}.`)),
    set,
  );
  const more = parts.value.filter(({ name }) => !name.startsWith(`${set.base}.`) && name !== COLUMNS_NAME);
  const troubles = [
    ...parts.problems.map(({ message }) => message),
    ...more.map(({ name }) => `the zip holds ${name} too, which the plan did not write`),
  ];
  return found.ok ? ok({ ...found.value, troubles: [...troubles, ...found.value.troubles] }) : found;
}

function otherShapes(file: string, { base }: ManifestSet, parts: readonly NamedBytes[]) {
  const shapes = parts.filter(({ name }) => name.endsWith('.shp'));
  const names = (shapes.length > 0 ? shapes : parts).map(({ name }) => name).slice(0, 5);
  return stop(
    'proof-differs',
    `${file} does not hold ${base}.shp: it holds ${names.length > 0 ? names.join(', ') : 'nothing'}.`,
    'Do not use the file. Write the files again from the plan.',
    { file },
  );
}

const polygonsOf = ({ geometry }: Dataset['records'][number]): MultiPolygon =>
  geometry?.type === 'MultiPolygon' ? geometry.polygons : [];

/**
 * A GeoJSON by nothing but JSON.parse: each feature's rings as they stand, which must be closed, hold ground and be wound as RFC 7946 says (3.1.6).
 * A `crs` member is a trouble. Problem: `proof-differs` where it is no feature collection with the rate properties.
 */
export function readBackGeoJson(label: string, bytes: Uint8Array, set: ManifestSet): Result<Found> {
  let document: unknown;
  try {
    document = JSON.parse(decodeText(bytes));
  } catch {
    return fail(noPolygons(label));
  }
  const features = member(document, 'features');
  if (member(document, 'type') !== 'FeatureCollection' || !Array.isArray(features)) return fail(noPolygons(label));
  const [first] = features;
  const properties = member(first, 'properties');
  if (set.channels.some(({ property }) => member(properties, property) === undefined)) return fail(noPolygons(label));
  const troubles = new Set<string>();
  // RFC 7946 has no such member: a reader that minds it would lay the polygons elsewhere.
  if (
    [document, ...features, ...features.map((one) => member(one, 'geometry'))].some(
      (of) => member(of, 'crs') !== undefined,
    )
  )
    troubles.add('it names a coordinate system of its own, where the plan writes WGS84 and names none');
  const polygons = features.map((feature) => shapeOf(member(feature, 'geometry'), troubles));
  const cell: CellOf = (record, property) => member(member(features[record], 'properties'), property);
  const suffix = (channel: ManifestSet['channels'][number]): string => channel.property.slice('rate'.length);
  const told = member(member(document, 'prescription'), 'rateUnit');
  const found = gather(polygons, set, cell, [...troubles], (of) => of.property, suffix, [
    'acres',
    'unit',
    'product',
    'pass',
  ]);
  return ok({ ...found, units: [...new Set([...found.units, String(told)])] });
}

const member = (of: unknown, name: string): unknown =>
  typeof of === 'object' && of !== null && Object.hasOwn(of, name) ? Reflect.get(of, name) : undefined;

function shapeOf(geometry: unknown, troubles: Set<string>): MultiPolygon {
  const coordinates = member(geometry, 'coordinates');
  const type = member(geometry, 'type');
  const parts: unknown = type === 'Polygon' ? [coordinates] : type === 'MultiPolygon' ? coordinates : null;
  if (!Array.isArray(parts)) {
    troubles.add('a feature is no polygon');
    return [];
  }
  return parts.map((rings: unknown) =>
    (Array.isArray(rings) ? rings : []).map((ring: unknown, place) => {
      const places = (Array.isArray(ring) ? ring : []).map((at: unknown): LngLat => {
        const [lng, lat]: readonly unknown[] = Array.isArray(at) ? at : [];
        return [typeof lng === 'number' ? lng : Number.NaN, typeof lat === 'number' ? lat : Number.NaN];
      });
      const [one, last] = [places[0], places.at(-1)];
      if (places.length < 4 || !one || !last || one[0] !== last[0] || one[1] !== last[1])
        troubles.add('a ring is not closed');
      else if (signedArea_deg2(places) > 0 !== (place === 0)) troubles.add('a ring is wound the wrong way');
      return places;
    }),
  );
}

function gather(
  polygons: readonly MultiPolygon[],
  set: ManifestSet,
  cell: CellOf,
  troubles: readonly string[],
  columnOf: (of: { readonly column: string; readonly property: string }) => string,
  suffixOf: (channel: ManifestSet['channels'][number]) => string,
  [acres, unit, product, pass]: readonly [string, string, string, string],
): Found {
  const numbers = polygons.map((_, i) => i);
  const number = (record: number, column: string): number => {
    const value = cell(record, column);
    return typeof value === 'number' ? value : Number.NaN;
  };
  const texts = (column: string): string[] => [...new Set(numbers.map((i) => String(cell(i, column) ?? '').trim()))];
  return {
    polygons,
    acres: Float64Array.from(polygons, (of) => toAcres(area_m2(of))),
    toldAcres: Float64Array.from(numbers, (i) => number(i, acres)),
    rates: set.channels.map((channel) => Float64Array.from(numbers, (i) => number(i, columnOf(channel)))),
    figures: set.figures.map((figure) => Float64Array.from(numbers, (i) => number(i, columnOf(figure)))),
    units: texts(unit),
    products: set.channels.map((channel) => texts(product + suffixOf(channel))),
    passes: set.channels.map((channel) => {
      const first = set.channels.find((other) => other.pass === channel.pass) ?? channel;
      return texts(pass + suffixOf(first));
    }),
    troubles,
  };
}

const noPolygons = (file: string) =>
  stop(
    'proof-differs',
    `${file} holds no polygons with a rate.`,
    'Do not use the file. Write the files again from the plan.',
    { file },
  );
