import { CALCAREOUS_PH } from '../../soil/chemistry.ts';
import type { SoilSettings } from '../../soil/settings.ts';
import type { Flag } from '../crop-figures.ts';
import { cropOf } from '../crops.ts';
import { figure, typed } from '../text.ts';
import type {
  Extraction,
  Guide,
  GuideAnswer,
  GuideFacts,
  GuideInput,
  GuidePart,
  GuideRefusal,
  LabClass,
  Unmet,
} from './types.ts';

/** What a guide's own sum works with, once its conditions are met. Where it does not need CEC or a yield goal they may be NaN. */
export interface Given {
  readonly k_ppm: number;
  readonly cec_meq: number;
  readonly crop: string;
  readonly yieldGoal: number;
  readonly supply_factor: number;
  /** `low` stands here where the guide does not need it. */
  readonly labClass: LabClass;
  readonly smectiteToIllite: number | null;
}

/** What a guide's own sum answers. `rests` are the figures behind it. */
export interface Said extends Partial<Omit<GuideAnswer, 'ok' | 'flag' | 'maySetRate'>> {
  readonly k2o_lbPerAc: number | null;
  readonly how: string;
  readonly rests: readonly { readonly flag: Flag }[];
}

/** A guide before its flag and its door are made: facts, what it needs told, and its own sum. */
export interface GuideSpec extends Omit<GuideFacts, 'flag'> {
  readonly needs: readonly ('k' | 'cec' | 'yieldGoal' | 'class')[];
  /** True where it counts what the harvest takes, by the grain alone. */
  readonly countsRemoval: boolean;
  /** Why the ground lies beyond its validity; null where it does not. Only asked where all that it needs is known. */
  readonly beyond?: (given: Given) => string | null;
  readonly work: (given: Given) => Said;
}

/** Depth that a guide's samples are taken to where nothing else was read: the plow layer. */
export const PLOW_LAYER = {
  least_in: 6,
  most_in: 8,
  source: 'plow layer',
  flag: 'from memory, confirm against the current bulletin',
} as const;
/** Depth whose pounds an acre are twice the ppm. */
export const TWO_MILLION_LB = {
  least_in: 6,
  most_in: 7,
  source: 'Purdue soil fertility specialist: about 2,000,000 lb of soil an acre in 6 to 7 in., so lb/ac = 2 x ppm',
  flag: 'seen in the source',
} as const;
/** "Wheat" in print is both in the crop list. */
export const WHEAT = ['winter-wheat', 'spring-wheat'] as const;
/** Flag of a figure that nobody here has read: usable, never to set a rate. */
export const FROM_MEMORY = 'from memory, confirm against the current bulletin' satisfies Flag;

/** A sample this much deeper or shallower than told is of that depth. */
const DEPTH_SLACK_IN = 0.5;
/** Limits are whole numbers in print: the last bits of a mean do not pass them. */
const HAIR = 1e-9;
/** True up to and with the limit. */
export const upTo = (value: number, limit: number): boolean => value <= limit + HAIR;

const WEAKER: readonly Flag[] = ['seen in the source', 'worked out', 'second-hand', FROM_MEMORY];
/** The flag of what is known least of all. */
export const weakest = (parts: readonly { readonly flag: Flag }[]): Flag =>
  WEAKER[Math.max(0, ...parts.map((part) => WEAKER.indexOf(part.flag)))] ?? FROM_MEMORY;

const part =
  (flag: Flag) =>
  (what: string, source: string): GuidePart => ({ what, source, flag });
/** A part with what it says and its source, flagged by the way it was read. */
export const seenPart = part('seen in the source');
export const secondHandPart = part('second-hand');
export const fromMemoryPart = part(FROM_MEMORY);

/**
 * A guide of its facts and its own sum. `recommend` first looks at what every guide asks for (extractant, depth, crop, and as it needs them
 * K, CEC, yield goal, the lab's class), then at its own validity: the answer names all conditions that are not met, or is the sum with
 * its cautions. Another extractant than the guide's is refused; one that is not told is answered with a caution, but refused by a guide for field-moist K.
 */
export function makeGuide(spec: GuideSpec): Guide {
  const { needs, countsRemoval, beyond, work, ...facts } = spec;
  return {
    ...facts,
    flag: weakest(spec.parts),
    recommend: (input) => {
      const unmet = conditions(spec, input);
      if (unmet.length > 0) return refusal(unmet);
      const given = givenOf(input);
      const outside = beyond?.(given) ?? null;
      return outside === null ? answer(spec, work(given), input) : refusal([['validity', outside]]);
    },
  };
}

type Condition = readonly [Unmet, string];

const refusal = (unmet: readonly Condition[]): GuideRefusal => ({
  ok: false,
  why: unmet.map(([, why]) => why).join(' '),
  unmet: unmet.map(([which]) => which),
});

