import type { LngLat, MultiPolygon } from '../geo/types.ts';

/** A file as it came: name without folders, bytes whole. */
export interface NamedBytes {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** A CSV cell stays the text of the file; a table of typed columns or cells gives numbers. Blank is null. */
export type CellValue = string | number | boolean | null;

export type Geometry =
  | { readonly type: 'Point'; readonly at: LngLat }
  | { readonly type: 'MultiPolygon'; readonly polygons: MultiPolygon }
  | { readonly type: 'Lines'; readonly lines: readonly (readonly LngLat[])[] };

export interface DataRecord {
  /** Row a person sees in a spreadsheet (header line 1) for a text table or sheet; number of the feature, from 1, otherwise. */
  readonly row: number;
  readonly geometry: Geometry | null;
  /** One per column, in the columns' order. */
  readonly cells: readonly CellValue[];
}

export interface CrsInfo {
  /** In words: `WGS 84 / UTM zone 15N`. */
  readonly name: string;
  /** How it is known. */
  readonly from: 'prj' | 'format' | 'told' | 'assumed';
}

/** What one input holds, whatever its format. Coordinates are WGS84 lng/lat, polygons wound as RFC 7946 says. */
export interface Dataset {
  /** Base name without folders and ending; of a workbook `lab.xlsx, sheet Results`. */
  readonly name: string;
  /** Name of the sheet, where it is one of a workbook. */
  readonly sheet?: string;
  readonly format: 'shapefile' | 'geojson' | 'csv' | 'xlsx';
  /** Names of the inputs it came from as they were given, the main one first: a zip's name for what was inside it. */
  readonly files: readonly string[];
  readonly columns: readonly string[];
  readonly records: readonly DataRecord[];
  readonly geometry: 'none' | 'point' | 'polygon' | 'line' | 'mixed';
  readonly crs: CrsInfo | null;
  /** What was understood of a text table, for people: delimiter, decimal mark, encoding, header row. */
  readonly reading: readonly string[];
  /** Decimal mark of a text table's numbers. */
  readonly decimal: '.' | ',';
}

export interface ReadOptions {
  /** CRS to use where the file names none: an EPSG code (`EPSG:32615`) or the text of a .prj. */
  readonly crs?: string;
}

/** One field of a table to be written. */
export interface FieldSpec {
  /** At most 10 of A-Z 0-9 _, beginning with a letter. */
  readonly name: string;
  readonly kind: 'number' | 'text';
  /** Width in characters; decimals of a number (0 for text). */
  readonly width: number;
  readonly decimals: number;
}

export interface FeatureOut {
  readonly polygons: MultiPolygon;
  /** In the order of the fields. */
  readonly values: readonly (string | number | null)[];
}
