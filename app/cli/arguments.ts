import { availableParallelism } from 'node:os';
import { basename, dirname, extname, join, resolve } from 'node:path';
import { type ParseArgsConfig, parseArgs } from 'node:util';
import { BASES } from '../../core/rates/basis.ts';
import { CROPS } from '../../core/rates/crops.ts';
import { EXTRACTANT_WORDS, readColumn, readExtractant } from './column-option.ts';
import type { BasisJob, Job, StartJob } from './reports.ts';
import { readSoilChoices, SOIL_OPTIONS } from './soil-options.ts';
import { COMMANDS, type Command, OVERVIEW, USAGE } from './usage.ts';

/** What a command line asks for. */
export type Asked =
  | { readonly asks: 'text'; readonly text: string }
  | { readonly asks: 'version' }
  /** Not to be understood: why, and the usage that would have been right; empty where the reason says enough. */
  | { readonly asks: 'wrong'; readonly why: string; readonly usage: string }
  | {
      readonly asks: 'work';
      readonly command: Command;
      readonly jobs: readonly Job[];
      readonly json: boolean;
      readonly workers: number;
      readonly still_ms: number;
    };

/** Wrong usage, in words. */
class Wrong extends Error {}

type Options = NonNullable<ParseArgsConfig['options']>;
const TEXT = { type: 'string' } as const;
const TEXTS = { type: 'string', multiple: true } as const;
const FLAG = { type: 'boolean' } as const;
const ALWAYS: Options = { json: FLAG, help: FLAG, 'time-limit': TEXT };
const OPTIONS: Readonly<Record<Command, Options>> = {
  build: { ...ALWAYS, out: TEXT, jobs: TEXT, pdf: FLAG },
  check: { ...ALWAYS, jobs: TEXT },
  prove: { ...ALWAYS, jobs: TEXT },
  basis: { ...ALWAYS, take: TEXT, name: TEXT, out: TEXT },
  'start-plan': {
    ...ALWAYS,
    boundary: TEXTS,
    'keep-out': TEXTS,
    points: TEXTS,
    samples: TEXTS,
    crop: TEXT,
    'yield-goal': TEXT,
    governs: TEXT,
    crs: TEXT,
    column: TEXTS,
    depth: TEXT,
    extractant: TEXT,
    ...Object.fromEntries(SOIL_OPTIONS.map((option) => [option, TEXT])),
    'same-id': TEXTS,
    remember: FLAG,
    forget: FLAG,
    name: TEXT,
    out: TEXT,
  },
};
const STILL_S = 120;

export function readArguments(args: readonly string[]): Asked {
  const [first, ...rest] = args;
  if (first === '--help' || first === '-h' || first === 'help') return { asks: 'text', text: OVERVIEW };
  if (first === '--version') return { asks: 'version' };
  const command = COMMANDS.find((one) => one === first);
  if (command === undefined) {
    const why = first === undefined ? 'No command was given.' : `There is no command "${first}".`;
    return { asks: 'wrong', why, usage: OVERVIEW };
  }
  try {
    return readCommand(command, rest);
  } catch (error) {
    if (!(error instanceof Wrong || isParseError(error))) throw error;
    if ('code' in error && error.code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION') {
      const option = /'(-[^']*)'/.exec(error.message)?.[1] ?? '';
      const why = `There is no option ${option}. pearlash ${command} --help tells the options.`;
      return { asks: 'wrong', why, usage: '' };
    }
    return { asks: 'wrong', why: error.message, usage: USAGE[command] };
  }
}

function readCommand(command: Command, args: readonly string[]): Asked {
  const given = parseArgs({ args: [...args], options: OPTIONS[command], allowPositionals: true, strict: true });
  // Each option is declared as one text, several texts or a flag, so its value can be nothing else.
  const values = given.values as Readonly<Record<string, string | readonly string[] | boolean | undefined>>;
  if (values.help) return { asks: 'text', text: USAGE[command] };
  const one = (name: string): string | undefined => (typeof values[name] === 'string' ? values[name] : undefined);
  const several = (name: string): readonly string[] => (Array.isArray(values[name]) ? values[name] : []);
  const jobs =
    command === 'basis'
      ? [basisJobOf(one, given.positionals)]
      : command === 'start-plan'
        ? [startJobOf(one, several, (name) => values[name] === true, given.positionals)]
        : jobsOf(command, given.positionals, one('out'), values.pdf === true);
  return {
    asks: 'work',
    command,
    jobs,
    json: values.json === true,
    workers: positive('--jobs', one('jobs')) ?? availableParallelism(),
    still_ms: (positive('--time-limit', one('time-limit')) ?? STILL_S) * 1000,
  };
}

function jobsOf(
  command: 'build' | 'check' | 'prove',
  places: readonly string[],
  out: string | undefined,
  pdf: boolean,
): Job[] {
  if (places.length === 0) throw new Wrong(`${command} needs ${command === 'prove' ? 'a folder' : 'a plan'}.`);
  const paths = places.map((place) => resolve(place));
  if (command === 'check') return paths.map((plan) => ({ kind: command, plan }));
  if (command === 'prove') return paths.map((folder) => ({ kind: command, folder }));
  if (out === undefined) throw new Wrong('build needs --out <folder>.');
  const names = outNames(paths);
  return paths.map((plan, index) => ({
    kind: command,
    plan,
    out: paths.length === 1 ? resolve(out) : join(resolve(out), names[index] ?? ''),
    ...(pdf ? { pdf } : {}),
  }));
}

