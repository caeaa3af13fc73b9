import { caution, fail, LISTED_PROBLEMS, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { decodeText } from '../base/text.ts';
import { type Position, placeFeatures, type RawFeature, type RawGeometry } from './features.ts';
import { findJsonBreak } from './json-break.ts';
import { type FileSet, type FormatReader, single } from './reader.ts';
import type { CellValue, Dataset, ReadOptions } from './types.ts';

/** GeoJSON (RFC 7946), and its 2008 form with a `crs` member. */
export const geoJsonReader: FormatReader = {
  format: 'geojson',
  main: ['geojson', 'json'],
  beside: [],
  unread: [],
  remedyWithoutMain: '',
  read: (set, options) => single(readGeoJson(set, options)),
};

/** Columns past which a file is no table any more. */
const MOST_COLUMNS = 2000;
/** Column for the identifiers that stand beside the properties (RFC 7946, 3.2), unless a property has the name. */
const ID = 'id';
type Members = Readonly<Record<string, unknown>>;

/**
 * A FeatureCollection, a Feature or a bare geometry. Properties become columns in the order they first appear; nested
 * ones become their JSON text. Heights are not read.
 *
 * Problems: `geojson-json` (no JSON, with its line), `geojson-type` (JSON, but no GeoJSON), `geojson-empty`,
 * `geojson-geometry` (a feature that cannot be read: all listed), `geojson-columns` (too many), and those of
 * `placeFeatures`; caution `geojson-nested`.
 */
function readGeoJson(set: FileSet, options: ReadOptions): Result<Dataset> {
  const file = set.main.name;
  const parsed = parse(set.main.bytes, file);
  if (!parsed.ok) return parsed;
  const root = parsed.value;
  const listOf = featuresOf(root);
  if (listOf === null)
    return fail(
      stop(
        'geojson-type',
        `${file} is JSON, but no GeoJSON.`,
        'Export it as GeoJSON: a FeatureCollection with polygons or points.',
        { file },
        isMembers(root) ? `type ${JSON.stringify(root.type)}` : undefined,
      ),
    );
  if (listOf.length === 0)
    return fail(
      stop('geojson-empty', `${file} holds no feature.`, 'Choose the file that the field was drawn in.', { file }),
    );
  const columns = columnsOf(listOf);
  if (columns.length > MOST_COLUMNS)
    return fail(
      stop(
        'geojson-columns',
        `${file} has more than ${MOST_COLUMNS} different properties.`,
        'Export only those needed.',
        {
          file,
        },
      ),
    );
  return build(set, listOf, columns, crsOf(root), options);
}

function build(
  set: FileSet,
  list: readonly unknown[],
  columns: readonly string[],
  inside: string | undefined,
  options: ReadOptions,
): Result<Dataset> {
  const file = set.main.name;
  const features: RawFeature[] = [];
  const wrong: Problem[] = [];
  const nested = new Set<string>();
  for (const [i, feature] of list.entries()) {
    const row = i + 1;
    const geometry = isMembers(feature) && feature.type === 'Feature' ? rawGeometry(feature.geometry) : NOT_A_FEATURE;
    if (typeof geometry === 'string') {
      wrong.push(
        stop(
          'geojson-geometry',
          `Feature ${row} of ${file} cannot be read: ${geometry}.`,
          'Mend it in the program that wrote the file, and take it in again.',
          { file, feature: row },
        ),
      );
      continue;
    }
    const properties = isMembers(feature) && isMembers(feature.properties) ? feature.properties : {};
    const own = isMembers(feature) ? feature.id : null;
    const cells = columns.map((column): CellValue => {
      const value = Object.hasOwn(properties, column) ? properties[column] : column === ID ? own : null;
      if (value !== null && typeof value === 'object') nested.add(column);
      return cellOf(value);
    });
    features.push({ row, geometry, cells });
  }
  if (wrong.length > 0) return fail(...shorten(wrong, file));
  const placed = placeFeatures(features, {
    file,
    inside,
    wgs84ByFormat: inside === undefined,
    told: options.crs,
  });
  if (!placed.ok) return placed;
  const problems: Problem[] =
    nested.size === 0
      ? []
      : [
          caution(
            'geojson-nested',
            `${file} has properties that hold lists or objects (${[...nested].slice(0, 10).join(', ')}); their text is kept.`,
            'Export them as plain values, if they matter.',
            { file },
          ),
        ];
  return ok(
    {
      ...placed.value,
      name: set.name,
      format: 'geojson',
      files: set.inputs,
      columns,
      reading: [`read from ${file}`],
      decimal: '.',
    },
    [...placed.problems, ...problems],
  );
}

const NOT_A_FEATURE = 'it is no Feature';

/** The first of them, and how many more there are. */
function shorten(problems: readonly Problem[], file: string): readonly Problem[] {
  if (problems.length <= LISTED_PROBLEMS) return problems;
  return [
    ...problems.slice(0, LISTED_PROBLEMS),
    stop(
      'geojson-geometry',
      `${problems.length - LISTED_PROBLEMS} more features of ${file} cannot be read.`,
      'Export the file again.',
      { file },
    ),
  ];
}

function parse(bytes: Uint8Array, file: string): Result<unknown> {
  let text: string;
  try {
    text = decodeText(bytes, 'utf-8', true);
  } catch {
    return fail(
      stop('geojson-json', `${file} is not written in UTF-8, as JSON must be.`, 'Export it again as UTF-8.', { file }),
    );
  }
  try {
    return ok(JSON.parse(text));
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error);
    const position = findJsonBreak(text);
    const line = text.slice(0, position).split('\n').length;
    return fail(
      stop(
        'geojson-json',
        `${file} is no JSON: it breaks in line ${line}${position >= text.length ? ', where it ends' : ''}.`,
        'Copy or export the file again, whole.',
        { file, row: line },
        detail,
      ),
    );
  }
}

