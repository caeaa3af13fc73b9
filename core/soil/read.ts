import { caution, fail, ok, type Place, type Problem, type Result, stop } from '../base/problem.ts';
import { parseCrs } from '../formats/crs.ts';
import type { Dataset } from '../formats/types.ts';
import { area_m2 } from '../geo/area.ts';
import { bounds } from '../geo/bounds.ts';
import { intersection } from '../geo/clip.ts';
import { widestSpot } from '../geo/spot.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { type Draft, decisionsOn, type LabDraft, rowOf, setAside } from './drafts.ts';
import { judgeDuplicates } from './duplicates.ts';
import { conversionOf } from './extraction.ts';
import { idText } from './ids.ts';
import { byHand, joinPoints, keptByHand, readPoints } from './join.ts';
import { listProblems } from './listing.ts';
import { withoutLowerHeader } from './lower-header.ts';
import { cellOf, fileOf, type Mapping, mapColumns } from './mapping.ts';
import {
  anotherField,
  distanceText,
  edgeDistance_m,
  hasPlaces,
  spotOf,
  swappedColumns,
  type ToDegrees,
  touches,
} from './places.ts';
import { samplesOf } from './samples.ts';
import { sentencesOf } from './sentences.ts';
import { chooseSeries } from './series.ts';
import type { SoilSettings } from './settings.ts';
import type { NearMiss, SoilOut, SoilSample } from './types.ts';
import { readValues } from './values.ts';

/**
 * Most samples of one field that are read (ours: some 60 an acre on half a section, where a dense grid has one). More
 * are readings of a sensor or of a harvest.
 */
export const MOST_SAMPLES = 20_000;

export interface SoilInput {
  /** Sample points by id; null where the lab file has its own places. */
  readonly points: Dataset | null;
  readonly samples: Dataset;
  /** The field: samples outside of it are set aside. */
  readonly boundary: MultiPolygon;
  readonly settings: SoilSettings;
}

/**
 * Clean samples out of a lab table: every row kept, or set aside with its reason. Rows read = rows kept + rows set aside.
 *
 * Places come from `points` by sample id, else from the file's own shapes (points, or polygons: zone composites), else from its
 * longitude and latitude columns; a table without any of them and with one test in use is a composite of the whole field. Settings
 * without columns are filled by `guessColumns`. Lines of units and methods under the header are no rows (`lowerHeader`). Of several years
 * and depths one is used (`chooseSeries`). `settings.decisions` go before every judgement but one: a row without a K value, or without a
 * place, cannot be kept.
 *
 * Stops: `soil-empty`, `soil-no-k-column`, `soil-no-id-column`, `soil-no-places`, `soil-crs-missing`, `soil-no-join`, `soil-density` (mg/L
 * and no density), `soil-no-series`, `soil-swapped`, `soil-another-field`, `soil-too-many` (over `MOST_SAMPLES`), `soil-none-kept`, and
 * those of `mapColumns`. Rows set aside: `soil-other-series`, `soil-k-missing`, `soil-k-not-a-number`, `soil-not-detected`,
 * `soil-below-limit`, `soil-above-limit`, `soil-out-of-bounds`, `soil-other-unit`, `soil-density`, `soil-no-id`, `soil-no-point`,
 * `soil-no-place`, `soil-outside`, `soil-repeat`, `soil-duplicate`, `soil-by-hand`, `soil-point-among-zones`; points:
 * `soil-point-unused`, `soil-point-twice`, `soil-point-no-id`. Cautions on kept rows come from `readValues`, `joinPoints`,
 * `judgeDuplicates`, `samplesOf` and `chemistryOf`; on settings from `conversionOf`, `soil-decision-unused`, `soil-same-id-unused`.
 * Cost: rows x boundary positions.
 */
