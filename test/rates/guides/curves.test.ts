import { describe, expect, it } from 'vitest';
import { CURVE_K_PPM, guideCurves } from '../../../core/rates/guides/curves.ts';
import { GUIDES } from '../../../core/rates/guides/list.ts';
import { guideTable } from '../../../core/rates/guides/table.ts';
import { corn, deepFreeze, soilPlan, zoneRate } from '../ground.ts';

const soil = soilPlan({ extractant: 'ammonium acetate' });
const rates = corn({ yieldGoal: 180 });
const { reading } = zoneRate({ k_ppm: 75, cec_meq: 10 }, rates, soil);
const of = deepFreeze({ reading, soil, rates });

describe('all guides over K at a zone', () => {
  it('has every guide once, as listed, a figure or none at each K, as plain data', () => {
    const { k_ppm, curves } = guideCurves(of);
    expect(k_ppm).toBe(CURVE_K_PPM);
    expect(curves.map((one) => one.guide.id)).toEqual(GUIDES.map((guide) => guide.id));
    for (const curve of curves) expect(curve.k2o_lbPerAc).toHaveLength(k_ppm.length);
    expect(structuredClone(curves)).toEqual(curves);
  });
  it('passes through the printed table of Tri-State 1995: CEC 10, 180 bu, 25 / 50 / 75 / 100 / 130 ppm', () => {
    const curve = guideCurves(of, [25, 50, 75, 100, 130]).curves.find((one) => one.guide.id === 'tri-state-1995');
    expect(curve?.k2o_lbPerAc.map((one) => Number(one?.toFixed(1)))).toEqual([181.1, 143.6, 106.1, 68.6, 68.6]);
  });
  it('agrees with the table at the zone’s own K', () => {
    const { curves } = guideCurves(of, [75]);
    guideTable(of).forEach(({ answer }, index) => {
      expect(curves[index]?.k2o_lbPerAc[0]).toBe(answer.ok ? answer.k2o_lbPerAc : null);
      expect(curves[index]?.why).toBe(answer.ok ? '' : answer.why);
    });
  });
  it('says of each whether its rates might set a plan’s', () => {
    const may = guideCurves(of).curves.filter((one) => one.maySetRate);
    expect(may.map((one) => one.guide.id)).not.toContain('nebraska'); // from memory
    const none = guideCurves(of).curves.find((one) => one.guide.id === 'tri-state-2020');
    expect(none?.maySetRate).toBe(false); // another extractant: no rate at all
    expect(none?.why).toContain('Mehlich-3');
  });
});
