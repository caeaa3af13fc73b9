import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset, NamedBytes } from '../formats/types.ts';
import { CROPS } from '../rates/crops.ts';
import { guessColumns, UNITS_OF } from '../soil/guess.ts';
import { readHeader } from '../soil/headers.ts';
import { whyNoK } from '../soil/held.ts';
import { foreignUnit, howToTellK } from '../soil/how-to-tell.ts';
import { summaryRows } from '../soil/ids.ts';
import { extractantTold, withoutLowerHeader } from '../soil/lower-header.ts';
import { type RememberedMapping, recall } from '../soil/mapping-memory.ts';
import type { ColumnRole, SoilSettings } from '../soil/settings.ts';
import { noTable, otherTables, pickLab, sheetDepth } from '../soil/tables.ts';
import { placedByText } from '../soil/text-places.ts';
import type { ColumnGuess } from '../soil/types.ts';
import { howToTellBeside, withUnitBeside } from '../soil/unit-beside.ts';
import { asRemembered, columnGuesses, type ToldColumn, useOf, withTold } from './columns.ts';
import { describeInput, type OpenedPlan } from './pack.ts';
import { emptyPlan, type Plan, type PlanInput } from './schema.ts';

/** How the soil test is read, as far as it can be told when a plan starts. */
export type SoilChoices = Pick<
  SoilSettings,
  | 'sampleTable'
  | 'year'
  | 'depthTold'
  | 'scooped_gPerCm3'
  | 'conversion'
  | 'cec'
  | 'acidity'
  | 'noAcidityFrom_ph'
  | 'saturation'
  | 'tolerance_pct'
  | 'factors'
  | 'belowLimit'
  | 'aboveLimit'
  | 'notDetected'
  | 'sameIds'
>;

export interface StartInput {
  readonly name: string;
  readonly boundary: readonly NamedBytes[];
  readonly keepOut?: readonly NamedBytes[];
  readonly points?: readonly NamedBytes[];
  readonly samples: readonly NamedBytes[];
  readonly crop?: string;
  readonly yieldGoal?: number;
  readonly governs?: 'larger' | 'ppm' | 'saturation';
  readonly crs?: string;
  /** What a person says of single columns, over the guesses; each must stand in one of the tables. */
  readonly columns?: readonly ToldColumn[];
  /** Mappings that persons set for files with the same headers before; they go before the guesses. */
  readonly remembered?: readonly RememberedMapping[];
  /** Whether a table without a K column starts the plan all the same, with a caution: the host lets a person say which it is. */
  readonly askLater?: boolean;
  /** Choices of reading over the plan's own. */
  readonly soil?: Partial<SoilChoices>;
  /** Depth sampled, where no column tells it. */
  readonly depth_in?: number;
  readonly extractant?: SoilSettings['extractant'];
}

export interface StartedPlan extends OpenedPlan {
  /** Every guess made, one sentence each. */
  readonly guesses: readonly string[];
}

/**
 * A plan out of raw files: columns and units guessed from the headers and written down in it, so that the same plan
 * always reads the same; every guess is told. The stages are not run here.
 * A mapping that was set for the same headers before goes before the guesses, and a word on a single column before both.
 * Problems: those of reading; `start-crop` (unknown crop, with the list), `start-columns` (no K column was found).
 */
