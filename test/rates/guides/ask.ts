import { guideOf } from '../../../core/rates/guides/list.ts';
import type { GuideAnswer, GuideInput, GuideRefusal } from '../../../core/rates/guides/types.ts';
import { deepFreeze } from '../ground.ts';

export interface Asked extends Partial<Omit<GuideInput, 'reading'>> {
  readonly k_ppm?: number;
  readonly cec_meq?: number;
  readonly ph?: number;
}

/** Corn, 180 bu, K 100 ppm at CEC 10 in a 6-inch sample, extractant not told (field-moist for Iowa's guide), but for what is changed. */
export function inputOf({ k_ppm = 100, cec_meq = 10, ph = 6.5, ...rest }: Asked = {}): GuideInput {
  return deepFreeze({
    reading: { k_ppm, cec_meq, ph },
    extractant: 'not told',
    depth_in: 6,
    crop: 'corn',
    yieldGoal: 180,
    harvest: 'grain',
    supply_factor: 2,
    ...rest,
  });
}

export function ask(id: string, asked: Asked = {}): GuideAnswer | GuideRefusal {
  const guide = guideOf(id);
  if (!guide) throw new Error(`no guide ${id}`);
  const tested = id === 'iowa-2013' ? ({ extractant: 'field-moist' } as const) : {};
  return guide.recommend(inputOf({ ...tested, ...asked }));
}

export function answerOf(id: string, asked: Asked = {}): GuideAnswer {
  const said = ask(id, asked);
  if (!said.ok) throw new Error(said.why);
  return said;
}

export function refusalOf(id: string, asked: Asked = {}): GuideRefusal {
  const said = ask(id, asked);
  if (said.ok) throw new Error(said.how);
  return said;
}

/** The rate of an answer; throws where there is none. */
export function rateOf(id: string, asked: Asked = {}): number {
  const { k2o_lbPerAc, how } = answerOf(id, asked);
  if (k2o_lbPerAc === null) throw new Error(`no rate: ${how}`);
  return k2o_lbPerAc;
}
