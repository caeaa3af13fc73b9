import type { SoilChoices } from '../../core/plan/start.ts';
import { type SoilSettings, soilSettingsSchema } from '../../core/soil/settings.ts';

type Texts = (name: string) => readonly string[];
type Text = (name: string) => string | undefined;

/** Options of the command line that say how a soil test is read; each is one text, `same-id` several. */
export const SOIL_OPTIONS = [
  'sheet',
  'year',
  'depth-told',
  'scooped-density',
  'conversion',
  'acidity',
  'no-acidity-from',
  'cec',
  'saturation',
  'factors',
  'below-limit',
  'above-limit',
  'not-detected',
] as const;

const ACIDITY: Readonly<Record<string, SoilSettings['acidity']>> = {
  '12x7': { form: '12 x (7 - buffer pH)' },
  '8x8': { form: '8 x (8 - buffer pH)' },
  none: { form: 'no acidity' },
};
const WORDS = {
  cec: { lab: 'lab, else summation', summation: 'summation' },
  saturation: { lab: 'lab, else worked out', 'worked-out': 'worked out' },
  factors: { exact: 'exact', rounded: 'rounded' },
  'below-limit': { half: 'half the limit', limit: 'the limit', aside: 'set aside' },
  'above-limit': { limit: 'the limit', aside: 'set aside' },
  'not-detected': { 'not-measured': 'not measured', zero: 'zero', aside: 'set aside' },
} as const;
type WordOption = keyof typeof WORDS;
const SETTING_OF = {
  cec: 'cec',
  saturation: 'saturation',
  factors: 'factors',
  'below-limit': 'belowLimit',
  'above-limit': 'aboveLimit',
  'not-detected': 'notDetected',
} as const satisfies Record<WordOption, keyof SoilSettings>;

/**
 * The choices that the options make, or what is the matter with one of them, in words. Numbers must fit the plan's own bounds. A conversion
 * is FACTOR:REGION and goes from the extraction told to the other of the two; without one told it cannot be made.
 */
export function readSoilChoices(
  one: Text,
  several: Texts,
  extractant: SoilSettings['extractant'] | undefined,
): Partial<SoilChoices> | string {
  const told: Record<string, unknown> = {};
  const year = one('year');
  if (year !== undefined) told.year = Number(year);
  const sheet = one('sheet');
  if (sheet !== undefined) told.sampleTable = sheet;
  const depthTold = one('depth-told');
  if (depthTold !== undefined) told.depthTold = depthTold;
  const density = one('scooped-density');
  if (density !== undefined) told.scooped_gPerCm3 = Number(density);
  const from = one('no-acidity-from');
  if (from !== undefined) told.noAcidityFrom_ph = Number(from);
  const acidity = one('acidity');
  if (acidity !== undefined) {
    const form = acidityOf(acidity);
    if (form === null)
      return `--acidity is ${Object.keys(ACIDITY).join(', ')} or FACTORxSTART such as 10x6.9, not "${acidity}".`;
    told.acidity = form;
  }
  for (const option of Object.keys(WORDS) as WordOption[]) {
    // keys of the constant above
    const word = one(option);
    if (word === undefined) continue;
    const words: Readonly<Record<string, string>> = WORDS[option];
    if (!Object.hasOwn(words, word)) return `--${option} is ${Object.keys(words).join(', ')}, not "${word}".`;
    told[SETTING_OF[option]] = words[word];
  }
  const conversion = one('conversion');
  if (conversion !== undefined) {
    const read = conversionOf(conversion, extractant);
    if (typeof read === 'string') return read;
    told.conversion = read;
  }
  const pairs = several('same-id').map((pair) => pair.split('='));
  if (pairs.some((pair) => pair.length !== 2 || pair.some((id) => id.trim() === '')))
    return '--same-id is LAB=POINT: the id in the lab file, and that of the point.';
  if (pairs.length > 0) told.sameIds = pairs.map(([lab = '', point = '']) => ({ lab, point }));
  const parsed = soilSettingsSchema.partial().safeParse(told);
  if (!parsed.success) return whatIsWrong(parsed.error.issues[0]?.path[0], one);
  // Only what was told goes into the plan; the schema's defaults are the plan's own.
  return Object.fromEntries(Object.entries(parsed.data).filter(([name]) => name in told));
}

function acidityOf(text: string): SoilSettings['acidity'] | null {
  const known = Object.hasOwn(ACIDITY, text) ? ACIDITY[text] : undefined;
  if (known !== undefined) return known;
  const form = /^(\d+(?:\.\d+)?)x(\d+(?:\.\d+)?)$/.exec(text);
  const start = Number(form?.[2]);
  return form && Number(form[1]) > 0 && start >= 5 && start <= 9
    ? { form: 'factor x (start - buffer pH)', factor: Number(form[1]), start }
    : null;
}

function conversionOf(
  text: string,
  extractant: SoilSettings['extractant'] | undefined,
): SoilSettings['conversion'] | string {
  const [factor = '', ...rest] = text.split(':');
  const region = rest.join(':').trim();
  if (!(Number(factor) >= 0.3 && Number(factor) <= 3) || region === '')
    return `--conversion is FACTOR:REGION, such as "1.14:Ohio and Indiana", not "${text}".`;
  if (extractant !== 'Mehlich-3' && extractant !== 'ammonium acetate')
    return '--conversion needs --extractant mehlich-3 or ammonium-acetate: what the lab extracts with.';
  return { to: extractant === 'Mehlich-3' ? 'ammonium acetate' : 'Mehlich-3', factor: Number(factor), region };
}

const BOUNDS: Readonly<Record<string, readonly [option: string, words: string]>> = {
  year: ['year', 'a year from 1950 to 2200'],
  scooped_gPerCm3: ['scooped-density', '0.3 to 2 g/cm3'],
  noAcidityFrom_ph: ['no-acidity-from', 'a pH from 5 to 9'],
  sameIds: ['same-id', 'LAB=POINT, at most 2000 times'],
};
function whatIsWrong(setting: PropertyKey | undefined, one: Text): string {
  const [option, words] = BOUNDS[String(setting)] ?? [String(setting), 'another value'];
  return `--${option} is ${words}, not "${one(option) ?? ''}".`;
}
