import { sha256Hex } from '../base/hash.ts';
import type { Result } from '../base/problem.ts';
import { caution, type Problem, stop } from '../base/problem.ts';
import { LB_PER_SHORT_TON } from '../base/units.ts';
import { MANIFEST_FILE, readManifest } from './manifest.ts';
import type { Places } from './points.kernel.ts';
import { drawPlaces } from './points.ts';
import { proveGrid } from './prove-grid.ts';
import { mainPaths, manifestFaults, readPaths } from './prove-manifest.ts';
import { proveRaster } from './prove-raster.ts';
import { type Found, readBackGeoJson, readBackShapefile, readBackZip } from './prove-read.ts';
import { compareAtPoints, compareSet, poundsOf } from './prove-set.ts';
import { SHEET_PDF } from './sheet/make.ts';
import type { Manifest, ManifestSet, Proof, ProofLine } from './types.ts';

export interface FoundFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/**
 * Reads the written files back and compares them with the plan's figures in their manifest, which may be of version 1 or 2: bytes by SHA-256; per set and
 * file records, acres (worked out again from the geometry, to 1e-6; record by record with the table's), pounds of every rate column (to the rounding of the column),
 * the other figures of the table over the acres, unit, product and pass, and the rates at the manifest's points; the task data; the rasters of rates; the page as it was printed.
 * Pages, texts, tables and layers of the soil are compared by their hash alone (`byHashAlone`). A manifest holds no secret: who changes it and the files alike
 * is found only where it then disagrees with itself. Shapefiles are read by the program's reader, GeoJSON by
 * JSON.parse alone, task data by a reader of its own.
 * Proved only when every line holds. Problems: `proof-manifest`, `proof-missing`, `proof-differs`, those of the readers; cautions
 * `proof-printed-missing`, and `proof-stray` for each file that the manifest does not name (`strays` counts those that a controller might load). Cost: linear in the files.
 */
export function proveFiles(files: readonly FoundFile[]): Proof {
  const manifestFile = files.find((file) => file.path === MANIFEST_FILE);
  if (!manifestFile) {
    const message = 'The folder holds no manifest.json, so there is nothing to compare with.';
    const remedy = 'Prove the folder that the plan was written to, whole.';
    return unproved([stop('proof-manifest', message, remedy, { file: MANIFEST_FILE })]);
  }
  const read = readManifest(manifestFile.bytes, MANIFEST_FILE);
  return read.ok ? proveWith(read.value, files) : unproved(read.problems);
}

function proveWith(manifest: Manifest, files: readonly FoundFile[]): Proof {
  const byPath = new Map(files.map((file) => [file.path, file.bytes] as const));
  const listed = new Set(manifest.files.map((file) => file.path));
  const lines: ProofLine[] = [];
  const problems: Problem[] = [];
  problems.push(...manifestFaults(manifest));
  for (const file of manifest.files) {
    const bytes = byPath.get(file.path);
    if (bytes) lines.push(bytesLine(file, bytes));
    else problems.push(missing(file.path));
  }
  const places = manifest.points && drawPlaces(manifest.points);
  const sum = { acres: 0, pounds: 0, compared: 0, grid: 0, greatest: 0 };
  for (const set of manifest.sets) {
    const first = proveSet(manifest, set, byPath, places, sum, lines, problems);
    if (first) {
      sum.acres = Math.max(
        sum.acres,
        first.acres.reduce((all, one) => all + one, 0),
      );
      set.channels.forEach((_, channel) => {
        sum.pounds += poundsOf(first, channel, manifest.rateUnit);
      });
    }
  }
  const grid = manifest.taskData && gridOf(manifest, byPath, places);
  if (grid?.ok) {
    lines.push(...grid.value.lines);
    sum.grid = grid.value.compared;
    sum.compared += grid.value.compared;
    // Nothing else holds the acres and pounds where task data are written alone.
    if (manifest.sets.every((set) => mainPaths(set).length === 0)) {
      sum.acres = grid.value.acres;
      sum.pounds = grid.value.product_lb;
    }
  } else problems.push(...(grid?.problems ?? []));

  for (const raster of manifest.rasters) {
    const bytes = byPath.get(raster.path);
    if (!bytes) continue;
    const found = proveRaster(bytes, raster, manifest, places);
    lines.push(...found.lines);
    sum.compared += found.compared;
  }
  problems.push(...printedProblems(manifest, byPath, lines));

  problems.push(...lines.filter((one) => !one.holds).map(differs));
  const proved = !problems.some((problem) => problem.severity === 'stop');
  const strays = files
    .map((file) => file.path)
    .filter((path) => !listed.has(path) && path !== MANIFEST_FILE && path !== SHEET_PDF);
  problems.push(...strays.map(stray));
  const read = readPaths(manifest);
  return {
    proved,
    lines,
    acres: sum.acres,
    product_tons: sum.pounds / LB_PER_SHORT_TON,
    problems,
    strays: strays.filter((path) => SPREADABLE.test(path)).length,
    byHashAlone: manifest.files.map(({ path }) => path).filter((path) => !read.has(path) && byPath.has(path)),
    points: manifest.points && {
      seed: manifest.points.seed,
      inside: manifest.points.inside,
      compared: sum.compared,
      grid: sum.grid,
      greatest: sum.greatest,
    },
  };
}