function answer(spec: GuideSpec, said: Said, input: GuideInput): GuideAnswer {
  const { rests, ...rest } = said;
  const flag = weakest(rests);
  return {
    ok: true,
    critical_ppm: null,
    noneAbove_ppm: null,
    className: null,
    removal_lbK2OPerAc: null,
    buildUp: null,
    ...rest,
    flag,
    maySetRate: spec.maySetRate && said.k2o_lbPerAc !== null && flag !== FROM_MEMORY,
    cautions: [...cautionsOf(spec, input), ...(said.cautions ?? [])],
  };
}

const givenOf = (input: GuideInput): Given => ({
  k_ppm: input.reading.k_ppm,
  cec_meq: input.reading.cec_meq,
  crop: input.crop ?? '',
  yieldGoal: input.yieldGoal ?? Number.NaN,
  supply_factor: input.supply_factor,
  labClass: input.labClass ?? 'low',
  smectiteToIllite: input.smectiteToIllite ?? null,
});

const TEST_OF: Record<Extraction, string> = {
  'ammonium acetate': 'K by ammonium acetate',
  'Mehlich-3': 'K by Mehlich-3',
  'field-moist': 'K on field-moist samples',
};
const SAYS: Record<SoilSettings['extractant'], string> = {
  'Mehlich-3': 'Mehlich-3',
  'ammonium acetate': 'ammonium acetate',
  'field-moist': 'field-moist samples',
  other: 'another extractant',
  'not told': 'none',
};

function conditions(spec: GuideSpec, input: GuideInput): readonly Condition[] {
  const { extraction, depth } = spec;
  const found: Condition[] = [];
  // hardly a lab tests K before drying, so where nothing is told the samples were most likely dried
  if (extraction?.is === 'field-moist' && input.extractant === 'not told')
    found.push([
      'extractant',
      `It is made for ${TEST_OF[extraction.is]}${doubted(extraction.flag)}, which read lower than dried ones, and nobody told how K was tested.`,
    ]);
  else if (extraction && input.extractant !== 'not told' && input.extractant !== extraction.is)
    found.push([
      'extractant',
      `It is made for ${TEST_OF[extraction.is]}${doubted(extraction.flag)}, and the plan says ${SAYS[input.extractant]}.`,
    ]);
  if (depth && !depthFits(depth, input.depth_in))
    found.push([
      'depth',
      `It is made for samples ${span(depth.least_in, depth.most_in)} in. deep${doubted(depth.flag)}, and these are ${Number.isFinite(input.depth_in) ? `${typed(input.depth_in)} in. deep` : 'of a depth not told'}.`,
    ]);
  if (spec.crops && input.crop === null) found.push(['crop', 'No crop is told.']);
  else if (spec.crops && input.crop !== null && !spec.crops.includes(input.crop))
    found.push(['crop', `It does not cover ${cropOf(input.crop)?.name.toLowerCase() ?? `the crop "${input.crop}"`}.`]);
  if (spec.needs.includes('k') && !(input.reading.k_ppm >= 0 && Number.isFinite(input.reading.k_ppm)))
    found.push(['k', 'K is not known here.']);
  if (spec.needs.includes('cec') && !(input.reading.cec_meq > 0 && Number.isFinite(input.reading.cec_meq)))
    found.push(['cec', 'It goes by CEC, which is not known here.']);
  if (spec.needs.includes('yieldGoal') && !((input.yieldGoal ?? 0) > 0))
    found.push(['yieldGoal', 'It goes by the yield goal, and none is told.']);
  if (spec.needs.includes('class') && input.labClass === undefined)
    found.push(['class', "It goes by the lab's class of K, whose limits were not seen, and no class is told."]);
  return found;
}

const depthFits = (depth: { readonly least_in: number; readonly most_in: number }, depth_in: number): boolean =>
  upTo(depth.least_in - DEPTH_SLACK_IN, depth_in) && upTo(depth_in, depth.most_in + DEPTH_SLACK_IN);
const span = (least: number, most: number): string =>
  least === most ? typed(least) : `${typed(least)} to ${typed(most)}`;
const doubted = (flag: Flag): string => (flag === FROM_MEMORY ? ` (${FROM_MEMORY})` : '');

function cautionsOf(spec: GuideSpec, { extractant, reading, harvest, crop }: GuideInput): readonly string[] {
  const { extraction } = spec;
  const found: string[] = [];
  if (extraction && extractant === 'not told')
    found.push(
      `The extractant is not told: this holds where the lab tested ${TEST_OF[extraction.is]}${doubted(extraction.flag)}.`,
    );
  const mayBeMehlich = extractant === 'Mehlich-3' || extractant === 'not told';
  if (spec.needs.includes('cec') && mayBeMehlich && reading.ph > CALCAREOUS_PH)
    found.push(
      `Soil pH is ${figure(reading.ph, 1)}: by Mehlich-3 the CEC that this guide goes by reads too high there (Kansas AES Research Report 7(8)).`,
    );
  if (spec.countsRemoval && harvest === 'grain and residue' && crop !== null && !cropOf(crop)?.wholePlant)
    found.push('It counts what leaves with the grain alone; here the residue leaves too.');
  return found;
}
