import { fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset, NamedBytes } from '../formats/types.ts';
import { CROPS } from '../rates/crops.ts';
import { guessColumns, ROLE_NAMES, UNITS_OF, whyNoK } from '../soil/guess.ts';
import type { ColumnRole, ColumnUnit, SoilSettings } from '../soil/settings.ts';
import type { ColumnGuess } from '../soil/types.ts';
import { describeInput, type OpenedPlan } from './pack.ts';
import { emptyPlan, type Plan, type PlanInput } from './schema.ts';

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
  readonly columns?: readonly { readonly column: string; readonly is: ColumnRole; readonly unit?: ColumnUnit }[];
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
  const samples = readRole('samples', input.samples, options, problems, guesses);
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
  const pointColumns = points ? withTold(guessColumns(points, samples), told) : [];
  const sampleColumns = samples ? withTold(guessColumns(samples, points), told) : [];
  if (samples && !sampleColumns.some((guess) => guess.is === 'k')) {
    return fail(
      ...problems,
      stop(
        'start-columns',
        whyNoK(samples, sampleColumns),
        `Say which column holds K. The columns are: ${samples.columns.join(', ')}.`,
        { file: samples.files[0] ?? samples.name },
      ),
    );
  }
  guesses.push(...columnGuesses('points', points, pointColumns), ...columnGuesses('samples', samples, sampleColumns));

  const plain = emptyPlan(input.name);
  const composites = samples?.geometry === 'polygon';
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
      depth_in: input.depth_in ?? plain.soil.depth_in,
      extractant: input.extractant ?? plain.soil.extractant,
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
      `depth: no column tells it, ${plan.soil.depth_in} in. ${input.depth_in === undefined ? 'assumed' : 'as told'}`,
    );
  guesses.push(`extractant of K: ${plan.soil.extractant}`);
  guesses.push(`CEC: ${plan.soil.cec}; acidity by summation H = ${plan.soil.acidity.form}`);
  guesses.push(`lb/acre: by the convention "${plan.soil.convention}"`);
  guesses.push(
    input.governs === undefined
      ? 'target: nobody said which one governs, so the larger of ppm and saturation does'
      : `target: ${input.governs === 'larger' ? 'the larger of ppm and saturation' : input.governs} governs, as told`,
  );
  if (composites)
    guesses.push('zones: the soil test comes on polygons, so each is a zone and nothing is interpolated across them');
  return ok({ plan: { ...plan, inputs: entries }, inputs, guesses }, problems);
}

function readRole(
  role: 'points' | 'samples',
  files: readonly NamedBytes[],
  options: { crs?: string },
  problems: Problem[],
  guesses: string[],
): Dataset | null {
  if (files.length === 0) return null;
  const read = readFiles(files, options);
  problems.push(...read.problems);
  if (!read.ok) return null;
  const dataset = pickDataset(read.value, role);
  if (dataset) guesses.push(...datasetGuesses(role, dataset));
  return dataset;
}

/** The dataset of some files that can play the part: points, or whatever has a K column, else the first. */
export function pickDataset(datasets: readonly Dataset[], role: 'points' | 'samples'): Dataset | null {
  const fits =
    role === 'points'
      ? (one: Dataset) => one.geometry === 'point'
      : (one: Dataset) => guessColumns(one).some((guess) => guess.is === 'k');
  return datasets.find(fits) ?? datasets[0] ?? null;
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

const useOf = (guess: ColumnGuess) => ({ column: guess.column, is: guess.is, unit: guess.unit });

/** Guesses with a person's word over them: a role told for one column is taken from any other that was guessed to have it. */
function withTold(guesses: readonly ColumnGuess[], told: NonNullable<StartInput['columns']>): readonly ColumnGuess[] {
  return guesses.map((guess): ColumnGuess => {
    const word = told.find((one) => one.column === guess.column);
    if (word)
      return { column: guess.column, is: word.is, unit: word.unit ?? unitFor(word.is, guess), because: 'as told' };
    const taken = guess.is !== 'unused' && told.some((one) => one.is === guess.is);
    return taken
      ? { column: guess.column, is: 'unused', unit: 'none', because: 'another column was told to be it' }
      : guess;
  });
}

/** The guessed unit where it fits the role, else the role's first. */
const unitFor = (is: ColumnRole, guess: ColumnGuess): ColumnUnit =>
  UNITS_OF[is].includes(guess.unit) ? guess.unit : UNITS_OF[is][0];

function columnGuesses(role: string, dataset: Dataset | null, guesses: readonly ColumnGuess[]): string[] {
  if (!dataset) return [];
  return guesses.map((guess) => {
    const unit = guess.unit === 'none' ? '' : ` in ${guess.unit === 'deg' ? 'degrees' : guess.unit}`;
    const as = guess.is === 'unused' ? 'is not used' : `is ${ROLE_NAMES[guess.is]}${unit}`;
    return `${role}: column "${guess.column}" ${as} (${guess.because})${guess.doubt ? `; confirm: ${guess.doubt}` : ''}`;
  });
}
