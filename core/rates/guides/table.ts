import { supplyFactor } from '../../soil/chemistry.ts';
import type { SoilSettings } from '../../soil/settings.ts';
import type { RatesSettings } from '../settings.ts';
import type { ZoneReading } from '../types.ts';
import { GUIDES } from './list.ts';
import type { GuideAnswer, GuideFacts, GuideInput, GuideRefusal, LabClass } from './types.ts';

/** One zone and the plan's choices; the lab's class and the clay's ratio where somebody told them. */
export interface GuideTableInput {
  readonly reading: ZoneReading;
  readonly soil: Pick<SoilSettings, 'extractant' | 'convention' | 'bulkDensity_gPerCm3'>;
  readonly rates: Pick<RatesSettings, 'crop' | 'yieldGoal' | 'harvest'>;
  readonly labClass?: LabClass;
  readonly smectiteToIllite?: number;
}

/** One guide at one zone. Where `answer.ok` is false the row is greyed, and `answer.why` is its reason. */
export interface GuideRow {
  readonly guide: GuideFacts;
  readonly answer: GuideAnswer | GuideRefusal;
}

/** What every guide is asked with at a zone: its reading and the plan's choices. */
export const guideInput = ({ reading, soil, rates, ...told }: GuideTableInput): GuideInput => ({
  reading,
  extractant: soil.extractant,
  depth_in: reading.depth_in,
  crop: rates.crop,
  yieldGoal: rates.yieldGoal,
  harvest: rates.harvest,
  supply_factor: supplyFactor(reading.depth_in, soil),
  ...told,
});

/**
 * All guides at one zone, in the order of the list; plain data, one row each, none left out. The rate in lb K2O/ac a year is
 * `answer.k2o_lbPerAc`, null where the guide gives a critical level, a class, removal or build-up alone.
 */
export function guideTable(of: GuideTableInput): readonly GuideRow[] {
  const input = guideInput(of);
  return GUIDES.map(({ recommend, ...guide }) => ({ guide, answer: recommend(input) }));
}