export function startPlan(input: StartInput): Result<StartedPlan> {
  const problems: Problem[] = [];
  const guesses: string[] = [];
  const options = input.crs === undefined ? {} : { crs: input.crs };
  const inputs = new Map<string, Uint8Array>();
  const entries: PlanInput[] = [];
  const take = (files: readonly NamedBytes[]): string[] =>
    files.map((file) => {
      const entry = describeInput(file);
      if (!inputs.has(entry.path)) {
        inputs.set(entry.path, file.bytes);
        entries.push(entry);
      }
      return entry.path;
    });

  for (const [role, files] of [
    ['boundary', input.boundary],
    ['keep-out', input.keepOut ?? []],
  ] as const) {
    if (files.length === 0) continue;
    const read = readFiles(files, options);
    problems.push(...read.problems);
    if (read.ok) for (const dataset of read.value) guesses.push(...datasetGuesses(role, dataset));
  }
  const points = readRole('points', input.points ?? [], options, problems, guesses);
  const samples = readRole('samples', input.samples, options, problems, guesses, input.soil);
  if (problems.some((problem) => problem.severity === 'stop')) return fail(...problems);

  const crop = input.crop;
  if (crop !== undefined && !CROPS.some((one) => one.id === crop)) {
    return fail(
      ...problems,
      stop('start-crop', `There is no crop "${crop}".`, `Choose one of: ${CROPS.map((one) => one.id).join(', ')}.`, {
        setting: 'rates.crop',
      }),
    );
  }
  const told = input.columns ?? [];
  const lost = told.find((one) => !points?.columns.includes(one.column) && !samples?.columns.includes(one.column));
  if (lost) {
    const all = [...(points?.columns ?? []), ...(samples?.columns ?? [])].join(', ');
    return fail(
      ...problems,
      stop('start-column', `There is no column "${lost.column}".`, `The columns are: ${all}.`, { column: lost.column }),
    );
  }
  const unitless = told.find(
    ({ column, is, unit }) => is === 'k' && unit === undefined && foreignUnit(column) !== null,
  );
  if (unitless)
    return fail(
      ...problems,
      stop(
        'start-column',
        `Column "${unitless.column}" is said to be K, and its heading names "${foreignUnit(unitless.column) ?? ''}", which K is not read in.`,
        `Say the unit too, as in --column "NAME=k:UNIT", with UNIT one of ${UNITS_OF.k.join(', ')}, or convert the figures to ppm in the file.`,
        { column: unitless.column },
      ),
    );
  const columnsOf = (
    role: 'points' | 'samples',
    dataset: Dataset | null,
    other: Dataset | null,
  ): readonly ColumnGuess[] => {
    if (!dataset) return [];
    const known = recall(input.remembered ?? [], dataset, role);
    if (known) guesses.push(`${role}: columns as you set them for a file with the same headers on ${known.on}`);
    const plain = guessColumns(dataset, other);
    const guessed = role === 'samples' ? withUnitBeside(dataset, plain) : plain;
    return withTold(known ? asRemembered(guessed, known) : guessed, told);
  };
  const pointColumns = columnsOf('points', points, samples);
  const sampleColumns = columnsOf('samples', samples, points);
  if (samples && !sampleColumns.some((guess) => guess.is === 'k')) {
    const at = { file: samples.files[0] ?? samples.name, setting: 'soil.sampleColumns' };
    const remedy = howToTellBeside(samples, sampleColumns) ?? howToTellK(samples, sampleColumns);
    const told = [whyNoK(samples, sampleColumns), remedy, at] as const;
    if (input.askLater !== true) return fail(...problems, stop('start-columns', ...told));
    problems.push(caution('start-columns', ...told));
  }
  guesses.push(...columnGuesses('points', points, pointColumns), ...columnGuesses('samples', samples, sampleColumns));

  const plain = emptyPlan(input.name);
  const whole = samples !== null && standsForAll(samples, points, sampleColumns);
  const composites = samples?.geometry === 'polygon' || whole;
  const kColumn = sampleColumns.find((guess) => guess.is === 'k')?.column;
  const heading = kColumn === undefined ? undefined : readHeader(kColumn).depth;
  const depth = heading ?? (samples ? sheetDepth(samples) : null);
  const named = samples ? extractantTold(samples, sampleColumns) : null;
  const plan: Plan = {
    ...plain,
    field: {
      ...plain.field,
      boundaryFiles: take(input.boundary),
      keepOutFiles: take(input.keepOut ?? []),
      crs: input.crs ?? null,
    },
    soil: {
      ...plain.soil,
      pointFiles: take(input.points ?? []),
      sampleFiles: take(input.samples),
      crs: input.crs ?? null,
      depth_in: input.depth_in ?? (depth ? Number((depth.bottom_in - depth.top_in).toFixed(2)) : plain.soil.depth_in),
      extractant: input.extractant ?? named?.extractant ?? plain.soil.extractant,
      ...input.soil,
      pointColumns: pointColumns.map(useOf),
      sampleColumns: sampleColumns.map(useOf),
    },
    zones: composites ? { ...plain.zones, method: 'composites' } : plain.zones,
    rates: {
      ...plain.rates,
      crop: crop ?? null,
      yieldGoal: input.yieldGoal ?? null,
      governs: input.governs ?? plain.rates.governs,
      governsTold: input.governs !== undefined,
    },
    inputs: [],
  };
  if (samples && !sampleColumns.some((guess) => guess.is === 'depth'))
    guesses.push(
      `depth: no column tells it, ${plan.soil.depth_in} in. ${input.depth_in !== undefined ? 'as told' : heading ? `as the header "${kColumn}" says` : depth ? `as the sheet's name "${samples.sheet ?? ''}" says: ${depth.told}` : 'assumed'}`,
    );
  const extractantFrom = input.extractant === undefined ? (named?.because ?? '') : 'as told';
  guesses.push(`extractant of K: ${plan.soil.extractant}${extractantFrom === '' ? '' : ` (${extractantFrom})`}`);
  guesses.push(...seriesGuesses(plan.soil, sampleColumns), ...densityGuess(plan.soil, sampleColumns));
  guesses.push(`CEC: ${plan.soil.cec}; acidity by summation H = ${plan.soil.acidity.form}`);
  guesses.push(`lb/acre: by the convention "${plan.soil.convention}"`);
  guesses.push(
    input.governs === undefined
      ? 'target: nobody said which one governs, so the larger of ppm and saturation does'
      : `target: ${input.governs === 'larger' ? 'the larger of ppm and saturation' : input.governs} governs, as told`,
  );
  if (whole)
    guesses.push('zones: the soil test has one row and no place, so it stands for the whole field as one zone');
  else if (composites)
    guesses.push('zones: the soil test comes on polygons, so each is a zone and nothing is interpolated across them');
  return ok({ plan: { ...plan, inputs: entries }, inputs, guesses }, problems);
}

