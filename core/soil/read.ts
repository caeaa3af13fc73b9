import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import type { Dataset } from '../formats/types.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { Slice } from './depth.ts';
import { decisionsOn, type LabDraft, rowOf, setAside } from './drafts.ts';
import { judgeDuplicates } from './duplicates.ts';
import { conversionOf } from './extraction.ts';
import { idText, isSummaryName, summaryRows } from './ids.ts';
import { byHand, keptByHand } from './join.ts';
import { listProblems } from './listing.ts';
import { withoutLowerHeader } from './lower-header.ts';
import { cellOf, fileOf, type Mapping, mapColumns } from './mapping.ts';
import { anotherField } from './places.ts';
import { judgeMixed, judgePlace, overlaps, placeAll } from './placing.ts';
import { densityAsked, noId, noK, noneKept, tooMany, unusedDecisions, unusedSameIds } from './read-problems.ts';
import { samplesOf } from './samples.ts';
import { sentencesOf } from './sentences.ts';
import { chooseSeries } from './series.ts';
import type { SoilSettings } from './settings.ts';
import type { SoilOut } from './types.ts';
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
 * those of `mapColumns`. Rows set aside: `soil-summary-row`, `soil-other-series`, `soil-k-missing`, `soil-k-not-a-number`, `soil-not-detected`,
 * `soil-below-limit`, `soil-above-limit`, `soil-out-of-bounds`, `soil-other-unit`, `soil-density`, `soil-no-id`, `soil-no-point`,
 * `soil-no-place`, `soil-outside`, `soil-repeat`, `soil-earlier-date`, `soil-depth-in-id`, `soil-duplicate`, `soil-by-hand`, `soil-point-among-zones`; points:
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
      if (!mapping.of.has('sampleId'))
        return fail(...before, noId(mapping, mapping === lab.value ? samples : points, body.records.length === 1));
  }
  const densities = densityAsked(lab.value, settings);
  if (densities) return fail(...before, densities);
  const all = readRows(body, lab.value, settings);
  const summaries = summaryRows(body.records, lab.value.of.get('sampleId')?.index);
  const isSummary = (row: LabDraft, index: number): boolean => summaries.has(index) && row.decision?.keep !== true;
  all.filter(isSummary).forEach((row) => {
    judgeSummary(row, lab.value);
  });
  const rows = all.filter((row, index) => !isSummary(row, index));
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
  if (usable > MOST_SAMPLES) return fail(...before, tooMany(usable, MOST_SAMPLES, file));
  judgeMixed(rows);
  judgeDuplicates(rows, lab.value, samples.columns);
  for (const row of rows) if (!row.aside && row.decision?.keep === true) keptByHand(row);

  const keptRows = rows.filter((row) => !row.aside);
  const conversion = conversionOf(settings);
  const { samples: kept, differences } = samplesOf(keptRows, settings, conversion.factor);
  const outRows = all.map(rowOf);
  const pointRows = pointDrafts.filter((draft) => draft.aside).map(rowOf);
  const problems = [
    ...before,
    ...series.problems,
    ...places.problems,
    ...conversion.problems,
    ...unusedDecisions(settings, [...all, ...pointDrafts]),
    ...unusedSameIds(settings, rows, pointDrafts, lab.value),
    ...listProblems([...outRows, ...pointRows]),
    ...overlaps(kept),
  ];
  if (kept.length === 0) return fail(noneKept(tests, file), ...problems);
  const counts = { read: all.length, kept: keptRows.length, setAside: all.length - keptRows.length };
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

function readRows(samples: Dataset, lab: Mapping, settings: SoilSettings): readonly LabDraft[] {
  const decisionOn = decisionsOn(lab.file, settings);
  return samples.records.map((record): LabDraft => {
    const decision = decisionOn(record.row);
    const told = readValues(record, samples, lab, settings, decision?.keep === true);
    const values = {
      ...told,
      ...(lab.year === null ? {} : { year: lab.year }),
      ...(lab.depth === null || !isAsSet(lab.depth, settings) ? {} : { slice: lab.depth }),
    };
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

/** Whether the ground that a sheet's name tells is as thick as the depth set: what was set otherwise stands. */
const isAsSet = ({ top_in, bottom_in }: Slice, { depth_in }: SoilSettings): boolean =>
  Math.abs(bottom_in - top_in - depth_in) < 0.1;

/** Sets a row aside that a lab or a spreadsheet put under the samples: `soil-summary-row`. */
function judgeSummary(row: LabDraft, lab: Mapping): void {
  if (row.decision?.keep === false) {
    byHand(row);
    return;
  }
  const first = idText(row.record.cells[0] ?? null);
  const name = isSummaryName(row.id) ? row.id : first;
  const column = lab.of.get('sampleId')?.column;
  setAside(
    row,
    caution(
      'soil-summary-row',
      `The row is called "${name}": a figure over other rows, or a check of the lab, and no sample.`,
      'Nothing is to be done; keep it by hand if it is a sample.',
      { file: row.file, row: row.record.row, ...(column === undefined ? {} : { column }) },
    ),
    column,
  );
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