const isMembers = (value: unknown): value is Members =>
  value !== null && typeof value === 'object' && !Array.isArray(value);

const GEOMETRY_TYPES = /^(Point|MultiPoint|LineString|MultiLineString|Polygon|MultiPolygon|GeometryCollection)$/;

function featuresOf(root: unknown): readonly unknown[] | null {
  if (!isMembers(root)) return null;
  if (root.type === 'FeatureCollection') return Array.isArray(root.features) ? root.features : null;
  if (root.type === 'Feature') return [root];
  return typeof root.type === 'string' && GEOMETRY_TYPES.test(root.type)
    ? [{ type: 'Feature', properties: {}, geometry: root }]
    : null;
}

function columnsOf(features: readonly unknown[]): string[] {
  const names = new Set<string>();
  for (const feature of features) {
    if (!isMembers(feature) || !isMembers(feature.properties)) continue;
    for (const name of Object.keys(feature.properties)) names.add(name);
    if (names.size > MOST_COLUMNS) break;
  }
  const identified = features.some((feature) => isMembers(feature) && feature.id !== undefined);
  return identified && !names.has(ID) ? [ID, ...names] : [...names];
}

/** The system of the 2008 form, or undefined where there is none. One that cannot be understood stays as its text. */
function crsOf(root: unknown): string | undefined {
  if (!isMembers(root) || root.crs === undefined || root.crs === null) return undefined;
  const { crs } = root;
  const properties = isMembers(crs) && isMembers(crs.properties) ? crs.properties : {};
  if (typeof properties.name === 'string' && properties.name.trim() !== '') return properties.name;
  if (typeof properties.code === 'number') return `EPSG:${properties.code}`;
  return textOf(crs);
}

function cellOf(value: unknown): CellValue {
  if (typeof value === 'string') return value.trim() === '' ? null : value;
  if (typeof value === 'number' || typeof value === 'boolean') return value;
  return value === null || value === undefined ? null : textOf(value);
}

function textOf(value: unknown): string {
  try {
    return JSON.stringify(value);
  } catch {
    // The parser goes deeper than the writer can follow.
    return '(nested too deeply)';
  }
}

/** Geometry in the file's coordinates, null for none, or why it cannot be read. */
function rawGeometry(value: unknown): RawGeometry | null | string {
  if (value === null || value === undefined) return null;
  if (!isMembers(value)) return 'its geometry is no object';
  const { type, coordinates } = value;
  switch (type) {
    case 'Point': {
      if (Array.isArray(coordinates) && coordinates.length === 0) return null;
      const point = position(coordinates);
      return point ? { type: 'points', points: [point] } : BAD_POSITION;
    }
    case 'MultiPoint': {
      const points = positions(coordinates);
      return points ? { type: 'points', points } : BAD_POSITION;
    }
    case 'LineString': {
      const line = positions(coordinates);
      return line ? { type: 'lines', lines: [line] } : BAD_POSITION;
    }
    case 'MultiLineString': {
      const lines = each(coordinates, positions);
      return lines ? { type: 'lines', lines } : BAD_POSITION;
    }
    case 'Polygon': {
      const polygon = each(coordinates, positions);
      return polygon ? { type: 'polygons', polygons: [polygon] } : BAD_POSITION;
    }
    case 'MultiPolygon': {
      const polygons = each(coordinates, (part) => each(part, positions));
      return polygons ? { type: 'polygons', polygons } : BAD_POSITION;
    }
    case 'GeometryCollection':
      return collection(value.geometries);
    default:
      return `${JSON.stringify(type)} is no geometry type`;
  }
}

const BAD_POSITION = 'its coordinates are not lists of numbers';

/** A collection of one kind of geometry is that kind; of several it has no place in a table of shapes. */
function collection(value: unknown): RawGeometry | null | string {
  if (!Array.isArray(value)) return 'its geometries are no list';
  const points: Position[][] = [];
  const lines: (readonly Position[])[][] = [];
  const polygons: (readonly (readonly Position[])[])[][] = [];
  for (const member of value) {
    if (isMembers(member) && member.type === 'GeometryCollection') return 'it holds a collection within a collection';
    const one = rawGeometry(member);
    if (typeof one === 'string') return one;
    if (one?.type === 'points') points.push([...one.points]);
    else if (one?.type === 'lines') lines.push([...one.lines]);
    else if (one?.type === 'polygons') polygons.push([...one.polygons]);
  }
  const kinds = [points, lines, polygons].filter((list) => list.length > 0).length;
  if (kinds > 1) return 'it mixes points, lines and areas';
  if (points.length > 0) return { type: 'points', points: points.flat() };
  if (lines.length > 0) return { type: 'lines', lines: lines.flat() };
  return polygons.length > 0 ? { type: 'polygons', polygons: polygons.flat() } : null;
}

function position(value: unknown): Position | null {
  if (!Array.isArray(value) || value.length < 2) return null;
  const [x, y]: unknown[] = value;
  return typeof x === 'number' && typeof y === 'number' ? [x, y] : null;
}

const positions = (value: unknown): readonly Position[] | null => each(value, position);

function each<T>(value: unknown, read: (member: unknown) => T | null): readonly T[] | null {
  if (!Array.isArray(value)) return null;
  const found: T[] = [];
  for (const member of value) {
    const one = read(member);
    if (one === null) return null;
    found.push(one);
  }
  return found;
}
