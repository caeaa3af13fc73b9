import { fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { csvReader } from './csv-read.ts';
import { groupFiles, type Incoming } from './file-sets.ts';
import { geoJsonReader } from './geojson-read.ts';
import type { FormatReader } from './reader.ts';
import { refuse, refusedByContent, refusedZip } from './refuse.ts';
import { shapefileReader } from './shapefile-read.ts';
import type { Dataset, NamedBytes, ReadOptions } from './types.ts';
import { xlsxReader } from './xlsx-read.ts';
import { unzipFiles } from './zip.ts';

/** Every format that is read. The door knows nothing of them but this list. */
const READERS: readonly FormatReader[] = [shapefileReader, geoJsonReader, csvReader, xlsxReader];

/**
 * What some files hold, whatever their format: the one door for bytes. Loose parts of a shapefile are put together by
 * their names, without regard to case; zips are opened, and may hold several datasets. Datasets come in the order of
 * the files. `files` of each dataset are the names of the inputs as given here; a dataset of a zip has the zip's.
 *
 * Fails only when nothing could be read. Otherwise `problems` may still hold a stop: a file that was meant to be read
 * and is broken. A file of a kind that is not read is then only a caution.
 *
 * Problems: `file-none`, `file-empty`, `file-*` by kind, `file-twice`, `file-part-alone` (a part of a shapefile without
 * its .shp), and those of the zip and of each format.
 */
export function readFiles(files: readonly NamedBytes[], options: ReadOptions = {}): Result<readonly Dataset[]> {
  const problems: Problem[] = [];
  const refused: Problem[] = [];
  const datasets: Dataset[] = [];
  if (files.length === 0)
    return fail(
      stop(
        'file-none',
        'There is no file.',
        'Choose a shapefile (zip or its parts), GeoJSON, CSV or workbook (.xlsx).',
      ),
    );
  for (const source of sourcesOf(files, problems, refused)) {
    const grouped = groupFiles(source, READERS);
    refused.push(...grouped.refused);
    problems.push(...grouped.problems);
    for (const { reader, set } of grouped.sets) {
      const read = reader.read(set, options);
      if (read.ok) datasets.push(...read.value);
      (read.ok || wasMeant(set.main.name, read.problems) ? problems : refused).push(...read.problems);
    }
  }
  if (datasets.length === 0) return fail(...problems, ...refused);
  return ok(datasets, [...problems, ...refused.map((problem): Problem => ({ ...problem, severity: 'caution' }))]);
}

/** Whether a file that could not be read was meant to be: a .txt may be a letter, a .json anything. */
const wasMeant = (name: string, problems: readonly Problem[]): boolean =>
  !/\.txt$/i.test(name) && !problems.some((problem) => problem.code === 'geojson-type');

/** The loose files together, and each zip's own, in the order in which they came. */
function sourcesOf(
  files: readonly NamedBytes[],
  problems: Problem[],
  refused: Problem[],
): readonly (readonly Incoming[])[] {
  const loose: Incoming[] = [];
  const sources: Incoming[][] = [];
  const addLoose = ({ name, bytes }: NamedBytes, path = name): void => {
    if (loose.length === 0) sources.push(loose);
    loose.push({ path, shown: name, input: name, bytes });
  };
  for (const file of files) {
    const { name, bytes } = file;
    if (!isZip(file) || isWorkbookName(name)) {
      const why = refusedByContent(bytes, name);
      if (why) refused.push(why);
      else addLoose(file);
      continue;
    }
    if (bytes.length === 0) {
      problems.push(emptyFile(name));
      continue;
    }
    const inside = unzipFiles(bytes, name);
    problems.push(...inside.problems);
    if (!inside.ok) continue;
    if (inside.value.some((one) => one.name === 'xl/workbook.xml')) {
      addLoose(file, `${name}.xlsx`);
      continue;
    }
    const other = refusedZip(
      inside.value.map((one) => one.name),
      name,
    );
    if (other) refused.push(other);
    else sources.push(innerFiles(inside.value, name, problems, refused));
  }
  return sources;
}

function innerFiles(files: readonly NamedBytes[], zip: string, problems: Problem[], refused: Problem[]): Incoming[] {
  if (files.length === 0)
    problems.push(stop('zip-nothing', `${zip} holds no file.`, 'Pack the files again.', { file: zip }));
  return files.flatMap((file) => {
    const shown = `${zip}/${file.name}`;
    const why =
      isZip(file) && !isWorkbookName(file.name) ? refuse('zip-in-zip', shown) : refusedByContent(file.bytes, shown);
    if (why) refused.push(why);
    return why ? [] : [{ path: file.name, shown, input: zip, bytes: file.bytes }];
  });
}

/** By its first bytes, or by a name that promises one: a workbook is a zip too, whatever it is called. */
const isZip = ({ name, bytes }: NamedBytes): boolean =>
  /\.zip$/i.test(name) || (bytes[0] === 0x50 && bytes[1] === 0x4b && (bytes[2] === 3 || bytes[2] === 5));

/** A workbook is a zip that its own reader opens. */
const isWorkbookName = (name: string): boolean => /\.xls[xm]$/i.test(name);

const emptyFile = (name: string): Problem =>
  stop('file-empty', `${name} is empty: 0 bytes.`, 'Copy or send the file again.', { file: name });
