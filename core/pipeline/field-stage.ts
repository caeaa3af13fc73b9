import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { type SquareMetres, toAcres } from '../base/units.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset, NamedBytes } from '../formats/types.ts';
import { area_m2 } from '../geo/area.ts';
import { cleanPolygons } from '../geo/clean.ts';
import { difference, intersection, union } from '../geo/clip.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { FieldSettings } from '../plan/schema.ts';
import { filesOf } from './inputs.ts';
import { makeSetbacks } from './setbacks.ts';
import type { FieldOut, RunRequest } from './types.ts';

/**
 * Boundary, keep-outs, setbacks and the ground that is left, in acres on the WGS84 ellipsoid.
 * Problems: `field-none` (no boundary yet), `field-no-polygon`, `field-empty` (keep-outs leave nothing),
 * `field-keep-out-outside` (a caution), those of the setbacks, and those of reading and cleaning.
 */
export function makeField(request: RunRequest): Result<FieldOut> {
  const settings = request.plan.field;
  if (settings.boundaryFiles.length === 0) {
    return fail(
      stop('field-none', 'There is no boundary yet.', 'Choose a boundary: a shapefile or GeoJSON with polygons.', {
        setting: 'field.boundaryFiles',
      }),
    );
  }
  const read = readPolygons(filesOf(request, settings.boundaryFiles), settings);
  if (!read.ok) return read;
  const boundary = read.value.polygons;
  const problems: Problem[] = [...read.problems];
  const reading = [...read.value.reading];
  // Taken off whole: cut to the boundary first, its rounded corners would leave hair-thin spikes along the fence.
  let away: MultiPolygon = [];
  if (settings.keepOutFiles.length > 0) {
    const kept = readPolygons(filesOf(request, settings.keepOutFiles), settings);
    if (!kept.ok) return fail(...problems, ...kept.problems);
    problems.push(...kept.problems);
    away = kept.value.polygons;
    reading.push(...kept.value.reading.map((sentence) => `keep-out: ${sentence}`));
    if (intersection(away, boundary).length === 0) {
      problems.push(
        caution(
          'field-keep-out-outside',
          'The keep-outs lie wholly outside the boundary, so none of them counts.',
          'Check that they belong to this field.',
          { setting: 'field.keepOutFiles' },
        ),
      );
    }
  }
  const held = makeSetbacks(request, boundary);
  if (!held.ok) return fail(...problems, ...held.problems);
  problems.push(...held.problems);
  away = held.value.reduce((all, { whole }) => union(all, whole), away);
  const keepOut = away.length === 0 ? [] : intersection(away, boundary);
  const spreadable = away.length === 0 ? boundary : difference(boundary, away);
  const acresOf = (polygons: MultiPolygon): number => toAcres(area_m2(polygons) as SquareMetres);
  if (acresOf(spreadable) < 0.01) {
    return fail(
      ...problems,
      stop('field-empty', 'The keep-outs leave no ground to spread on.', 'Check the keep-outs against the boundary.', {
        setting: 'field.keepOutFiles',
      }),
    );
  }
  return ok(
    {
      boundary,
      keepOut,
      setbacks: held.value.map(({ whole: _, ...setback }) => setback),
      spreadable,
      boundary_ac: acresOf(boundary),
      keepOut_ac: acresOf(keepOut),
      spreadable_ac: acresOf(spreadable),
      reading,
    },
    problems,
  );
}

function readPolygons(
  files: readonly NamedBytes[],
  settings: FieldSettings,
): Result<{ polygons: MultiPolygon; reading: string[] }> {
  const read = readFiles(files, settings.crs === null ? {} : { crs: settings.crs });
  if (!read.ok) return read;
  const problems: Problem[] = [...read.problems];
  const reading: string[] = [];
  let polygons: MultiPolygon = [];
  for (const dataset of read.value.filter((one) =>
    one.records.some((record) => record.geometry?.type === 'MultiPolygon'),
  )) {
    const file = dataset.files[0] ?? dataset.name;
    for (const record of dataset.records) {
      if (record.geometry?.type !== 'MultiPolygon') continue;
      const clean = cleanPolygons(record.geometry.polygons, { file, feature: record.row });
      if (!clean.ok) return fail(...problems, ...clean.problems);
      problems.push(...clean.problems);
      polygons = polygons.length === 0 ? clean.value : union(polygons, clean.value);
    }
    reading.push(sentence(dataset, polygons));
  }
  if (polygons.length === 0) {
    const names = files.map((file) => file.name).join(', ');
    return fail(
      ...problems,
      stop(
        'field-no-polygon',
        `${names} holds no polygon.`,
        'Choose a file whose features are areas, not points or lines.',
        { file: files[0]?.name ?? '' },
      ),
    );
  }
  return ok({ polygons, reading }, problems);
}

function sentence(dataset: Dataset, polygons: MultiPolygon): string {
  const holes = polygons.reduce((sum, polygon) => sum + polygon.length - 1, 0);
  const count = (n: number, word: string) => `${n} ${word}${n === 1 ? '' : 's'}`;
  return `${dataset.files[0] ?? dataset.name}: ${count(polygons.length, 'part')}, ${count(holes, 'hole')}, ${dataset.crs?.name ?? 'no coordinate system told'}`;
}
