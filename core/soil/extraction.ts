import { caution, type Problem } from '../base/problem.ts';
import type { SoilSettings } from './settings.ts';

/** A published ratio between what two extractions find of K in one soil. */
export interface PublishedRatio {
  readonly from: SoilSettings['extractant'];
  readonly to: 'Mehlich-3' | 'ammonium acetate';
  /** K by `to` for each ppm of K by `from`. */
  readonly factor: number;
  /** Where it was found; null where the source names no region, so that a person must. */
  readonly region: string | null;
  readonly source: string;
}

/**
 * Ratios of K by Mehlich-3 to K by ammonium acetate that are in print, to be offered and never taken by themselves: they differ with soil
 * and laboratory. Ohio and Indiana 1.14 (Ohio State University Extension ANR-75); Kansas about 1.0 (Kansas State University); 1.19 is in
 * print too, without a region here.
 */
export const PUBLISHED_RATIOS: readonly PublishedRatio[] = [
  {
    from: 'ammonium acetate',
    to: 'Mehlich-3',
    factor: 1.14,
    region: 'Ohio and Indiana',
    source: 'Ohio State University Extension, ANR-75',
  },
  { from: 'ammonium acetate', to: 'Mehlich-3', factor: 1, region: 'Kansas', source: 'Kansas State University' },
  { from: 'ammonium acetate', to: 'Mehlich-3', factor: 1.19, region: null, source: 'in print, region to be named' },
];

/** How K is turned into what another extraction would give. */
export interface Conversion {
  readonly factor: number;
  /** The extraction that K stands for afterwards. */
  readonly extractant: SoilSettings['extractant'];
  /** What was done, in a sentence; null where nothing was. */
  readonly sentence: string | null;
  readonly problems: readonly Problem[];
}

/**
 * The plan's conversion of K, with what a person should look at: none where no one chose it, or where the lab's extraction is the one
 * wanted already (`soil-conversion-same`); where the lab's extraction is not told it is done and said (`soil-conversion-blind`).
 */
export function conversionOf({ conversion, extractant }: Pick<SoilSettings, 'conversion' | 'extractant'>): Conversion {
  if (conversion === null) return { factor: 1, extractant, sentence: null, problems: [] };
  const { to, factor, region } = conversion;
  const at = { setting: 'soil.conversion' };
  if (extractant === to)
    return {
      factor: 1,
      extractant,
      sentence: null,
      problems: [
        caution(
          'soil-conversion-same',
          `K is by ${to} already, so the conversion to it is not done.`,
          'Take the conversion out, or correct the extraction.',
          at,
        ),
      ],
    };
  const from =
    extractant === 'not told' ? 'the lab’s extraction' : extractant === 'other' ? 'another extraction' : extractant;
  const problems =
    extractant === 'not told'
      ? [
          caution(
            'soil-conversion-blind',
            `K is turned into ${to}, and nobody said what the lab extracts with.`,
            'Say which extraction the lab uses.',
            at,
          ),
        ]
      : [];
  return {
    factor,
    extractant: to,
    sentence: `K by ${from} x ${factor} stands for K by ${to}, as found in ${region}: the user’s choice.`,
    problems,
  };
}
