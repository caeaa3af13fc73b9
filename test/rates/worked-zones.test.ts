import { describe, expect, it } from 'vitest';
import { codes, corn, type GroundSpec, lineOf, ofThePlan, ratesOf, zoneRate } from './ground.ts';

// Worked by hand with the plan's defaults: corn at 200 bu (removal 0.20, uptake 0.78 lb K2O/bu), both floors (150 ppm, 4 %), range
// to 8 %, four years, 6-inch samples (factor 2.00), 0-0-60 at $430 a ton, $9 a pass.

describe('the light rise: 70 ppm at CEC 4.5', () => {
  const zone = zoneRate({ k_ppm: 70, cec_meq: 4.5, acres: 12 });

  it('cuts the ppm target to what the top of the range holds', () => {
    // 8 % x 4.5 meq x 3.9098 = 140.75 ppm; (140.75 - 70) x 2 x 1.2046 = 170.46
    expect(lineOf(zone, 'targetPpm').label).toBe('Target by ppm, 141');
    expect(lineOf(zone, 'targetPpm').how).toContain('150 ppm cut to 141');
    expect(lineOf(zone, 'targetPpm').working).toBeCloseTo(170.46, 1);
  });
  it('is short by pounds although its share is nearly there', () => {
    // 4 % x 4.5 x 3.9098 = 70.38 ppm: 0.38 ppm short, 0.91 lb
    expect(lineOf(zone, 'targetSaturation').working).toBeCloseTo(0.91, 1);
    expect(zone.governing).toBe('ppm');
    expect(zone.reading.kSat_pct).toBeCloseTo(3.979, 3);
  });
  it('puts the uptake in reach, then holds the year to the cap', () => {
    expect(lineOf(zone, 'buildUp').working).toBeCloseTo(42.61, 1);
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(156, 9); // 40 + max(42.6, 156 - 40)
    expect(lineOf(zone, 'cap').carried).toBeCloseTo(-36, 9);
    expect(zone.undone_lbK2OPerAc).toBeCloseTo(36, 9);
  });
  it('splits 120 lb K2O over both passes, at 60 lb K2O each', () => {
    expect(zone.passes.map((pass) => [pass.rate_lbPerAc, pass.k2o_lbPerAc])).toEqual([
      [100, 60],
      [100, 60],
    ]);
    expect(zone.rate_lbPerAc).toBe(200);
  });
  it('costs product and two passes', () => {
    expect(zone.cost_perAc).toBeCloseTo((200 / 2000) * 430 + 18, 9);
    expect(lineOf(zone, 'money').how).toContain('12.0 ac: $732');
  });
  it('counts no bank above the floor, on light ground however much there is', () => {
    expect(zone.removalYearsAboveFloor).toBe(0);
    expect(zoneRate({ k_ppm: 400, cec_meq: 4.5 }).removalYearsAboveFloor).toBe(0);
  });
  it('puts a small rate in season, in one pass', () => {
    // 75 lb = 45 lb K2O: the half of it is under the machine's least rate of 50
    const small = zoneRate({ k_ppm: 150, cec_meq: 6 }, corn({ yieldGoal: 225 }));
    expect(small.passes.map((pass) => pass.rate_lbPerAc)).toEqual([0, 75]);
  });
});

