import { caution, type Problem, stop } from '../base/problem.ts';
import type { Dataset } from '../formats/types.ts';
import type { Draft } from './drafts.ts';
import { kindOf } from './listing.ts';
import type { Mapping } from './mapping.ts';
import type { SoilSettings } from './settings.ts';

/** Decisions that find no row, or that a later one overrules: `soil-decision-unused`. */
export function unusedDecisions(settings: SoilSettings, drafts: readonly Draft[]): readonly Problem[] {
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

/** Words on two ids of which one is not there: `soil-same-id-unused`. */
export function unusedSameIds(
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
export function densityAsked(lab: Mapping, settings: SoilSettings): Problem | null {
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

/** More rows than a soil test has. */
export const tooMany = (count: number, most: number, file: string): Problem =>
  stop(
    'soil-too-many',
    `A soil test of ${count.toLocaleString('en-US')} points is more than this reads: is it yield or sensor data?`,
    `Choose the file with the lab values, or leave at most ${most.toLocaleString('en-US')} rows for the field.`,
    { file },
  );

/** Columns that a sentence names before it counts the rest. */
const NAMED = 24;
const columnsOf = ({ columns }: Dataset): string =>
  columns.length > NAMED
    ? `${columns.slice(0, NAMED).join(', ')} and ${columns.length - NAMED} more`
    : columns.join(', ');

/** No column is K. */
export const noK = (samples: Dataset, file: string): Problem =>
  stop(
    'soil-no-k-column',
    `No column of ${file} is said to hold K.`,
    `Say which one does. The columns are: ${columnsOf(samples)}.`,
    { file, setting: 'soil.sampleColumns' },
  );

/** What can be done with one test of a whole field. */
export const WHOLE_FIELD =
  'One test stands for the whole field, as one zone, where no sample points are given: leave out their file (start-plan without --points; in the window take the file of points out). A map of K needs more samples, each with its place.';

/** No column of a join is the id. */
export const noId = (mapping: Mapping, dataset: Dataset, oneTest = false): Problem =>
  stop(
    'soil-no-id-column',
    `No column of ${mapping.file} is said to hold the sample id, which joins points and lab values.`,
    oneTest ? WHOLE_FIELD : `Say which one does. The columns are: ${columnsOf(dataset)}.`,
    { file: mapping.file },
  );

/** Every row is set aside, with the commonest reason. */
export function noneKept(rows: readonly Draft[], file: string): Problem {
  const kinds = new Map<string, Problem[]>();
  for (const row of rows)
    for (const reason of row.reasons.slice(-1)) {
      const kind = kindOf(reason);
      const alike = kinds.get(kind);
      if (alike) alike.push(reason);
      else kinds.set(kind, [reason]);
    }
  const [most = []] = [...kinds.values()].sort((a, b) => b.length - a.length);
  const [why] = most;
  const times = most.length === rows.length ? 'all for one reason' : `${most.length} for one reason`;
  return stop(
    'soil-none-kept',
    rows.length === 1
      ? `The one row of ${file} cannot be used: ${why?.message ?? 'see the row'}`
      : `None of the ${rows.length} rows of ${file} can be used; they are set aside, ${times}: ${why?.message ?? 'see the rows'}`,
    why?.remedy ?? 'See the reasons of the rows.',
    { file },
  );
}
