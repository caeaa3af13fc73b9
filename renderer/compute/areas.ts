import { fail, note, ok, type Problem, type Result, stop } from '../../core/base/problem.ts';
import { readFiles } from '../../core/formats/read.ts';
import type { Dataset, NamedBytes } from '../../core/formats/types.ts';
import { cleanPolygons } from '../../core/geo/clean.ts';
import { intersection } from '../../core/geo/clip.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';

/** An area of a file, made sound, with the name that the file gives it. */
export interface NamedArea {
  readonly name: string;
  readonly polygons: MultiPolygon;
}

const NAMED = /^(name|label|title|area|part|unit|zone|soil|description|desc|id|objectid|fid)$/i;

/**
 * The polygons of some files as areas of the field, one a record. What lies outside the field is left out and counted; a polygon that
 * cannot be made sound is told with its place and left out. Fails with `areas-none` where nothing is left.
 */
export function readAreas(
  files: readonly NamedBytes[],
  crs: string | null,
  field: MultiPolygon | null,
): Result<readonly NamedArea[]> {
  const read = readFiles(files, crs === null ? {} : { crs });
  if (!read.ok) return read;
  const problems: Problem[] = [...read.problems];
  const areas: NamedArea[] = [];
  let outside = 0;
  for (const dataset of read.value) {
    const nameAt = nameColumn(dataset);
    for (const record of dataset.records) {
      const { geometry, row } = record;
      if (geometry?.type !== 'MultiPolygon') continue;
      const clean = cleanPolygons(geometry.polygons, { file: dataset.files[0] ?? dataset.name, feature: row });
      problems.push(...clean.problems);
      if (!clean.ok) continue;
      if (field && intersection(clean.value, field).length === 0) outside++;
      else areas.push({ name: nameOf(record.cells[nameAt] ?? null, dataset.name, row), polygons: clean.value });
    }
  }
  const names = files.map(({ name }) => name).join(', ');
  if (outside > 0)
    problems.push(
      note(
        'areas-outside',
        outside === 1
          ? `One polygon of ${names} lies outside the field and was left out.`
          : `${outside} polygons of ${names} lie outside the field and were left out.`,
        'Nothing is to be done if the file covers more than this field.',
      ),
    );
  if (areas.length > 0) return ok(areas, problems);
  return fail(
    ...problems,
    stop(
      'areas-none',
      `${names} holds no polygon of this field.`,
      'Choose a file with polygons that lie in the field.',
    ),
  );
}

function nameColumn({ columns, records }: Dataset): number {
  const fits = columns.flatMap((column, index) => (NAMED.test(column.trim()) ? [index] : []));
  const told = (index: number): number =>
    records.filter((record) => typeof record.cells[index] === 'string' && record.cells[index] !== '').length;
  return fits.sort((a, b) => told(b) - told(a) || a - b)[0] ?? -1;
}

function nameOf(cell: Dataset['records'][number]['cells'][number], file: string, row: number): string {
  const text = cell === null || typeof cell === 'boolean' ? '' : String(cell).trim();
  const plain = file.replace(/^.*\//, '').replace(/\.[A-Za-z]+$/, '');
  return (text === '' ? `${plain} ${row}` : text).slice(0, 80);
}
