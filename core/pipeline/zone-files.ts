import { fail, ok, type Result, stop } from '../base/problem.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset } from '../formats/types.ts';
import { filesOf } from './inputs.ts';
import type { RunRequest } from './types.ts';

/**
 * The file of zone polygons; null where the zones are made otherwise, or none is chosen. Of several datasets the first with polygons counts.
 * Problems: those of reading, and `zones-polygons-none` where no dataset has a polygon.
 */
export function readZonePolygons(request: RunRequest): Result<Dataset | null> {
  const { method, polygons } = request.plan.zones;
  if (method !== 'polygons' || polygons.files.length === 0) return ok(null);
  const files = filesOf(request, polygons.files);
  const read = readFiles(files, polygons.crs === null ? {} : { crs: polygons.crs });
  if (!read.ok) return read;
  const found = read.value.find(({ records }) => records.some(({ geometry }) => geometry?.type === 'MultiPolygon'));
  if (found) return ok(found, read.problems);
  const names = files.map(({ name }) => name).join(', ');
  const remedy = 'Choose a shapefile or GeoJSON whose features are areas.';
  return fail(
    ...read.problems,
    stop('zones-polygons-none', `${names} holds no polygon.`, remedy, { setting: 'zones.polygons' }),
  );
}
