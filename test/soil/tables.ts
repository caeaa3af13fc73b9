import type { CellValue, Dataset, Geometry } from '../../core/formats/types.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { deepFreeze } from '../freeze.ts';

/** A text table as the CSV reader gives it: the header line is row 1. */
export function table(name: string, lines: readonly string[], extra: Partial<Dataset> = {}): Dataset {
  const [header = '', ...rows] = lines;
  return deepFreeze<Dataset>({
    name,
    format: 'csv',
    files: [`${name}.csv`],
    columns: header.split(';'),
    records: rows.map((row, index) => ({
      row: index + 2,
      geometry: null,
      cells: row.split(';').map((cell) => (cell === '' ? null : cell)),
    })),
    geometry: 'none',
    crs: null,
    reading: [],
    decimal: '.',
    ...extra,
  });
}

/** A shapefile of points or polygons with typed cells. */
export function shapes(
  name: string,
  columns: readonly string[],
  records: readonly (readonly [Geometry | null, ...CellValue[]])[],
): Dataset {
  return deepFreeze<Dataset>({
    name,
    format: 'shapefile',
    files: [`${name}.shp`, `${name}.dbf`],
    columns,
    records: records.map(([geometry, ...cells], index) => ({ row: index + 1, geometry, cells })),
    geometry: records.some(([geometry]) => geometry?.type === 'MultiPolygon') ? 'polygon' : 'point',
    crs: { name: 'WGS 84', from: 'prj' },
    reading: [],
    decimal: '.',
  });
}

export const point = (lng: number, lat: number): Geometry => ({ type: 'Point', at: [lng, lat] });

/** Box of degrees, wound counter-clockwise. */
export const box = (west: number, south: number, east: number, north: number): MultiPolygon => {
  const ring: LngLat[] = [
    [west, south],
    [east, south],
    [east, north],
    [west, north],
    [west, south],
  ];
  return [[ring]];
};
