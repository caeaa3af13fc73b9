import { caution, fail, note, ok, type Problem, type Result, stop } from '../../base/problem.ts';
import { lbPerAc, lbPerAcToKgPerHa, toAcres } from '../../base/units.ts';
import { readFiles } from '../../formats/read.ts';
import { count, listed } from '../../formats/say.ts';
import type { Dataset, NamedBytes } from '../../formats/types.ts';
import { area_m2 } from '../../geo/area.ts';
import { cleanPolygons } from '../../geo/clean.ts';
import type { MultiPolygon } from '../../geo/types.ts';
import { chooseColumn, MOST_RATE, rateCandidates, rateCell, wordsOf } from './column.ts';
import { gather, NOTHING_ASKED, unlike } from './gather.ts';
import { plainlySound } from './melt.kernel.ts';
import { lookAtTaskData, taskDataOf } from './task-data.ts';
import type { Asked, Looked, OpenedPiece, OpenedPrescription, Told } from './types.ts';
import { findUnit, type UnitFound, unitOfFile } from './unit.ts';

const PRODUCT = /^ (products?|materials?|fertili[sz]er|prod name|product name) $/;
const PASS = /^ (pass|pass name) $/;

/**
 * A prescription out of some file, ours or anyone's: polygons with a rate, as a shapefile (zip or loose parts) or GeoJSON;
 * or the grid of ISO 11783-10 task data (`lookAtTaskData`).
 * The rate column and its unit are found, or asked for by a Problem; neither is ever guessed between two that fit alike.
 * Acres are on the WGS84 ellipsoid, rates in lb/ac (NaN where a record gives none), pounds acres x rate.
 *
 * Nothing is dropped in silence: records = pieces + those set aside, and the Problems list them.
 * Problems: those of `readFiles`; `back-points`, `back-no-polygons`, `back-layer-which`, `back-layer-unknown`; those of
 * `chooseColumn` and `findUnit`; `back-nothing` (no record can be used). Cautions: `back-invalid` and `back-no-shape`
 * (set aside), `back-rate-blank`, `back-rate-text`, `back-rate-negative`, `back-rate-large` (no rate on that ground),
 * `back-overlap`; notes `back-rate-taken`, `back-overlap-unknown`, `back-beside` (files that are no prescription).
 * Cost: about linear in the positions.
 */
export const readPrescription = (files: readonly NamedBytes[], told: Told = {}): Result<OpenedPrescription> =>
  lookAtPrescription(files, told).read;

/** The same, with what can be chosen about the file: also where it cannot be read before something is chosen. */
export function lookAtPrescription(files: readonly NamedBytes[], told: Told = {}): Looked {
  const taskData = taskDataOf(files);
  if (taskData) {
    const look = lookAtTaskData(taskData, told);
    const others = files.filter((file) => file !== taskData).map(({ name }) => name);
    return { ...look, read: { ...look.read, problems: [...look.read.problems, ...besideNote(others)] } };
  }
  const whole = readFiles(files, told.crs === undefined ? {} : { crs: told.crs });
  if (!whole.ok) return { asked: NOTHING_ASKED, read: whole };
  const polygons = whole.value.filter(({ geometry }) => geometry === 'polygon' || geometry === 'mixed');
  const names = unlike(polygons.map(({ name }) => name));
  const layers = polygons.map((layer, i): Dataset => ({ ...layer, name: names[i] ?? layer.name }));
  const read = layers.length > 0 ? withoutBeside(whole) : whole;
  const layer = chooseLayer(whole.value, layers, told.layer);
  const named = { ...NOTHING_ASKED, layers: names };
  if (!layer.ok) return { asked: named, read: fail(...read.problems, ...layer.problems) };
  const dataset = layer.value;
  const file = dataset.files[0] ?? dataset.name;
  const candidates = rateCandidates(dataset);
  const column = chooseColumn(dataset, candidates, told.column, file);
  const asked = { ...named, layer: dataset.name, candidates };
  if (!column.ok) return { asked, read: fail(...read.problems, ...column.problems) };
  const own = unitOfFile(dataset, column.value, files);
  const unit = findUnit(dataset, column.value, told.unit, files, file);
  const chosen: Asked = {
    ...asked,
    column: column.value,
    unit: unit.ok ? unit.value.unit : null,
    unitOpen: own === null || own === 'mixed',
  };
  const before = [...read.problems, ...column.problems];
  if (!unit.ok) return { asked: chosen, read: fail(...before, ...unit.problems) };
  const opened = open(dataset, column.value, unit.value, file);
  return { asked: chosen, read: { ...opened, problems: [...before, ...unit.problems, ...opened.problems] } };
}

