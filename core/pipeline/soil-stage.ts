import { fail, ok, type Result, stop } from '../base/problem.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset } from '../formats/types.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { pickDataset } from '../plan/start.ts';
import { readSoil } from '../soil/read.ts';
import { standingDoubts } from '../soil/standing-doubts.ts';
import { noTable, otherTables } from '../soil/tables.ts';
import { placedByText } from '../soil/text-places.ts';
import type { SoilOut } from '../soil/types.ts';
import { unitsBeside } from '../soil/unit-beside.ts';
import { filesOf } from './inputs.ts';
import type { RunRequest } from './types.ts';

/**
 * Clean samples out of the plan's point and lab files. Of several tables with lab values the one that the plan names is read, else the one that
 * `pickLab` takes, and the others are named (`soil-other-tables`).
 * Problems: `soil-none` (no soil test yet), `soil-no-table` (no table is called as the plan names it), `soil-column-doubt` (a column in use whose guess is in doubt
 * and that nobody confirmed), `soil-unit-beside` (a line beside the table tells another unit), and those of reading and judging.
 */
export function makeSoil(request: RunRequest, boundary: MultiPolygon): Result<SoilOut> {
  const settings = request.plan.soil;
  if (settings.sampleFiles.length === 0) {
    return fail(
      stop(
        'soil-none',
        'There is no soil test yet.',
        'Choose the lab values: a CSV, workbook, shapefile or GeoJSON with a K column.',
        { setting: 'soil.sampleFiles' },
      ),
    );
  }
  const samples = readDataset(request, settings.sampleFiles, 'samples');
  if (!samples.ok) return samples;
  const points = settings.pointFiles.length > 0 ? readDataset(request, settings.pointFiles, 'points') : null;
  if (points && !points.ok) return points;
  const soil = readSoil({ points: points?.value ?? null, samples: samples.value, boundary, settings });
  // A stop on a column says all that its doubt does.
  const stopped = new Set(soil.problems.flatMap(({ severity, at }) => (severity === 'stop' ? (at?.column ?? []) : [])));
  const doubts = [
    ...unitsBeside(samples.value, settings.sampleColumns),
    ...standingDoubts(samples.value, settings.sampleColumns, points?.value ?? null, 'soil.sampleColumns'),
    ...(points ? standingDoubts(points.value, settings.pointColumns, samples.value, 'soil.pointColumns') : []),
  ].filter(({ at }) => at?.column === undefined || !stopped.has(at.column));
  const before = [...samples.problems, ...(points?.problems ?? []), ...doubts];
  return soil.ok ? ok(soil.value, [...before, ...soil.problems]) : fail(...before, ...soil.problems);
}

function readDataset(request: RunRequest, paths: readonly string[], role: 'points' | 'samples'): Result<Dataset> {
  const files = filesOf(request, paths);
  const crs = request.plan.soil.crs;
  const read = readFiles(files, crs === null ? {} : { crs });
  if (!read.ok) return read;
  const { sampleTable, year } = request.plan.soil;
  const dataset = pickDataset(read.value, role, { sampleTable, year });
  if (!dataset && role === 'samples' && sampleTable !== null)
    return fail(...read.problems, noTable(read.value, sampleTable));
  if (!dataset) {
    return fail(
      ...read.problems,
      stop('soil-none', `${files.map((file) => file.name).join(', ')} holds no records.`, 'Choose another file.', {
        file: files[0]?.name ?? '',
      }),
    );
  }
  return ok(placedByText(dataset), [
    ...read.problems,
    ...(role === 'samples' ? otherTables(read.value, dataset, sampleTable) : []),
  ]);
}