export function readSoil(input: SoilInput): Result<SoilOut> {
  const { points, samples, boundary, settings } = input;
  const file = fileOf(samples);
  const body = withoutLowerHeader(samples);
  if (body.records.length === 0)
    return fail(stop('soil-empty', `${file} has no rows.`, 'Choose the file with the lab values.', { file }));
  const lab = mapColumns(samples, settings.sampleColumns, points, 'soil.sampleColumns');
  if (!lab.ok) return lab;
  if (!lab.value.of.has('k')) return fail(...lab.problems, noK(samples, file));
  const placing = points ? mapColumns(points, settings.pointColumns, samples, 'soil.pointColumns') : ok(lab.value);
  if (!placing.ok) return fail(...lab.problems, ...placing.problems);
  const before = [...lab.problems, ...placing.problems];
  if (points) {
    for (const mapping of [lab.value, placing.value])
      if (!mapping.of.has('sampleId')) return fail(...before, noId(mapping, mapping === lab.value ? samples : points));
  }
  const densities = densityAsked(lab.value, settings);
  if (densities) return fail(...before, densities);
  const rows = readRows(body, lab.value, settings);
  const series = chooseSeries(rows, lab.value, settings);
  if (!series.ok) return fail(...before, ...series.problems);
  const tests = rows.filter((row) => !row.otherSeries);
  for (const row of tests) judgeValues(row);

  const places = placeAll({ ...input, samples: body }, rows, lab.value, placing.value);
  if (!places.ok) {
    // The doubt on the latitude column says the same as that the two are exchanged.
    const exchanged = places.problems.find(({ code }) => code === 'soil-swapped');
    const isSame = ({ code, at }: Problem): boolean => code === 'soil-guess' && at?.column === exchanged?.at?.column;
    return fail(...(exchanged ? before.filter((problem) => !isSame(problem)) : before), ...places.problems);
  }
  const { pointDrafts, nearMisses, whole } = places.value;

  const spots = tests.flatMap((row) => (row.spot ? [row.spot] : []));
  const allOutside = rows.some((row) => row.decision?.keep === true)
    ? null
    : anotherField(boundary, spots, fileOf(points ?? samples));
  if (allOutside) return fail(...before, allOutside);
  for (const row of tests) judgePlace(row, boundary);
  const usable = rows.reduce((sum, row) => sum + (row.aside ? 0 : 1), 0);
  if (usable > MOST_SAMPLES) return fail(...before, tooMany(usable, file));
  judgeMixed(rows);
  judgeDuplicates(rows, lab.value.of.get('sampleId')?.column);
  for (const row of rows) if (!row.aside && row.decision?.keep === true) keptByHand(row);

  const keptRows = rows.filter((row) => !row.aside);
  const conversion = conversionOf(settings);
  const { samples: kept, differences } = samplesOf(keptRows, settings, conversion.factor);
  const outRows = rows.map(rowOf);
  const pointRows = pointDrafts.filter((draft) => draft.aside).map(rowOf);
  const problems = [
    ...before,
    ...places.problems,
    ...conversion.problems,
    ...unusedDecisions(settings, [...rows, ...pointDrafts]),
    ...unusedSameIds(settings, rows, pointDrafts, lab.value),
    ...listProblems([...outRows, ...pointRows]),
    ...overlaps(kept),
  ];
  if (kept.length === 0) return fail(noneKept(tests, file), ...problems);
  const counts = { read: rows.length, kept: keptRows.length, setAside: rows.length - keptRows.length };
  return ok(
    {
      samples: kept,
      rows: outRows,
      pointRows,
      columns: samples.columns,
      kind: kept.some((sample) => sample.polygons) ? 'composites' : 'points',
      factors: settings.factors,
      ...counts,
      series: series.value,
      differences,
      nearMisses,
      extractant: conversion.extractant,
      reading: sentencesOf({
        samples,
        lab: lab.value,
        points,
        pointIds: points ? placing.value : null,
        settings,
        kept,
        counts,
        whole,
        series: series.value,
        differences,
        nearMisses,
        conversion,
      }),
    },
    problems,
  );
}

interface Placed {
  readonly pointDrafts: readonly Draft[];
  readonly nearMisses: readonly NearMiss[];
  /** The one test stands for the whole field. */
  readonly whole: boolean;
}

/** Gives the rows their places, from wherever they come. */
function placeAll(
  { points, samples, boundary, settings }: SoilInput,
  rows: readonly LabDraft[],
  lab: Mapping,
  placing: Mapping,
): Result<Placed> {
  const source = points ?? samples;
  if (!hasPlaces(source, placing)) {
    const [only, ...others] = rows.filter((row) => !row.otherSeries);
    if (points || !only || others.length > 0) return fail(noPlaces(source));
    only.spot = { at: widestSpot(boundary), polygons: boundary };
    return ok({ pointDrafts: [], nearMisses: [], whole: true });
  }
  const toDegrees = coordinates(source, placing, settings);
  if (!toDegrees.ok) return toDegrees;
  const exchanged = swappedColumns(boundary, source, placing, toDegrees.value);
  if (exchanged) return fail(exchanged);
  if (!points) {
    placeRows(rows, samples, lab, toDegrees.value);
    return ok({ pointDrafts: [], nearMisses: [], whole: false }, toDegrees.problems);
  }
  const pointDrafts = readPoints(points, placing, settings, toDegrees.value);
  const joined = joinPoints(rows, pointDrafts, lab, settings.sameIds);
  if (!joined.ok) return fail(...joined.problems, ...listProblems(rows.map(rowOf)));
  return ok({ pointDrafts, nearMisses: joined.value, whole: false }, toDegrees.problems);
}

