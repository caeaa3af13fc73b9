import { sha256Hex } from '../base/hash.ts';
import { ok, type Problem, type Result } from '../base/problem.ts';
import { encodeUtf8 } from '../base/text.ts';
import { writeGeoJson } from '../formats/geojson-write.ts';
import { writeShapefile } from '../formats/shapefile-write.ts';
import { zipFiles } from '../formats/zip.ts';
import { type Column, columnsOf } from './columns.ts';
import { columnsText } from './columns-text.ts';
import { roundTo } from './figures.ts';
import { MANIFEST_FILE, manifestText } from './manifest.ts';
import type { PlannedPoints } from './points.ts';
import type { RateRaster } from './rasters.ts';
import type { FileSet } from './sets.ts';
import type { HandoffSettings } from './settings.ts';
import type { CellsOut, LoadLine, Manifest, ManifestChannel, ManifestSet, OutFile, TaskDataOut } from './types.ts';

/** What the files need to know beside the sets. */
export interface FilesInput {
  readonly planName: string;
  readonly planSha256: string;
  /** One or two, the plan's first product first. */
  readonly products: readonly string[];
  readonly settings: Pick<
    HandoffSettings,
    'rateUnit' | 'files' | 'outside_lbPerAc' | 'noPosition_lbPerAc' | 'products' | 'passes'
  >;
  /** Of what is in the files. */
  readonly spreadable_ac: number;
  /** Zones that are in no file, by their role. */
  readonly leftOut: readonly { readonly letter: string; readonly acres: number; readonly role: string }[];
  readonly sets: readonly FileSet[];
  readonly points: PlannedPoints;
  readonly cells: CellsOut | null;
  readonly loads: readonly LoadLine[];
  readonly taskData: { readonly bytes: Uint8Array; readonly out: TaskDataOut } | null;
  /** Tables and layers of the soil, already written. */
  readonly extras: readonly OutFile[];
  readonly rasters: readonly RateRaster[];
}

export const COLUMNS_FILE = 'columns.txt';

/**
 * Every file of the handoff, as far as the settings ask for it: per set a GeoJSON, a zipped shapefile and the same loose; the task data; a text that says
 * which file is which pass and what each column is; tables and rasters; and manifest.json, the plan's word on what must be in them. Same input,
 * same bytes: no clock, no chance. Problems: those of the shapefile writer.
 */
export function writeFiles(input: FilesInput): Result<OutFile[]> {
  const files: OutFile[] = [];
  const sets: ManifestSet[] = [];
  const problems: Problem[] = [];
  for (const [index, set] of input.sets.entries()) {
    const columns = columnsOf(set, input.settings.rateUnit);
    const written = setFiles(input, index, set, columns);
    if (!written.ok) return written;
    problems.push(...written.problems);
    files.push(...written.value);
    sets.push(toldSet(input, set, columns));
  }
  if (input.taskData) {
    const { bytes, out } = input.taskData;
    files.push({ path: out.path, bytes, what: `ISO 11783-10 task data, grid of ${out.columns} x ${out.rows} cells` });
  }
  files.push(
    {
      path: COLUMNS_FILE,
      bytes: encodeUtf8(columnsText(input, null)),
      what: 'passes, files and columns, in plain text',
    },
    ...input.extras,
    ...input.rasters.map(({ file }) => file),
  );
  const manifest: Manifest = {
    format: 'pearlash-manifest',
    version: 2,
    plan: input.planName,
    planSha256: input.planSha256,
    rateUnit: input.settings.rateUnit,
    spreadable_ac: roundTo(input.spreadable_ac, 6),
    sets,
    taskData: input.taskData && toldTaskData(input.taskData.out),
    rasters: input.rasters.map(({ told }) => told),
    points: input.points.points,
    files: files.map(listed),
    proof: null,
    printed: null,
  };
  files.push(manifestFile(manifest));
  return ok(files, problems);
}

/** A file as the manifest lists it. */
export const listed = ({ path, bytes }: OutFile): Manifest['files'][number] => ({
  path,
  size: bytes.length,
  sha256: sha256Hex(bytes),
});

export const manifestFile = (manifest: Manifest): OutFile => ({
  path: MANIFEST_FILE,
  bytes: encodeUtf8(manifestText(manifest)),
  what: "the plan's figures, for the proof",
});