/** Files that lie beside a prescription and are none: texts go without a word, the rest is named once. */
const BESIDE = /\.(txt|md|csv|xlsx?|tiff?|png|jpe?g|pdf|html?)$/i;
const TEXT = /\.(txt|md)$/i;

function withoutBeside(read: { readonly problems: readonly Problem[] }): { readonly problems: readonly Problem[] } {
  const beside = new Set<string>();
  const kept = read.problems.filter(({ code, at }) => {
    const file = at?.file;
    if (file === undefined || (code !== 'geojson-type' && !BESIDE.test(file))) return true;
    beside.add(file);
    return false;
  });
  return { problems: [...kept, ...besideNote([...beside].filter((name) => !TEXT.test(name)))] };
}

const MOST_NAMED = 5;
function besideNote(names: readonly string[]): Problem[] {
  if (names.length === 0) return [];
  const rest = names.length - MOST_NAMED;
  const message = `Not looked at: ${names.slice(0, MOST_NAMED).join(', ')}${rest > 0 ? ` and ${rest} more` : ''}.`;
  return [note('back-beside', message, 'Open a file by itself to look at it.')];
}

function chooseLayer(all: readonly Dataset[], layers: readonly Dataset[], told: string | undefined): Result<Dataset> {
  const [first] = layers;
  const names = all.map(({ name }) => name).join(', ');
  if (told !== undefined) {
    const found = layers.find(({ name }) => name === told);
    if (found) return ok(found);
    return fail(stop('back-layer-unknown', `There is no ${told} among ${names}.`, 'Choose one of them.'));
  }
  if (!first) {
    const points = all.find(({ geometry }) => geometry === 'point' || geometry === 'line');
    if (points) {
      const kind = points.geometry === 'point' ? 'points' : 'lines';
      return fail(
        stop(
          'back-points',
          `${points.files[0] ?? points.name} holds ${kind}, and a prescription is made of polygons: a point says nothing of the ground about it.`,
          'Export the prescription as polygons. What a spreader recorded on its way is not a prescription.',
          { file: points.files[0] ?? points.name },
        ),
      );
    }
    return fail(
      stop(
        'back-no-polygons',
        `${names} holds no polygons.`,
        'Choose a shapefile or GeoJSON with polygons and a rate.',
      ),
    );
  }
  if (layers.length === 1) return ok(first);
  return fail(
    stop(
      'back-layer-which',
      `There are ${layers.length} layers of polygons: ${layers.map(({ name }) => name).join(', ')}.`,
      'Say which is to be opened, or open one file at a time.',
    ),
  );
}

/** Rows by what is the matter with them. */
type Rows = Record<'invalid' | 'noShape' | 'blank' | 'text' | 'negative' | 'large', number[]>;

function open(dataset: Dataset, column: string, { unit, from }: UnitFound, file: string): Result<OpenedPrescription> {
  const at = dataset.columns.indexOf(column);
  const perUnit = unit === 'kg/ha' ? 1 / lbPerAcToKgPerHa(lbPerAc(1)) : 1;
  const rows: Rows = { invalid: [], noShape: [], blank: [], text: [], negative: [], large: [] };
  const pieces: OpenedPiece[] = [];
  for (const record of dataset.records) {
    const { row, geometry } = record;
    const polygons = geometry?.type === 'MultiPolygon' ? soundOrNull(geometry.polygons) : [];
    if (polygons === null || polygons.length === 0) {
      rows[polygons === null ? 'invalid' : 'noShape'].push(row);
      continue;
    }
    const acres = toAcres(area_m2(polygons));
    const figure = figureOf(record.cells[at] ?? null, dataset.decimal, row, rows);
    pieces.push({ row, polygons, acres, rate_lbPerAc: figure * perUnit, asWritten: figure });
  }
  const told = rowProblems(rows, column, file);
  if (pieces.length === 0)
    return fail(...told, stop('back-nothing', `No record of ${file} can be used.`, 'Export it again.', { file }));
  const { value, problems } = gather(
    {
      name: dataset.name,
      files: dataset.files,
      format: dataset.format === 'geojson' ? 'geojson' : 'shapefile',
      column,
      unit,
      unitFrom: from,
      product: textOf(dataset, besides(dataset, column, PRODUCT, true)),
      pass: textOf(dataset, besides(dataset, column, PASS, false)),
      records: dataset.records.length,
    },
    pieces,
    file,
  );
  return ok(value, [...told, ...problems]);
}