function readRows(samples: Dataset, lab: Mapping, settings: SoilSettings): readonly LabDraft[] {
  const decisionOn = decisionsOn(lab.file, settings);
  return samples.records.map((record): LabDraft => {
    const decision = decisionOn(record.row);
    const values = readValues(record, samples, lab, settings, decision?.keep === true);
    return {
      file: lab.file,
      record,
      id: idText(cellOf(record, lab, 'sampleId')),
      decision,
      spot: null,
      aside: false,
      reasons: [],
      bad: new Set(),
      values,
      point: null,
      otherSeries: false,
    };
  });
}

/** A person's word first, then what the values say. Rows of another year or depth are not judged. */
function judgeValues(row: LabDraft): void {
  const { values } = row;
  row.reasons.push(...values.watch);
  for (const column of values.badColumns) row.bad.add(column);
  if (row.decision?.keep === false) byHand(row);
  for (const reason of values.against) setAside(row, reason);
  if (values.slice.top_in > 0)
    row.reasons.push(
      caution(
        'soil-subsoil',
        `The sample is from ${values.slice.told}, below the surface.`,
        'Set it aside unless it stands for the plow layer.',
        { file: row.file, row: row.record.row },
      ),
    );
}

function placeRows(rows: readonly LabDraft[], samples: Dataset, lab: Mapping, toDegrees: ToDegrees): void {
  for (const row of rows) {
    const spot = spotOf(row.record, samples, lab, toDegrees);
    if (typeof spot !== 'string') row.spot = spot;
    else if (!row.otherSeries)
      setAside(
        row,
        caution('soil-no-place', `The row cannot be placed: ${spot}.`, 'Correct its place.', {
          file: row.file,
          row: row.record.row,
        }),
        samples.geometry === 'none' ? lab.of.get('lng')?.column : undefined,
      );
  }
}

function judgePlace(row: Draft, boundary: MultiPolygon): void {
  if (!row.spot || touches(boundary, row.spot)) return;
  const at: Place = { file: row.file, row: row.record.row, lngLat: [row.spot.at[0], row.spot.at[1]] };
  const away = distanceText(edgeDistance_m(boundary, row.spot.at));
  const message = `The sample lies outside the field, ${away} from its boundary`;
  if (row.decision?.keep === true)
    row.reasons.push(caution('soil-outside', `${message}, and is kept by hand.`, 'Nothing is to be done.', at));
  else
    setAside(
      row,
      caution('soil-outside', `${message}.`, 'Correct its place, or keep it by hand if it stands for this field.', at),
    );
}

/** Points and zones cannot be read together: where a usable row stands for a zone, points are set aside. */
function judgeMixed(rows: readonly LabDraft[]): void {
  if (!rows.some((row) => !row.aside && row.spot?.polygons)) return;
  for (const row of rows)
    if (!row.aside && row.spot && !row.spot.polygons)
      setAside(
        row,
        caution(
          'soil-point-among-zones',
          'The sample is a point, and the others stand for zones.',
          'Give points and zones in files of their own, and take one of them.',
          { file: row.file, row: row.record.row },
        ),
      );
}

/** How coordinate columns become degrees. A geographic system that was told is respected; a projected one only where columns are not degrees. */
function coordinates(source: Dataset, mapping: Mapping, settings: SoilSettings): Result<ToDegrees> {
  if (source.geometry !== 'none') return ok(null);
  const degrees = mapping.of.get('lng')?.unit === 'deg';
  if (settings.crs === null) {
    if (degrees) return ok(null);
    return fail(
      stop(
        'soil-crs-missing',
        `The coordinates of ${mapping.file} are no degrees, and no coordinate system is told.`,
        'Give the coordinate system, such as EPSG:32615, or the text of its .prj.',
        { file: mapping.file, setting: 'soil.crs' },
      ),
    );
  }
  const crs = parseCrs(settings.crs, mapping.file);
  if (!crs.ok) return crs;
  return degrees && crs.value.kind === 'projected' ? ok(null) : ok(crs.value.toLngLat, crs.problems);
}

