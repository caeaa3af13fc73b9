import { makeGuide, seenPart, WHEAT } from './guide.ts';
import type { LabClass } from './types.ts';

const SOURCE = 'Clemson University, South Carolina, small grain by class of the soil test';
const PART = seenPart('low 80, medium 60, sufficient 40, high 0, excessive 0 lb K2O', SOURCE);
const RATES: Readonly<Record<LabClass, number>> = { low: 80, medium: 60, sufficient: 40, high: 0, excessive: 0 };

/**
 * South Carolina, small grain: lb K2O/ac by the class on the lab's report. The limits of the classes were not seen, so K in ppm
 * says nothing; a plan cannot tell the class, so it never sets a rate.
 */
export const southCarolina = makeGuide({
  id: 'south-carolina',
  name: 'South Carolina, small grain',
  source: SOURCE,
  parts: [PART],
  extraction: null,
  depth: null,
  crops: [...WHEAT, 'barley', 'oats', 'rye'],
  validity: "The class of K as the state's own lab reports it.",
  outside:
    'Refused without a class, and a plan has no place to tell it: so it never sets a rate here. 0 in the high and excessive classes.',
  supersededBy: null,
  maySetRate: false,
  needs: ['class'],
  countsRemoval: false,
  work: ({ labClass }) => ({
    k2o_lbPerAc: RATES[labClass],
    how: `the lab's class is ${labClass}: ${RATES[labClass]} lb as printed`,
    className: labClass,
    rests: [PART],
  }),
});
