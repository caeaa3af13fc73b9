import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset, NamedBytes, ReadOptions } from '../formats/types.ts';
import { area_m2 } from '../geo/area.ts';
import { guessColumns } from '../soil/guess.ts';
import { labTables } from '../soil/tables.ts';
import { pickDataset } from './start.ts';

/** Files by what they are for. A zip with several layers may stand under several. */
export interface SortedFiles {
  readonly boundary: readonly NamedBytes[];
  readonly keepOut: readonly NamedBytes[];
  readonly points: readonly NamedBytes[];
  readonly samples: readonly NamedBytes[];
}

const BOUNDARY_WORDS = /bound|border|field|perim|outline/i;
const KEEP_OUT_WORDS = /keep.?out|exclu|no.?spread|farmstead|building|yard|well|pond/i;

/**
 * What each of some dropped files is, by what it holds: polygons without lab values are the boundary or keep-outs,
 * points without lab values are sample points, anything with a K column is the lab's. The name only decides between
 * several polygon files: `keep-out` or the like, else the largest is the boundary.
 *
 * Problems: those of reading; `sort-unused` (a file with no part in a plan), `sort-several` (two boundaries or labs), `sort-sheets` (a workbook with
 * several tables of lab values, of which one is read).
 */
export function sortFiles(files: readonly NamedBytes[], options?: ReadOptions): Result<SortedFiles> {
  const read = readFiles(files, options);
  if (!read.ok) return read;
  const problems: Problem[] = [...read.problems];
  const labs = labTables(read.value);
  const samples = onePerFile(labs, 'samples');
  for (const lab of labs)
    if (!samples.includes(lab))
      problems.push(
        caution(
          'sort-sheets',
          `${lab.name} holds lab values too, and one table of a file is read: ${samples.find((one) => one.files[0] === lab.files[0])?.name ?? ''}.`,
          'Choose another sheet under Soil once the plan is made, or with --sheet on the command line.',
          { file: lab.files[0] ?? lab.name },
        ),
      );
  const rest = read.value.filter((dataset) => !labs.includes(dataset));
  const placed = rest.filter((dataset) => dataset.geometry === 'point' || looksLikePoints(dataset));
  const points = onePerFile(placed, 'points');
  const polygons = rest.filter((dataset) => dataset.geometry === 'polygon');
  const { boundary, keepOut } = splitPolygons(polygons);
  for (const dataset of rest) {
    if (placed.includes(dataset) || polygons.includes(dataset)) continue;
    // A sheet of notes beside the one with the values is no file left over.
    if (dataset.format === 'xlsx' && [...samples, ...points].some((one) => one.files[0] === dataset.files[0])) continue;
    problems.push(
      caution(
        'sort-unused',
        `${dataset.files[0] ?? dataset.name} is neither boundary, sample points nor soil test, and is not used.`,
        'Choose a file with polygons, points, or a K column.',
        { file: dataset.files[0] ?? dataset.name },
      ),
    );
  }
  if (samples.length > 1) {
    const names = samples.map((dataset) => dataset.files[0]).join(', ');
    return fail(
      ...problems,
      stop('sort-several', `Several files hold lab values: ${names}.`, 'Take in one soil test at a time.'),
    );
  }
  if (points.length > 1) {
    const names = points.map((dataset) => dataset.files[0]).join(', ');
    return fail(
      ...problems,
      stop(
        'sort-several',
        `Several files hold sample points: ${names}.`,
        'Take in one set of sample points at a time.',
      ),
    );
  }
  const bytesOf = (datasets: readonly Dataset[]): NamedBytes[] => {
    const names = new Set(datasets.flatMap((dataset) => dataset.files));
    return files.filter((file) => names.has(file.name));
  };
  return ok(
    { boundary: bytesOf(boundary), keepOut: bytesOf(keepOut), points: bytesOf(points), samples: bytesOf(samples) },
    problems,
  );
}

/** Of several tables of one workbook the one that is read; files of other kinds stand for themselves. */
function onePerFile(datasets: readonly Dataset[], role: 'points' | 'samples'): readonly Dataset[] {
  return datasets.filter((dataset) => {
    if (dataset.format !== 'xlsx') return true;
    return (
      pickDataset(
        datasets.filter((one) => one.files[0] === dataset.files[0]),
        role,
      ) === dataset
    );
  });
}

/** A table of ids with coordinates, such as a list of sample points. */
function looksLikePoints(dataset: Dataset): boolean {
  if (dataset.geometry !== 'none') return false;
  const roles = new Set(guessColumns(dataset).map((guess) => guess.is));
  return roles.has('lng') && roles.has('lat');
}

function splitPolygons(polygons: readonly Dataset[]): { boundary: Dataset[]; keepOut: Dataset[] } {
  const named = polygons.filter((dataset) => KEEP_OUT_WORDS.test(dataset.name) && !/bound/i.test(dataset.name));
  const others = polygons.filter((dataset) => !named.includes(dataset));
  const candidates = others.filter((dataset) => BOUNDARY_WORDS.test(dataset.name));
  const pool = candidates.length > 0 ? candidates : others.length > 0 ? others : named;
  const boundary = pool.reduce<Dataset | null>((best, one) => (best && extent(best) >= extent(one) ? best : one), null);
  return { boundary: boundary ? [boundary] : [], keepOut: polygons.filter((dataset) => dataset !== boundary) };
}

const extent = (dataset: Dataset): number =>
  dataset.records.reduce(
    (sum, record) => sum + (record.geometry?.type === 'MultiPolygon' ? area_m2(record.geometry.polygons) : 0),
    0,
  );