function overlaps(samples: readonly SoilSample[]): readonly Problem[] {
  const found: Problem[] = [];
  const zones = samples.flatMap((one) => (one.polygons ? [{ ...one, polygons: one.polygons }] : []));
  const boxes = zones.map(({ polygons }) => bounds(polygons));
  zones.forEach((one, index) => {
    for (let before = 0; before < index; before++) {
      const other = zones[before];
      const [a, b] = [boxes[index], boxes[before]];
      if (!other || !a || !b || a.west > b.east || b.west > a.east || a.south > b.north || b.south > a.north) continue;
      const shared_m2 = area_m2(intersection(one.polygons, other.polygons));
      // Two drawings of one line may cross by a hand's breadth: 40 m2 is a hundredth of an acre.
      if (shared_m2 < 40) continue;
      found.push(
        caution(
          'soil-zones-overlap',
          `The zones "${other.id}" and "${one.id}" share ${(shared_m2 / 4046.8564224).toFixed(2)} ac.`,
          'Correct the outlines; until then the larger share of each cell decides.',
          { file: one.file, row: one.row },
        ),
      );
    }
  });
  return found;
}

function unusedDecisions(settings: SoilSettings, drafts: readonly Draft[]): readonly Problem[] {
  const used = new Set(drafts.map((draft) => draft.decision));
  return settings.decisions
    .filter((decision) => !used.has(decision))
    .map((decision) =>
      caution(
        'soil-decision-unused',
        `The word on row ${decision.row} of ${decision.file} finds no such row, or a later word stands.`,
        'Look at the row again, and take the decision back if it is out of date.',
        { file: decision.file, row: decision.row, setting: 'soil.decisions' },
      ),
    );
}

function unusedSameIds(
  settings: SoilSettings,
  rows: readonly Draft[],
  points: readonly Draft[],
  lab: Mapping,
): readonly Problem[] {
  const inLab = new Set(rows.map((row) => row.id));
  const inPoints = new Set(points.map((point) => point.id));
  return settings.sameIds
    .filter((pair) => !inLab.has(pair.lab) || !inPoints.has(pair.point))
    .map(({ lab: id, point }) =>
      caution(
        'soil-same-id-unused',
        `"${id}" and "${point}" are said to be one sample, and ${inLab.has(id) ? `no point is "${point}"` : `no row of ${lab.file} is "${id}"`}.`,
        'Take the word back, or correct the id.',
        { file: lab.file, setting: 'soil.sameIds' },
      ),
    );
}

/** A stop where a column is in mg/L and nothing tells the density: it asks for it. */
function densityAsked(lab: Mapping, settings: SoilSettings): Problem | null {
  if (settings.scooped_gPerCm3 !== null || lab.of.has('density')) return null;
  const use = [...lab.of.values()].find((one) => one.unit === 'mg/L');
  if (!use) return null;
  return stop(
    'soil-density',
    `Column "${use.column}" is in mg/L, and ppm = mg/L / density: the density of the scooped soil is not known.`,
    'Ask the lab for the g/cm3 that its scoop holds and give it under Soil, or say which column holds it.',
    { file: lab.file, column: use.column, setting: 'soil.scooped_gPerCm3' },
  );
}

const tooMany = (count: number, file: string): Problem =>
  stop(
    'soil-too-many',
    `A soil test of ${count.toLocaleString('en-US')} points is more than this reads: is it yield or sensor data?`,
    `Choose the file with the lab values, or leave at most ${MOST_SAMPLES.toLocaleString('en-US')} rows for the field.`,
    { file },
  );

const noK = (samples: Dataset, file: string): Problem =>
  stop(
    'soil-no-k-column',
    `No column of ${file} is said to hold K.`,
    `Say which one does. The columns are: ${samples.columns.join(', ')}.`,
    { file, setting: 'soil.sampleColumns' },
  );

const noId = (mapping: Mapping, dataset: Dataset): Problem =>
  stop(
    'soil-no-id-column',
    `No column of ${mapping.file} is said to hold the sample id, which joins points and lab values.`,
    `Say which one does. The columns are: ${dataset.columns.join(', ')}.`,
    { file: mapping.file },
  );

const noPlaces = (source: Dataset): Problem =>
  stop(
    'soil-no-places',
    `${fileOf(source)} has no shapes and no columns for longitude and latitude, so its samples have no places.`,
    'Add the file of sample points, or say which columns hold longitude and latitude.',
    { file: fileOf(source) },
  );

function noneKept(rows: readonly Draft[], file: string): Problem {
  const counts = new Map<string, number>();
  for (const row of rows) for (const { code } of row.reasons.slice(-1)) counts.set(code, (counts.get(code) ?? 0) + 1);
  const [most] = [...counts].sort((a, b) => b[1] - a[1]);
  const why = rows.flatMap((row) => row.reasons).find((reason) => reason.code === most?.[0]);
  return stop(
    'soil-none-kept',
    `None of the ${rows.length} rows of ${file} can be used; most are set aside for one reason: ${why?.message ?? 'see the rows'}`,
    why?.remedy ?? 'See the reasons of the rows.',
    { file },
  );
}
