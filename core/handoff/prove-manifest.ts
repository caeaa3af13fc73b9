import { type Problem, stop } from '../base/problem.ts';
import { MANIFEST_FILE } from './manifest.ts';
import { seedOf } from './points.ts';
import type { Manifest, ManifestSet } from './types.ts';

/** The files that stand for a set: of the loose parts the one with the shapes. */
export const mainPaths = ({ geojson, shapefileZip, shapefileLoose }: ManifestSet): string[] =>
  [geojson, shapefileZip, shapefileLoose === null ? null : `${shapefileLoose}.shp`].flatMap((path) => path ?? []);

/** Every file that a reader of the proof opens: what is not among them is compared by its bytes alone. */
export function readPaths({ sets, taskData, rasters, files }: Manifest): ReadonlySet<string> {
  const loose = sets.flatMap((set) => (set.shapefileLoose === null ? [] : [`${set.shapefileLoose}.`]));
  return new Set([
    ...sets.flatMap(mainPaths),
    ...files.map(({ path }) => path).filter((path) => loose.some((start) => path.startsWith(start))),
    ...(taskData ? [taskData.path] : []),
    ...rasters.map(({ path }) => path),
  ]);
}

/** Listed files of these kinds hold rates, so something in the manifest must say which. */
const HOLDS_RATES = /\.(zip|geojson|shp)$|^surfaces\/rate_[^/]*\.tif$/i;

/**
 * Where a manifest does not agree with itself: files with rates that nothing in it says the rates of, sets and task data of other passes, points that were not
 * drawn from the plan's SHA-256, or too few of them told. Who edits a manifest may still make all of it agree: it holds no secret.
 * Manifests of version 1 have neither points nor rasters. Problem: `proof-manifest`.
 */
export function manifestFaults(manifest: Manifest): Problem[] {
  const { sets, taskData, files, points, version } = manifest;
  const faults: Problem[] = [];
  const listed = new Set(files.map(({ path }) => path));
  if (listed.size === 0 || (sets.length === 0 && taskData === null))
    faults.push(fault('The manifest names no files or no passes, so nothing can be compared.'));
  for (const set of sets)
    for (const path of mainPaths(set))
      if (!listed.has(path))
        faults.push(fault(`The manifest does not list ${path} of the pass ${set.channels[0]?.pass ?? ''}.`, path));
  if (version === 1) return faults;
  for (const path of [...(taskData ? [taskData.path] : []), ...manifest.rasters.map((raster) => raster.path)])
    if (!listed.has(path)) faults.push(fault(`The manifest does not list ${path}, whose rates it tells.`, path));
  const told = readPaths(manifest);
  for (const path of listed)
    if (HOLDS_RATES.test(path) && !told.has(path))
      faults.push(fault(`The manifest lists ${path} and does not say what its rates must be.`, path));
  if (taskData && sets.length > 0) {
    const named = (of: readonly { readonly pass: string; readonly product: string }[]): string =>
      JSON.stringify([...new Set(of.map(({ pass, product }) => `${pass}, ${product}`))].sort());
    const [inSets, inTasks] = [named(sets.flatMap(({ channels }) => channels)), named(taskData.tasks)];
    if (inSets !== inTasks)
      faults.push(fault('The manifest names other passes or products for the task data than for the other files.'));
  }
  if (points === null) {
    faults.push(fault('The manifest names no points to compare the rates at.'));
    return faults;
  }
  if (points.seed !== seedOf(manifest.planSha256))
    faults.push(fault("The manifest's points were not drawn from the plan's SHA-256."));
  const short =
    ((taskData !== null || manifest.rasters.length > 0) && points.inner?.length !== points.drawn) ||
    sets.some(({ channels }) => channels.some(({ atPoints }) => atPoints?.split(' ').length !== points.drawn));
  if (short) faults.push(fault("The manifest does not tell the plan's rate at every point."));
  return faults;
}

const fault = (message: string, file: string = MANIFEST_FILE): Problem =>
  stop('proof-manifest', message, 'Write the files again from the plan.', { file });