function readRole(
  role: 'points' | 'samples',
  files: readonly NamedBytes[],
  options: { crs?: string },
  problems: Problem[],
  guesses: string[],
  told: Partial<SoilChoices> = {},
): Dataset | null {
  if (files.length === 0) return null;
  const read = readFiles(files, options);
  problems.push(...read.problems);
  if (!read.ok) return null;
  const picked = pickDataset(read.value, role, told);
  const dataset = picked && placedByText(picked);
  const table = told.sampleTable ?? null;
  if (!dataset && table !== null) problems.push(noTable(read.value, table));
  if (dataset && role === 'samples') problems.push(...otherTables(read.value, picked ?? dataset, table));
  if (dataset) guesses.push(...datasetGuesses(role, dataset));
  return dataset;
}

/**
 * The dataset of some files that can play the part, else the first. Points: shapes, else a table or sheet with coordinates, one without K
 * before one with it. Samples: as `pickLab` does.
 */
export function pickDataset(
  datasets: readonly Dataset[],
  role: 'points' | 'samples',
  told: Partial<Pick<SoilSettings, 'sampleTable' | 'year'>> = {},
): Dataset | null {
  if (role === 'samples') return pickLab(datasets, told);
  const roles = (one: Dataset): ReadonlySet<ColumnRole> => new Set(guessColumns(one).map((guess) => guess.is));
  const hasK = (one: Dataset): boolean => roles(one).has('k');
  const placed = datasets.filter((one) => roles(one).has('lng') && roles(one).has('lat'));
  return (
    datasets.find((one) => one.geometry === 'point') ??
    placed.find((one) => !hasK(one)) ??
    placed[0] ??
    datasets[0] ??
    null
  );
}

function datasetGuesses(role: string, dataset: Dataset): string[] {
  const file = dataset.files[0] ?? dataset.name;
  const crs = dataset.crs ? [`${role}: ${file} is in ${dataset.crs.name} (${CRS_FROM[dataset.crs.from]})`] : [];
  return [...crs, ...dataset.reading.map((sentence) => `${role}: ${file}: ${sentence}`)];
}

const CRS_FROM = {
  prj: 'its .prj says so',
  format: 'its format says so',
  told: 'as told',
  assumed: 'assumed, since no .prj came with it',
};

/** Whether a table is one composite of the field: one row below the header, and nothing that gives it a place. */
function standsForAll(samples: Dataset, points: Dataset | null, columns: readonly ColumnGuess[]): boolean {
  if (points || samples.geometry !== 'none') return false;
  const placed = columns.some((one) => one.is === 'lng') && columns.some((one) => one.is === 'lat');
  const id = columns.findIndex((one) => one.is === 'sampleId');
  const { records } = withoutLowerHeader(samples);
  return !placed && records.length - summaryRows(records, id < 0 ? undefined : id).size === 1;
}

/** What mg/L still needs. */
function densityGuess(soil: SoilSettings, columns: readonly ColumnGuess[]): string[] {
  const byVolume = columns.find((one) => one.unit === 'mg/L');
  if (!byVolume || soil.scooped_gPerCm3 !== null || columns.some((one) => one.is === 'density')) return [];
  return [`density: "${byVolume.column}" is in mg/L, and the density of the scooped soil must still be told`];
}

/** Which tests are read where a file may hold several. */
function seriesGuesses(soil: SoilSettings, columns: readonly ColumnGuess[]): string[] {
  const has = (role: ColumnRole): boolean => columns.some((one) => one.is === role);
  return [
    ...(has('date')
      ? [`year: ${soil.year === null ? 'the latest of the file is used' : `${soil.year}, as told`}`]
      : []),
    ...(has('depth') && soil.depthTold !== null ? [`depth: the tests from ${soil.depthTold}, as told`] : []),
  ];
}
