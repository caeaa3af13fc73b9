import { typed } from '../text.ts';
import { makeGuide, secondHandPart, upTo } from './guide.ts';

const SOURCE =
  'Iowa State University Extension, A General Guide for Crop Nutrient and Limestone Recommendations in Iowa, PM 1688 (2013), field-moist K';
const PARTS = {
  classes: secondHandPart('classes 0-50, 51-85, 86-120, 121-155, 156 ppm and more', SOURCE),
  rates: secondHandPart('corn 130 / 90 / 45 / 0 / 0, soybean 120 / 90 / 75 / 0 / 0 lb K2O', SOURCE),
} as const;

/** Classes by their upper limits in ppm; a value between two printed whole numbers is of the higher class. */
const CLASSES = [
  { name: 'very low', upTo_ppm: 50 },
  { name: 'low', upTo_ppm: 85 },
  { name: 'optimum', upTo_ppm: 120 },
  { name: 'high', upTo_ppm: 155 },
  { name: 'very high', upTo_ppm: Number.POSITIVE_INFINITY },
] as const;
const RATES: Readonly<Record<string, readonly number[]>> = {
  corn: [130, 90, 45, 0, 0],
  soybean: [120, 90, 75, 0, 0],
};
const OPTIMUM = 2;
/** What the printed rate of the optimum class implies. */
const IMPLIES: Readonly<Record<string, string>> = {
  corn: 'The printed 45 lb of the optimum class is removal: that of 150 bu at 0.30 lb. It is not scaled to the yield goal.',
  soybean: 'The printed 75 lb of the optimum class is removal. It is not scaled to the yield goal.',
};

/** Iowa State 2013: lb K2O/ac by the class of K on field-moist samples to 6 in.; the same at every yield, as printed. */
export const iowa = makeGuide({
  id: 'iowa-2013',
  name: 'Iowa State, field-moist K',
  source: SOURCE,
  parts: Object.values(PARTS),
  extraction: { is: 'field-moist', source: SOURCE, flag: 'second-hand' },
  depth: { least_in: 6, most_in: 6, source: SOURCE, flag: 'second-hand' },
  crops: Object.keys(RATES),
  validity: 'K on samples that were never dried: dried ones read higher, and its classes for those were not seen.',
  outside:
    'Refused for a test on dried samples, and where nobody told how K was tested. 0 in the high and very high classes.',
  supersededBy: null,
  maySetRate: true,
  needs: ['k'],
  countsRemoval: false,
  work: ({ k_ppm, crop }) => {
    const index = CLASSES.findIndex((one) => upTo(k_ppm, one.upTo_ppm));
    const rate = RATES[crop]?.[index];
    const name = CLASSES[index]?.name;
    if (rate === undefined || name === undefined) throw new Error(`no class or no rate for ${crop}`);
    return {
      k2o_lbPerAc: rate,
      how: `K is ${name}: ${typed(rate)} lb as printed`,
      className: name,
      noneAbove_ppm: CLASSES[OPTIMUM].upTo_ppm,
      cautions: index === OPTIMUM ? [IMPLIES[crop] ?? ''] : [],
      rests: [PARTS.classes, PARTS.rates],
    };
  },
});