/** As given where it is sound, mended where that changes no ground, null where it crosses itself or holds none. */
function soundOrNull(polygons: MultiPolygon): MultiPolygon | null {
  if (polygons.every(plainlySound) && polygons.length === 1) return polygons;
  const judged = cleanPolygons(polygons, {});
  if (!judged.ok) return null;
  return judged.problems.length === 0 ? polygons : judged.value;
}

function figureOf(
  cell: Dataset['records'][number]['cells'][number],
  decimal: Dataset['decimal'],
  row: number,
  rows: Rows,
): number {
  const { kind, value } = rateCell(cell, decimal);
  const wrong =
    kind === 'blank'
      ? rows.blank
      : kind !== 'number'
        ? rows.text
        : value < 0
          ? rows.negative
          : value > MOST_RATE
            ? rows.large
            : null;
  wrong?.push(row);
  // A zero with a sign is a zero.
  return wrong ? Number.NaN : value + 0;
}

const numberIn = (name: string): number => Number(/ (\d+) $/.exec(wordsOf(name))?.[1] ?? 1);

/** The column of such a name that goes with a rate column: RATE_2 with PRODUCT_2; a pass's with all rates up to the next one's. */
function besides({ columns }: Dataset, rate: string, name: RegExp, exactly: boolean): number {
  const of = numberIn(rate);
  const fits = columns.flatMap((column, at) => {
    const number = numberIn(column);
    const same = name.test(wordsOf(column).replace(/ \d+ $/, ' '));
    return same && (exactly ? number === of : number <= of) ? [{ at, number }] : [];
  });
  return fits.sort((a, b) => b.number - a.number)[0]?.at ?? -1;
}

/** What all records agree on in a column; several are listed, none is empty. */
function textOf({ records }: Dataset, at: number): string {
  if (at < 0) return '';
  const texts = new Set(records.map((record) => String(record.cells[at] ?? '').trim()).filter((text) => text !== ''));
  const some = [...texts].slice(0, 3).join(', ');
  return texts.size > 3 ? `${some} and ${texts.size - 3} more` : some;
}

function rowProblems(rows: Rows, column: string, file: string): Problem[] {
  const say = (list: readonly number[], code: string, message: string, remedy: string): Problem[] =>
    list.length === 0
      ? []
      : [caution(code, message, remedy, { file, ...(list[0] === undefined ? {} : { feature: list[0] }) })];
  const these = (list: readonly number[]): string => listed('record', list);
  const noRate = 'Settle what is to be spread there before the file is used: machines differ in what they make of it.';
  return [
    ...say(
      rows.invalid,
      'back-invalid',
      `${count(rows.invalid.length, 'record')} with outlines that cross themselves or hold no ground, set aside: ${these(rows.invalid)}.`,
      'Mend the outlines in the program that wrote them.',
    ),
    ...say(
      rows.noShape,
      'back-no-shape',
      `${count(rows.noShape.length, 'record')} without a polygon, set aside: ${these(rows.noShape)}.`,
      'Check that nothing is missing on the map.',
    ),
    ...say(
      rows.blank,
      'back-rate-blank',
      `${column} is blank in ${these(rows.blank)}: no rate is given there.`,
      noRate,
    ),
    ...say(
      rows.text,
      'back-rate-text',
      `${column} is no figure in ${these(rows.text)}: no rate is given there.`,
      noRate,
    ),
    ...say(
      rows.negative,
      'back-rate-negative',
      `${column} is below 0 in ${these(rows.negative)}, which is no rate.`,
      noRate,
    ),
    ...say(
      rows.large,
      'back-rate-large',
      `${column} is above 100,000 in ${these(rows.large)}, which is no rate.`,
      noRate,
    ),
  ];
}