describe('the heavy flat: 172 ppm at CEC 18', () => {
  const zone = zoneRate({ k_ppm: 172, cec_meq: 18 });

  it('has the pounds and lacks the share', () => {
    // 172 x 2 x 1.2046 = 414.4; 4 x 18 x 3.9098 = 281.5 ppm; 109.5 x 2.4092 = 263.8
    expect(lineOf(zone, 'supply').working).toBeCloseTo(414.4, 1);
    expect(lineOf(zone, 'targetPpm').working).toBe(0);
    expect(lineOf(zone, 'targetSaturation').working).toBeCloseTo(263.8, 1);
    expect(lineOf(zone, 'governs').working).toBeCloseTo(263.8, 1);
    expect(zone.governing).toBe('saturation');
  });
  it('shows what each reading alone would ask for', () => {
    // removal 40 lb K2O = 66.7 lb product -> 65; uptake 156 lb K2O = 260 lb product
    expect(zone.answers).toEqual({ ppmAlone: 65, saturationAlone: 260, thisPlan: 260 });
    expect(codes(zone)).toContain('rates-readings-apart');
  });
  it('takes the build-up where that is more than the uptake, never both', () => {
    const atOnce = zoneRate({ k_ppm: 172, cec_meq: 18 }, corn({ buildUp_years: 1 }));
    expect(lineOf(atOnce, 'crop').carried).toBeCloseTo(40 + 263.8, 1);
  });
  it('goes on in one pass up to the pass cap, then in season', () => {
    expect(zone.passes.map((pass) => pass.rate_lbPerAc)).toEqual([260, 0]);
    const atOnce = zoneRate({ k_ppm: 172, cec_meq: 18 }, corn({ buildUp_years: 1 }));
    // 303.8 lb K2O = 506.3 lb product: the cap of 500 leaves 6.3, so the first pass gives up what 50 lacks
    expect(atOnce.passes.map((pass) => pass.rate_lbPerAc)).toEqual([455, 50]);
    expect(zoneRate({ k_ppm: 120, cec_meq: 18 }, corn({ buildUp_years: 1 })).passes.map((p) => p.rate_lbPerAc)).toEqual(
      [500, 200],
    );
  });
  it('leaves undone what no pass holds', () => {
    // short 161.5 ppm: 389.1 + 40 = 429.1 lb K2O = 715.2 lb product; 500 + 200 leave 15.2 lb = 9.1 lb K2O
    const full = zoneRate({ k_ppm: 120, cec_meq: 18 }, corn({ buildUp_years: 1 }));
    expect(lineOf(full, 'passes').carried).toBeCloseTo(-9.1, 1);
    expect(full.undone_lbK2OPerAc).toBeCloseTo(9.1, 1);
  });
});

describe('the manured corner: 480 ppm at CEC 11', () => {
  const zone = zoneRate({ k_ppm: 480, cec_meq: 11 });

  it('lies above the range, so the crop line comes down and nothing is built up', () => {
    // 480 / (11 x 3.9098) = 11.161 %; (12 - 11.161) / 4 = 0.2098; 40 x 0.2098 = 8.4 lb K2O = 14 lb: under half of 50
    expect(zone.reading.kSat_pct).toBeCloseTo(11.161, 3);
    expect(lineOf(zone, 'buildUp').working).toBe(0);
    expect(lineOf(zone, 'aboveRange').carried).toBeCloseTo(-31.6, 1);
    expect(zone.exact_lbPerAc).toBeCloseTo(13.99, 1);
    expect(zone.rate_lbPerAc).toBe(0);
    expect(zone.cost_perAc).toBe(0);
    expect(zone.governing).toBe('none');
  });
  it('counts the years of removal above the governing target', () => {
    // target 4 % x 11 x 3.9098 = 172 ppm; (480 - 172.03) x 2.4092 / 40 = 18.5 years
    expect(zone.removalYearsAboveFloor).toBeCloseTo(18.55, 1);
  });
  it.each([
    [430.1, 'rates-saturation-note'],
    [516.1, 'rates-saturation-caution'],
    [645.2, 'rates-saturation-strong'],
  ])('%s ppm gets %s and no other word on saturation', (k_ppm, code) => {
    const said = codes(zoneRate({ k_ppm, cec_meq: 11 })).filter((one) => one.startsWith('rates-saturation'));
    expect(said).toEqual([code]);
  });
  it('is noted at 10 % to the letter', () => {
    // half of 40 lb K2O is 33.3 lb of product, and the machine's least is 50
    expect(codes(zoneRate({ k_ppm: 390.98, cec_meq: 10 }))).toEqual([
      'rates-saturation-note',
      'rates-manure-not-told',
      'rates-machine-changes',
    ]);
  });
  it('builds nothing up above the range, even where the floor is set above it', () => {
    const rates = corn({ floor_pct: 9, governs: 'saturation' });
    expect(lineOf(zoneRate({ k_ppm: 345, cec_meq: 10 }, rates), 'governs').working).toBe(0); // 8.8 %
    expect(lineOf(zoneRate({ k_ppm: 305, cec_meq: 10 }, rates), 'governs').working).toBeGreaterThan(0); // 7.8 %
  });
  it('gets nothing from 12 % on', () => {
    expect(zoneRate({ k_ppm: 520, cec_meq: 11 }).exact_lbPerAc).toBe(0);
  });
});

