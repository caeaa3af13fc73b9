import { z } from 'zod';
import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { type RatesSettings, ratesSettingsSchema } from './settings.ts';

export const BASIS_VERSION = 1;

/** What belongs to one field, its crop and its year, and never to a basis. */
const OF_THE_FIELD = {
  basis: true,
  crop: true,
  yieldGoal: true,
  harvest: true,
  residueShare_pct: true,
  thenCrops: true,
  yieldLayer: true,
  zones: true,
  credits: true,
  removal_lbK2OPerUnit: true,
  uptake_lbK2OPerUnit: true,
  governsTold: true,
  calcareousReason: true,
  budget: true,
  response: true,
  land_years: true,
  cropPrice_perUnit: true,
  overrides: true,
} as const satisfies Partial<Record<keyof RatesSettings, true>>;

const choicesSchema = ratesSettingsSchema.omit(OF_THE_FIELD);
/** A person's way of working: every choice of the rates that is not the field's own. */
export type BasisChoices = z.infer<typeof choicesSchema>;

/** The document of a basis. Choices that it leaves out say nothing: a plan that takes it keeps its own. */
export const basisSchema = z.object({
  format: z.literal('pearlash-basis'),
  version: z.literal(BASIS_VERSION),
  name: z.string().trim().min(1).max(80),
  /** What it is for and where it comes from, in sentences. */
  about: z.string().max(2000).default(''),
  choices: choicesSchema,
});

/** A named set of choices, to be taken by any plan. */
export interface Basis extends Omit<z.infer<typeof basisSchema>, 'choices'> {
  readonly choices: Readonly<Partial<BasisChoices>>;
}

const basis = (name: string, about: string, choices: Basis['choices']): Basis => ({
  format: 'pearlash-basis',
  version: BASIS_VERSION,
  name,
  about,
  choices,
});

/** The bases that come with the app. They set how a rate is found, and leave product, prices, passes, caps and machine as they are. */
export const BASES: readonly Basis[] = [
  basis(
    'Both targets',
    'The larger of the ppm and the saturation target, built up over four years: 150 ppm, 4 % and a range to 8 % are common practice, no source. The rate that each would give alone stands beside.',
    {
      follows: null,
      governs: 'larger',
      floor_ppm: 150,
      floor_pct: 4,
      rangeTop_pct: 8,
      zeroAt_pct: 12,
      buildUp_years: 4,
      reading: 'mean',
    },
  ),
  basis(
    'By a published guide, saturation shown',
    'The rate of Tri-State 2020 (Bulletin 974, Mehlich-3 K): removal from the critical level to the maintenance limit, nothing above. Below the critical level its build-up was not seen, so no rate is given there. Saturation is worked out and shown, and sets nothing.',
    { follows: 'tri-state-2020', governs: 'ppm', reading: 'mean' },
  ),
  basis(
    'Hold and maintain',
    'Ground at 120 ppm and above gets what the crop takes away, and no build-up. Ground below gets an eighth of its build-up a year, or the uptake beyond removal where that is more: for corn it mostly is, and the ground then fills sooner. 120 ppm is the critical level of Tri-State 2020 above CEC 5 (second-hand); eight years are ours. Saturation is shown and governs nothing.',
    { follows: null, governs: 'ppm', floor_ppm: 120, buildUp_years: 8, reading: 'mean' },
  ),
];

/**
 * The plan's choices with those of a basis in their place and its name told. What the basis leaves out, and all that is the field's own, stays. A basis that says what
 * governs counts as somebody having said so. A second product comes for the whole field: where it is spread is the field's own.
 */
export function takeBasis(rates: RatesSettings, { name, choices }: Basis): RatesSettings {
  const second = choices.second ? { ...choices.second, where: null } : choices.second;
  return {
    ...rates,
    ...choices,
    ...(second === undefined ? {} : { second }),
    basis: name,
    governsTold: rates.governsTold || choices.governs !== undefined,
  };
}

/** A basis of all the choices a plan stands on now. */
export function basisOf(rates: RatesSettings, name: string, about = ''): Basis {
  const choices = choicesSchema.parse(rates);
  return basis(name, about, choices.second ? { ...choices, second: { ...choices.second, where: null } } : choices);
}

/** The choices in which a plan no longer is as a basis says, by name, in the order of the settings; empty where it follows it wholly. */
export function awayFrom(rates: RatesSettings, of: Basis): readonly (keyof BasisChoices)[] {
  const taken = takeBasis(rates, of);
  return CHOICE_KEYS.filter((key) => JSON.stringify(taken[key]) !== JSON.stringify(rates[key]));
}

// Object.keys gives strings; the schema's own shape has no other keys.
const CHOICE_KEYS = Object.keys(choicesSchema.shape) as readonly (keyof BasisChoices)[];

/** The JSON text of a basis: two-space indent, a line feed at the end; same basis, same bytes. */
export const basisText = (of: Basis): string => `${JSON.stringify(of, null, 2)}\n`;

/**
 * A basis out of the text of its JSON document. Choices that it leaves out are left out, not filled in.
 *
 * Problems: `basis-json` (not JSON), `basis-other` (JSON, but no basis), `basis-newer` (a later version), `basis-invalid` (one per wrong
 * entry), `basis-unknown-choice` (a caution: an entry that is no choice of a basis, such as the field's crop; it is left out).
 */
export function readBasis(text: string, file?: string): Result<Basis> {
  const at = file === undefined ? {} : { file };
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (error) {
    return fail(stop('basis-json', 'The basis is not readable JSON.', 'Export it again.', at, String(error)));
  }
  if (!isRecord(document) || document.format !== 'pearlash-basis' || !isRecord(document.choices ?? {}))
    return fail(
      stop(
        'basis-other',
        'The file is JSON, but no basis of rates.',
        'Choose a file that was exported as a basis.',
        at,
      ),
    );
  if (typeof document.version === 'number' && document.version > BASIS_VERSION)
    return fail(
      stop(
        'basis-newer',
        `The basis was written by a later version (basis version ${document.version}; this program knows ${BASIS_VERSION}).`,
        'Open it with the version that wrote it, or update this one.',
        at,
      ),
    );
  const given = isRecord(document.choices) ? document.choices : {};
  const checked = basisSchema.safeParse({ ...document, choices: given });
  if (!checked.success)
    return fail(
      ...checked.error.issues
        .slice(0, 50)
        .map((issue) =>
          stop(
            'basis-invalid',
            `The entry ${issue.path.join('.') || 'basis'} is not valid: ${issue.message}.`,
            'Put it right, or remove it.',
            { ...at, setting: issue.path.join('.') },
          ),
        ),
    );
  const unknown = Object.keys(given).filter((key) => !CHOICE_KEYS.some((one) => one === key));
  const kept = Object.entries(checked.data.choices).filter(([key]) => key in given);
  // Entries of a checked document, less those that it did not hold itself: the defaults of the schema are not its word.
  const choices = Object.fromEntries(kept) as Basis['choices'];
  return ok(
    { ...checked.data, choices },
    unknown.slice(0, 50).map((key) => unknownChoice(key, at)),
  );
}

const unknownChoice = (key: string, at: { file?: string }): Problem =>
  caution(
    'basis-unknown-choice',
    `The basis holds ${key}, which is ${key in OF_THE_FIELD ? "the field's own and no way of working" : 'no choice that this version knows'}.`,
    'It is left out; check its spelling.',
    { ...at, setting: `choices.${key}` },
  );

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