/** All that was read of a set is compared; the first of its files that could be read is given back. */
function proveSet(
  manifest: Manifest,
  set: ManifestSet,
  byPath: ReadonlyMap<string, Uint8Array>,
  places: Places | null,
  sum: { compared: number; greatest: number },
  lines: ProofLine[],
  problems: Problem[],
): Found | null {
  let first: Found | null = null;
  for (const { label, read } of readersOf(set, byPath)) {
    const found = read();
    if (!found.ok) {
      problems.push(...found.problems);
      continue;
    }
    first ??= found.value;
    lines.push(...compareSet(label, set, found.value, manifest.rateUnit));
    if (!places) continue;
    const points = compareAtPoints(label, set, found.value, places);
    lines.push(points.line);
    sum.compared += points.compared;
    if (points.greatest > sum.greatest || Number.isNaN(points.greatest)) sum.greatest = points.greatest;
  }
  return first;
}

const gridOf = (manifest: Manifest, byPath: ReadonlyMap<string, Uint8Array>, places: Places | null) => {
  const bytes = manifest.taskData && byPath.get(manifest.taskData.path);
  return manifest.taskData && bytes ? proveGrid(bytes, manifest.taskData, manifest, places) : null;
};

/** The ways a set was written: GeoJSON, the zip, and the loose parts together. */
function readersOf(
  set: ManifestSet,
  byPath: ReadonlyMap<string, Uint8Array>,
): { readonly label: string; readonly read: () => Result<Found> }[] {
  const geojson = set.geojson === null ? undefined : byPath.get(set.geojson);
  const zip = set.shapefileZip === null ? undefined : byPath.get(set.shapefileZip);
  const loose = [...byPath]
    .filter(([path]) => set.shapefileLoose !== null && path.startsWith(`${set.shapefileLoose}.`))
    .map(([path, bytes]) => ({ name: path.slice(path.lastIndexOf('/') + 1), bytes }));
  return [
    ...(geojson ? [{ label: set.geojson ?? '', read: () => readBackGeoJson(set.geojson ?? '', geojson, set) }] : []),
    ...(zip ? [{ label: set.shapefileZip ?? '', read: () => readBackZip(set.shapefileZip ?? '', zip, set) }] : []),
    ...(loose.length > 0
      ? [
          {
            label: `${set.shapefileLoose}.shp`,
            read: () => readBackShapefile(`${set.shapefileLoose}.shp`, loose, set),
          },
        ]
      : []),
  ];
}

function bytesLine({ path, sha256 }: Manifest['files'][number], bytes: Uint8Array): ProofLine {
  const found = sha256Hex(bytes);
  return { file: path, what: 'bytes', planned: shortHash(sha256), found: shortHash(found), holds: found === sha256 };
}
const shortHash = (sha256: string): string => sha256.slice(0, 12);

const missing = (file: string): Problem =>
  stop('proof-missing', `The file ${file} is missing.`, 'Write the files again from the plan.', { file });

/** The page as it was printed, by the manifest's own entry. */
function printedProblems(
  { printed }: Manifest,
  byPath: ReadonlyMap<string, Uint8Array>,
  lines: ProofLine[],
): readonly Problem[] {
  const bytes = byPath.get(SHEET_PDF);
  if (printed && bytes) lines.push(bytesLine({ ...printed, path: SHEET_PDF }, bytes));
  const file = SHEET_PDF;
  if (printed && !bytes)
    return [caution('proof-printed-missing', `${file} was printed and is missing.`, AGAIN, { file })];
  return bytes && !printed
    ? [stop('proof-differs', `${file} was not printed from these files: the manifest knows of none.`, AGAIN, { file })]
    : [];
}
const AGAIN = `Take ${SHEET_PDF} out, and print the page again.`;

const differs = ({ file, what, planned, found }: ProofLine): Problem =>
  stop(
    'proof-differs',
    `${file}: ${what} differ. Planned ${planned}, found ${found}.`,
    'Do not use the file. Write the files again from the plan.',
    { file },
  );

/** Files that a rate controller might load. */
const SPREADABLE = /\.(zip|geojson|json|shp|shx|dbf|prj|cpg|xml|bin|kml|kmz|gml|gpkg)$/i;
const stray = (file: string): Problem =>
  caution(
    'proof-stray',
    `${file} lies in the folder and the plan did not write it: nothing is known of it.`,
    'Take it out before the folder is handed on.',
    { file },
  );

const unproved = (problems: readonly Problem[]): Proof => ({
  proved: false,
  lines: [],
  acres: 0,
  product_tons: 0,
  problems,
  strays: 0,
  byHashAlone: [],
  points: null,
});