describe('ground that lacks nothing: 200 ppm at CEC 10', () => {
  it('gets removal, and says the years that lie above the floor', () => {
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 });
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(40, 9);
    // governing target 156.4 ppm (4 % of CEC 10): (200 - 156.4) x 2.4092 / 40
    expect(zone.removalYearsAboveFloor).toBeCloseTo(2.63, 1);
    expect(zone.rate_lbPerAc).toBe(65);
  });
});

describe('on a limit', () => {
  it('equal targets are the ppm one’s', () => {
    const rates = corn({ floor_ppm: 0.04 * 20 * 390.98 });
    expect(zoneRate({ k_ppm: 200, cec_meq: 20 }, rates).governing).toBe('ppm');
  });
  it('CEC 8 is not under 8', () => {
    expect(lineOf(zoneRate({ k_ppm: 70, cec_meq: 8 }), 'cap').working).toBe(240);
    expect(lineOf(zoneRate({ k_ppm: 70, cec_meq: 7.99 }), 'cap').working).toBe(120);
    expect(lineOf(zoneRate({ k_ppm: 70, cec_meq: 15 }), 'cap').working).toBeNull();
  });
  it('corn is told of North Dakota above 120 lb K2O a year, not at it', () => {
    const told = (spec: GroundSpec) => ratesOf([spec]).problems.map((one) => one.code);
    expect(told({ k_ppm: 172, cec_meq: 18 })).toContain('rates-corn-over-120');
    expect(told({ k_ppm: 70, cec_meq: 4.5 })).not.toContain('rates-corn-over-120');
  });
  it('a withheld zone leaves nothing undone, since nothing was given', () => {
    expect(zoneRate({ k_ppm: 70, cec_meq: 4.5, far_ac: 9 }).undone_lbK2OPerAc).toBe(0);
  });
});

describe('the whole field', () => {
  it('adds up acres, pounds, K2O and dollars', () => {
    const out = ratesOf([
      { k_ppm: 70, cec_meq: 4.5, acres: 12 },
      { k_ppm: 172, cec_meq: 18, acres: 60 },
      { k_ppm: 480, cec_meq: 11, acres: 8 },
    ]);
    expect(out.totals.acres).toBe(80);
    expect(out.totals.product_lb).toBe(12 * 200 + 60 * 260);
    expect(out.totals.product_tons).toBe(9);
    expect(out.totals.k2o_lb).toBeCloseTo(12 * 120 + 60 * 156, 6);
    expect(out.totals.cost).toBeCloseTo(12 * 61 + 60 * 64.9, 6);
    expect(out.totals.exact_lb).toBeCloseTo(12 * 200 + 60 * 260 + 8 * 13.986, 1);
    expect(out.totals.byPass).toEqual([
      { name: 'before the season', acres: 72, product_lb: 12 * 100 + 60 * 260 },
      { name: 'in season', acres: 12, product_lb: 12 * 100 },
    ]);
    expect(out.totals.withheld_ac).toBe(0);
  });
  it('says the dispute about saturation with its sources, and that nobody chose a target', () => {
    const out = ratesOf([{ k_ppm: 200, cec_meq: 10 }], corn({ governsTold: false }));
    expect(out.cautions[0]).toMatch(/Kopittke and Menzies 2007.*Chaganti and Culman 2017/);
    expect(ofThePlan(out).map((problem) => problem.code)).toEqual(['rates-governs-not-told']);
    expect(lineOf(out.zones[0] ?? zoneRate({ k_ppm: 1 }), 'governs').how).toContain('the larger was taken');
  });
});
