import { describe, expect, it } from 'vitest';
import { GUIDES } from '../../../core/rates/guides/list.ts';
import { guideInput, guideTable } from '../../../core/rates/guides/table.ts';
import { corn, deepFreeze, soilPlan, zoneRate } from '../ground.ts';

const tableOf = (soil = soilPlan(), rates = corn({ yieldGoal: 180 }), k_ppm = 75) =>
  guideTable(deepFreeze({ reading: zoneRate({ k_ppm, cec_meq: 10 }, rates, soil).reading, soil, rates }));
const row = (rows: ReturnType<typeof tableOf>, id: string) => {
  const found = rows.find((one) => one.guide.id === id);
  if (!found) throw new Error(`no row ${id}`);
  return found;
};

describe('all guides at a zone', () => {
  it('has every guide once, as listed, as plain data', () => {
    const rows = tableOf();
    expect(rows.map((one) => one.guide.id)).toEqual(GUIDES.map((guide) => guide.id));
    expect(structuredClone(rows)).toEqual(rows);
  });
  it('with ammonium acetate in 6 in. under corn: who answers, and who is greyed and why', () => {
    const rows = tableOf(soilPlan({ extractant: 'ammonium acetate' }));
    expect(rows.filter((one) => !one.answer.ok).map((one) => one.guide.id)).toEqual([
      'tri-state-2020',
      'iowa-2013',
      'delaware',
      'new-jersey',
      'south-carolina',
    ]);
    const rates = rows.flatMap(({ guide, answer }) =>
      answer.ok && answer.k2o_lbPerAc !== null ? [[guide.id, Math.round(answer.k2o_lbPerAc * 10) / 10]] : [],
    );
    // 106.1: Tri-State 1995 at CEC 10, 75 ppm, 180 bu; 125 - 75; (1.166 - 0.5475) x 180; 73 + 37.8 - 42.375 - 21.6
    expect(rates).toEqual([
      ['tri-state-1995', 106.1],
      ['nebraska', 50],
      ['south-dakota', 111.3],
      ['kansas', 46.8],
    ]);
  });
  it('takes depth, convention, crop and yield from the plan and the reading', () => {
    const soil = soilPlan({ depth_in: 7, convention: 'furrow slice', extractant: 'Mehlich-3' });
    const rates = corn({ crop: 'soybean', yieldGoal: 55 });
    const { reading } = zoneRate({ k_ppm: 75, cec_meq: 10 }, rates, soil);
    const input = guideInput({ reading, soil, rates, labClass: 'high' });
    expect(input).toMatchObject({
      depth_in: 7,
      crop: 'soybean',
      yieldGoal: 55,
      extractant: 'Mehlich-3',
      labClass: 'high',
    });
    expect(input.supply_factor).toBeCloseTo(2.1, 9);
  });
  it('answers small grain by the class on the lab’s report', () => {
    const soil = soilPlan();
    const rates = corn({ crop: 'oats', yieldGoal: 80 });
    const { reading } = zoneRate({ k_ppm: 75, cec_meq: 10 }, rates, soil);
    const rows = guideTable({ reading, soil, rates, labClass: 'medium' });
    expect(row(rows, 'south-carolina').answer).toMatchObject({ ok: true, k2o_lbPerAc: 60 });
    expect(row(tableOf(soil, rates), 'south-carolina').answer).toMatchObject({ ok: false, unmet: ['class'] });
  });
  it('without CEC, crop and yield goal no guide gives a rate, and each row says why or what it does give', () => {
    const soil = soilPlan();
    const rates = corn({ crop: null, yieldGoal: null });
    const { reading } = zoneRate({ k_ppm: 75 }, rates, soil);
    const rows = guideTable({ reading, soil, rates });
    expect(rows.filter(({ answer }) => answer.ok).map((one) => one.guide.id)).toEqual(['delaware', 'new-jersey']);
    for (const { answer } of rows)
      if (answer.ok) expect(answer.k2o_lbPerAc).toBeNull();
      else expect(answer.why.length).toBeGreaterThan(10);
  });
});