function setFiles(input: FilesInput, index: number, set: FileSet, columns: readonly Column[]): Result<OutFile[]> {
  const { rateUnit, files: asked } = input.settings;
  const records = set.passes[0]?.pieces ?? [];
  const files: OutFile[] = [];
  const problems: Problem[] = [];
  if (asked.geojson) {
    const what = `${records.length} records, WGS84, rate in ${rateUnit}`;
    files.push({ path: `${set.base}.geojson`, bytes: geoJsonOf(input, set, columns), what });
  }
  if (!asked.shapefile && !asked.loose) return ok(files);
  const features = records.map(({ polygons }, i) => ({
    polygons,
    values: columns.map(({ values }) => values[i] ?? null),
  }));
  const parts = writeShapefile(set.base, columns, features);
  if (!parts.ok) return parts;
  problems.push(...parts.problems);
  if (asked.shapefile) {
    const names = set.channels.map(({ column }) => column);
    const text = { name: COLUMNS_FILE, bytes: encodeUtf8(columnsText(input, index)) };
    files.push({
      path: `${set.base}.zip`,
      bytes: zipFiles([...parts.value, text]),
      what: `shapefile, zipped; ${names.length > 1 ? `columns ${names.slice(0, -1).join(', ')} and ${names.at(-1)}` : 'column RATE'} in ${rateUnit}`,
    });
  }
  if (asked.loose)
    for (const part of parts.value)
      files.push({ path: `shapefile/${part.name}`, bytes: part.bytes, what: 'shapefile, loose part' });
  return ok(files, problems);
}

/** Rounded, since the last bits of a sine differ from one JavaScript engine to the next, and the files shall not. */
const toldAcres = (set: FileSet): number => roundTo(set.passes[0]?.totals.acres ?? 0, 6);

function toldSet({ settings: { files }, points }: FilesInput, set: FileSet, columns: readonly Column[]): ManifestSet {
  const pieces = set.passes[0]?.pieces ?? [];
  return {
    base: set.base,
    records: set.passes[0]?.pieces.length ?? 0,
    acres: toldAcres(set),
    channels: set.channels.map(
      ({ passName, productName, column, property, decimals, planned_lb }, index): ManifestChannel => ({
        pass: passName,
        product: productName,
        column,
        property,
        decimals,
        planned_lb: roundTo(planned_lb, 3),
        planned_tons: roundTo(planned_lb / 2000, 6),
        atPoints: points.textOf(set, index),
      }),
    ),
    figures: columns
      .filter(
        ({ kind, name }) => kind === 'number' && name !== 'ACRES' && !set.channels.some((one) => one.column === name),
      )
      .map(({ name, property, values }) => ({
        column: name,
        property,
        planned: roundTo(
          pieces.reduce((sum, { acres }, i) => sum + acres * Number(values[i] ?? 0), 0),
          3,
        ),
      })),
    geojson: files.geojson ? `${set.base}.geojson` : null,
    shapefileZip: files.shapefile ? `${set.base}.zip` : null,
    shapefileLoose: files.loose ? `shapefile/${set.base}` : null,
  };
}

const toldTaskData = (out: TaskDataOut): TaskDataOut => ({
  ...out,
  tasks: out.tasks.map((task) => ({
    ...task,
    planned_lb: roundTo(task.planned_lb, 3),
    grid_lb: roundTo(task.grid_lb, 3),
  })),
});

function geoJsonOf(input: FilesInput, set: FileSet, columns: readonly Column[]): Uint8Array {
  const features = (set.passes[0]?.pieces ?? []).map(({ polygons }, i) => {
    const properties: Record<string, string | number | null> = {};
    for (const { property, values } of columns) properties[property] = values[i] ?? null;
    return { polygons, properties };
  });
  return writeGeoJson(features, {
    name: set.base,
    prescription: {
      rateUnit: input.settings.rateUnit,
      acres: toldAcres(set),
      rates: set.channels.map(({ property, passName, productName, planned_lb }) => ({
        property,
        product: productName,
        pass: passName,
        product_lb: roundTo(planned_lb, 3),
      })),
    },
  });
}