/** A folder name for each of several plans, none twice. */
function outNames(plans: readonly string[]): readonly string[] {
  const taken = new Set<string>();
  return plans.map((plan) => {
    const base = planName(plan);
    let name = base;
    for (let count = 2; taken.has(name.toLowerCase()); count++) name = `${base}-${count}`;
    taken.add(name.toLowerCase());
    return name;
  });
}

function planName(plan: string): string {
  const name = basename(plan);
  if (name === 'plan.json') return basename(dirname(plan)) || 'plan';
  return name.replace(/\.(pearlash|json)$/i, '') || 'plan';
}

/** One plan, and either a basis to take or the place for its own. */
function basisJobOf(one: One, places: readonly string[]): BasisJob {
  const [plan, other] = places;
  if (plan === undefined) throw new Wrong('basis needs a plan.');
  if (other !== undefined) throw new Wrong(`basis takes one plan, not also "${other}".`);
  const [out, take, name] = [one('out'), one('take'), one('name')];
  if (out === undefined) throw new Wrong(`basis needs --out <${take === undefined ? 'file' : 'plan'}>.`);
  if (name !== undefined && take !== undefined)
    throw new Wrong('--name is for a basis that is written, not for one that is taken.');
  if (name !== undefined && (name.trim() === '' || name.length > 80)) throw new Wrong('--name is 1 to 80 characters.');
  const own = BASES.some((basis) => basis.name.toLowerCase() === take?.toLowerCase());
  return {
    kind: 'basis',
    plan: resolve(plan),
    ...(take === undefined ? {} : { take: own ? take : resolve(take) }),
    ...(name === undefined ? {} : { name }),
    out: resolve(out),
  };
}

type One = (name: string) => string | undefined;
type Several = (name: string) => readonly string[];

function startJobOf(
  one: One,
  several: Several,
  flag: (name: string) => boolean,
  positionals: readonly string[],
): StartJob {
  if (positionals.length > 0) throw new Wrong(`start-plan takes options only, not "${positionals[0]}".`);
  const files = (name: string): readonly string[] => several(name).map((path) => resolve(path));
  const out = one('out');
  for (const name of ['boundary', 'samples']) {
    if (several(name).length === 0) throw new Wrong(`start-plan needs --${name} <file>.`);
  }
  if (out === undefined) throw new Wrong('start-plan needs --out <plan>.');
  const given = one('governs');
  const governs = (['larger', 'ppm', 'saturation'] as const).find((which) => which === given);
  if (given !== undefined && governs === undefined) {
    throw new Wrong(`--governs is larger, ppm or saturation, not "${given}".`);
  }
  const cropGiven = one('crop');
  const crop = CROPS.find(({ id }) => id.toLowerCase() === cropGiven?.toLowerCase())?.id;
  if (cropGiven !== undefined && crop === undefined) {
    throw new Wrong(`--crop is one of ${CROPS.map(({ id }) => id).join(', ')}, not "${cropGiven}".`);
  }
  const name = one('name') ?? basename(out, extname(out));
  if (name.trim() === '' || name.length > 200) throw new Wrong('--name is 1 to 200 characters.');
  const crs = one('crs');
  const columns = several('column').map((text) => {
    const told = readColumn(text);
    if (typeof told === 'string') throw new Wrong(told);
    return told;
  });
  const depth_in = positive('--depth', one('depth'), false);
  const extractantGiven = one('extractant');
  const extractant = extractantGiven === undefined ? undefined : readExtractant(extractantGiven);
  if (extractantGiven !== undefined && extractant === undefined) {
    throw new Wrong(`--extractant is one of ${EXTRACTANT_WORDS}, not "${extractantGiven}".`);
  }
  const soil = readSoilChoices(one, several, extractant);
  if (typeof soil === 'string') throw new Wrong(soil);
  const yieldGoal = positive('--yield-goal', one('yield-goal'), false);
  return {
    kind: 'start-plan',
    name,
    boundary: files('boundary'),
    keepOut: files('keep-out'),
    points: files('points'),
    samples: files('samples'),
    ...(crop === undefined ? {} : { crop }),
    ...(yieldGoal === undefined ? {} : { yieldGoal }),
    ...(governs === undefined ? {} : { governs }),
    ...(crs === undefined ? {} : { crs }),
    ...(columns.length === 0 ? {} : { columns }),
    ...(depth_in === undefined ? {} : { depth_in }),
    ...(extractant === undefined ? {} : { extractant }),
    ...(Object.keys(soil).length === 0 ? {} : { soil }),
    ...(flag('remember') ? { remember: true as const } : {}),
    ...(flag('forget') ? { forget: true as const } : {}),
    out: resolve(out),
  };
}

function positive(option: string, text: string | undefined, whole = true): number | undefined {
  if (text === undefined) return undefined;
  const number = Number(text);
  const fits = text.trim() !== '' && Number.isFinite(number) && number > 0 && (!whole || Number.isInteger(number));
  if (!fits) throw new Wrong(`${option} is a ${whole ? 'whole ' : ''}number above 0, not "${text}".`);
  return number;
}

/** Errors of parseArgs for what a person typed, such as an option that does not exist. */
const isParseError = (error: unknown): error is Error =>
  error instanceof Error && 'code' in error && String(error.code).startsWith('ERR_PARSE_ARGS_');
