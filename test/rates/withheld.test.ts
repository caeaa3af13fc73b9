import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { planProblems } from '../../core/rates/plan-problems.ts';
import { codes, corn, type GroundSpec, groundOf, lineOf, ratesOf, soilPlan, told, zoneRate } from './ground.ts';

const FLAT: GroundSpec = { k_ppm: 120, cec_meq: 18 };
const override = (rate_lbPerAc: number, zoneKey = '1') => ({
  zoneKey,
  rate_lbPerAc,
  who: 'A. Grower',
  when: '2026-11-20',
  why: 'a trial strip',
});

const PLAN_WIDE: readonly string[] = [
  'rates-no-crop',
  'rates-crop-unknown',
  'rates-no-yield-goal',
  'rates-no-residue-figure',
  'rates-range-order',
];

describe('no rate is given, and why', () => {
  it.each([
    ['no K', { k_ppm: Number.NaN, cec_meq: 18 }, {}, 'rates-no-k'],
    ['no CEC, the larger asked for', { k_ppm: 120 }, {}, 'rates-no-cec'],
    ['no CEC, saturation asked for', { k_ppm: 120 }, { governs: 'saturation' }, 'rates-no-cec'],
    ['no crop', FLAT, { crop: null }, 'rates-no-crop'],
    ['a crop not in the list', FLAT, { crop: 'moss' }, 'rates-crop-unknown'],
    ['no yield goal', FLAT, { yieldGoal: null }, 'rates-no-yield-goal'],
    ['a zone of cells without a reading', { k_ppm: Number.NaN, key: 'unknown' }, {}, 'rates-zone-unknown'],
    ['more than half far from any sample', { ...FLAT, acres: 10, far_ac: 5.1 }, {}, 'rates-far'],
    [
      'residue leaves and has no figure',
      FLAT,
      { crop: 'canola', harvest: 'grain and residue' },
      'rates-no-residue-figure',
    ],
    ['floor above the range', FLAT, { floor_pct: 9 }, 'rates-range-order'],
  ] as const)('%s', (_, ground, changes, code) => {
    const zone = zoneRate(ground, corn(changes));
    expect(zone.withheld).toMatchObject({ code, severity: 'stop' });
    // a cause of the whole plan names no zone, so that it can be said once
    expect(zone.withheld?.at?.zone).toBe(PLAN_WIDE.includes(code) ? undefined : 'A');
    expect([zone.rate_lbPerAc, zone.exact_lbPerAc, zone.k2o_lbPerAc, zone.cost_perAc]).toEqual([
      null,
      null,
      null,
      null,
    ]);
    expect(zone.passes).toEqual([]);
    expect(zone.answers.thisPlan).toBeNull();
    expect(zone.lines.map((line) => line.n)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14]);
  });
  it('a grade that the salt cannot hold', () => {
    const product = { ...corn().product, name: '0-0-65', k2o_pct: 65 };
    expect(zoneRate(FLAT, corn({ product })).withheld?.message).toContain('cannot hold more than 63.18 %');
    // not even by hand: nobody knows what K2O it would be
    expect(zoneRate(FLAT, corn({ product, overrides: [override(100)] })).withheld?.code).toBe('rates-grade-over-limit');
  });
  it('a machine without a rate', () => {
    const machine = { least_lbPerAc: 300, most_lbPerAc: 200, step_lbPerAc: 5, distinctRates: null };
    expect(zoneRate(FLAT, corn({ machine })).withheld?.code).toBe('rates-machine-range');
  });
  it('a cause of the whole plan is the same Problem in every zone', () => {
    const [a, b] = ratesOf([FLAT, { k_ppm: 90, cec_meq: 12 }], corn({ crop: null })).zones;
    expect(a?.withheld?.code).toBe('rates-no-crop');
    expect(b?.withheld).toEqual(a?.withheld);
  });
  it.each(['1', 'unknown'])('saturation that cannot govern comes before the reading it leaves out, zone %s', (key) => {
    const limy = { k_ppm: 120, cec_meq: 30, ph: 7.9, key };
    const zone = zoneRate(limy, corn({ governs: 'saturation' }), soilPlan({ extractant: 'Mehlich-3' }));
    expect(zone.withheld?.code).toBe('rates-cec-overstated');
    expect(codes(zone)).not.toContain('rates-zone-unknown');
  });
  it('half of the acres far is said, not withheld', () => {
    const zone = zoneRate({ ...FLAT, acres: 10, far_ac: 5 });
    expect(zone.withheld).toBeNull();
    expect(codes(zone)).toContain('rates-far-part');
  });
  it('keeps the lines that can be worked', () => {
    const zone = zoneRate({ k_ppm: 120 });
    expect(lineOf(zone, 'targetPpm').working).toBeCloseTo(30 * 2.4092, 2);
    expect(lineOf(zone, 'targetSaturation').working).toBeNull();
    expect(lineOf(zone, 'governs').working).toBeNull();
    expect(lineOf(zone, 'crop').carried).toBeNull();
    const far = zoneRate({ ...FLAT, acres: 10, far_ac: 9 });
    expect(lineOf(far, 'machine').working).toBe(260);
  });
  it('counts the acres and no pound of it', () => {
    const { totals } = ratesOf([FLAT, { k_ppm: Number.NaN, cec_meq: 12, acres: 3 }]);
    expect(totals).toMatchObject({ acres: 13, withheld_ac: 3, product_lb: 2600 });
  });
});

describe('without CEC, where ppm governs', () => {
  it('keeps to the caps of light ground and says so', () => {
    const zone = zoneRate({ k_ppm: 60 }, corn({ governs: 'ppm' }));
    expect(zone.withheld).toBeNull();
    expect(codes(zone)).toContain('rates-no-cec-caps');
    expect(zone.k2o_lbPerAc).toBe(120);
    expect(zone.answers.saturationAlone).toBeNull();
  });
});

describe('limy ground: Mehlich-3 above pH 7.3 (Kansas AES Res. Rep. 7(8))', () => {
  const limy: GroundSpec = { k_ppm: 160, cec_meq: 30, ph: 7.8 };
  const mehlich = soilPlan({ extractant: 'Mehlich-3' });

  it('lets ppm govern where the larger was asked for', () => {
    const zone = zoneRate(limy, corn(), mehlich);
    expect(zone.governing).toBe('none');
    expect(codes(zone)).toContain('rates-cec-overstated');
    expect(zone.answers).toEqual({ ppmAlone: 65, saturationAlone: null, thisPlan: 65 });
    expect(lineOf(zone, 'targetSaturation').how).toContain('cannot govern');
  });
  it('gives no rate where saturation was asked for, until there is a reason', () => {
    expect(zoneRate(limy, corn({ governs: 'saturation' }), mehlich).withheld?.code).toBe('rates-cec-overstated');
    const told = corn({ governs: 'saturation', calcareousReason: 'CEC checked by sodium acetate' });
    const zone = zoneRate(limy, told, mehlich);
    expect(zone.governing).toBe('saturation');
    expect(lineOf(zone, 'targetSaturation').how).toContain('CEC checked by sodium acetate');
  });
  it('holds at 7.3 and with another extractant; asks where none is told', () => {
    expect(zoneRate({ ...limy, ph: 7.3 }, corn(), mehlich).governing).toBe('saturation');
    expect(zoneRate(limy, corn(), soilPlan({ extractant: 'ammonium acetate' })).governing).toBe('saturation');
    expect(codes(zoneRate(limy))).toContain('rates-extractant-not-told');
  });
});

describe('crops', () => {
  it('without an uptake figure none is used, and it is said', () => {
    const zone = zoneRate({ k_ppm: 100, cec_meq: 12 }, corn({ crop: 'canola', yieldGoal: 50 }));
    // 150 and 188 ppm (4 % of CEC 12): 87.7 ppm x 2.4092 / 4 = 52.8; removal 50 x 0.40 = 20
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(20 + 52.8, 1);
    expect(lineOf(zone, 'crop').how).toContain('no uptake figure for canola was found, so none is used');
    expect(codes(zone)).toContain('rates-no-uptake');
  });
  it('whose whole plant leaves ask for removal, not for uptake beyond it', () => {
    const zone = zoneRate({ k_ppm: 100, cec_meq: 12 }, corn({ crop: 'alfalfa', yieldGoal: 5 }));
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(245 + 52.8, 1);
    expect(codes(zone)).not.toContain('rates-no-uptake');
  });
  it('take the whole uptake with them where the residue leaves too', () => {
    const zone = zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ harvest: 'grain and residue' }));
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(156, 9);
    const canola = corn({ crop: 'canola', yieldGoal: 50, harvest: 'grain and residue', removal_lbK2OPerUnit: 1.5 });
    expect(lineOf(zoneRate({ k_ppm: 200, cec_meq: 10 }, canola), 'crop').carried).toBeCloseTo(75, 9);
  });
  it('go by typed figures first, with that as the source', () => {
    const zone = zoneRate({ k_ppm: 100, cec_meq: 18 }, corn({ removal_lbK2OPerUnit: 0.3, uptake_lbK2OPerUnit: 1.37 }));
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(274, 9);
    expect(lineOf(zone, 'crop').source).toBe('Removal: typed in the plan. Uptake: typed in the plan.');
  });
});

describe('words of the lines', () => {
  it('a typed removal with the residue in it says so, and line 4 prints no target where none is known', () => {
    const residue = { harvest: 'grain and residue', removal_lbK2OPerUnit: 1.2 } as const;
    expect(lineOf(zoneRate(FLAT, corn(residue)), 'crop').how).toContain('leaves with the grain and residue');
    expect(lineOf(zoneRate(FLAT, corn()), 'crop').how).toContain('leaves with the grain;');
    const unknown = zoneRate({ k_ppm: 120 }, corn());
    expect(lineOf(unknown, 'governs').how).not.toContain('target');
    const noCrop = zoneRate(FLAT, corn({ crop: null }));
    for (const line of noCrop.lines) expect(Number.isNaN(line.working), line.key).toBe(false);
  });
});

describe('hand override', () => {
  it('replaces the rate; K2O and cost follow; who, when and why show', () => {
    const zone = zoneRate(FLAT, corn({ overrides: [override(300)] }));
    expect(zone.rate_lbPerAc).toBe(300);
    expect(zone.k2o_lbPerAc).toBe(180);
    expect(zone.cost_perAc).toBeCloseTo(64.5 + 9, 9);
    expect(zone.answers).toEqual({ ppmAlone: 260, saturationAlone: 260, thisPlan: 300 });
    expect(lineOf(zone, 'override').how).toBe(
      '300 lb/ac by A. Grower, 2026-11-20: a trial strip; in place of 260; 180.0 lb K2O',
    );
  });
  it('goes over the passes by the same caps: half before the season on light ground', () => {
    const light = zoneRate({ k_ppm: 70, cec_meq: 4.5 }, corn({ overrides: [override(180)] }));
    expect(light.passes.map((pass) => pass.rate_lbPerAc)).toEqual([90, 90]);
    // 30 lb is under the least rate of 50, so 20 lb come over from the first pass
    const heavy = zoneRate(FLAT, corn({ overrides: [override(530)] }));
    expect(heavy.passes.map((pass) => pass.rate_lbPerAc)).toEqual([480, 50]);
    expect(codes(heavy)).not.toContain('rates-override-range');
  });
  it('is never cut: what the machine or the caps do not allow is said', () => {
    const much = zoneRate(FLAT, corn({ overrides: [override(1500)] }));
    // what is more than both caps lies before the season, and the pass in season keeps to its own
    expect(much.passes.map((pass) => pass.rate_lbPerAc)).toEqual([1300, 200]);
    expect(much.problems.find((one) => one.code === 'rates-override-cap')?.message).toContain(
      'the cap before the season by 800.0 lb/ac',
    );
    expect(much.problems.find((one) => one.code === 'rates-heavy-pass')?.message).toContain(
      'because: typed by hand: a trial strip.',
    );
    expect(codes(much)).toEqual(
      expect.arrayContaining(['rates-override-range', 'rates-override-cap', 'rates-heavy-pass']),
    );
    expect(codes(zoneRate(FLAT, corn({ overrides: [override(237)] })))).toContain('rates-override-range');
    const year = zoneRate({ k_ppm: 70, cec_meq: 4.5 }, corn({ overrides: [override(260)] }));
    expect(year.problems.find((one) => one.code === 'rates-override-cap')?.message).toContain(
      "the year's cap by 36.0 lb K2O/ac",
    );
  });
  it('above 1,400 lb in a pass stands by its reason, with a strong caution that names pass, pounds and reason', () => {
    const zone = zoneRate(FLAT, corn({ overrides: [override(1700)] }));
    expect(zone.rate_lbPerAc).toBe(1700);
    const found = zone.problems.find((one) => one.code === 'rates-very-heavy-pass');
    expect(found?.severity).toBe('caution');
    expect(found?.message).toBe(
      'Zone A gets 1,500 lb/ac of product in one pass, before the season: more than 1,400, because: typed by hand: a trial strip.',
    );
  });
  it('never goes over the cap in season while the first pass has room', () => {
    const light = zoneRate(
      { k_ppm: 70, cec_meq: 18 },
      corn({ overrides: [override(452)], machine: { ...corn().machine, step_lbPerAc: 10 } }),
      soilPlan(),
      { ground: told({ texture: 'sand or loamy sand' }) },
    );
    expect(light.passes.every((pass) => pass.k2o_lbPerAc <= 60 || !pass.inSeason)).toBe(true);
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 3000 }),
        fc.constantFrom(4.5, 18),
        fc.constantFrom(5, 7, 10),
        (rate, cec_meq, step) => {
          const rates = corn({ overrides: [override(rate)], machine: { ...corn().machine, step_lbPerAc: step } });
          const [before, season] = zoneRate({ k_ppm: 70, cec_meq }, rates).passes;
          expect((before?.rate_lbPerAc ?? 0) + (season?.rate_lbPerAc ?? 0)).toBeCloseTo(rate, 6);
          expect(season?.rate_lbPerAc).toBeLessThanOrEqual(cec_meq < 8 ? 100 : 200);
        },
      ),
      { numRuns: 200 },
    );
  });
  it('on ground above the range is told, with the share', () => {
    const rich = zoneRate({ k_ppm: 420, cec_meq: 12 }, corn({ overrides: [override(300)] }));
    expect(rich.problems.find((one) => one.code === 'rates-override-above-range')?.message).toContain(
      '180.0 lb K2O/ac were typed for zone A, where K stands at 9.0 %',
    );
    expect(codes(zoneRate({ k_ppm: 420, cec_meq: 12 }, corn({ overrides: [override(0)] })))).not.toContain(
      'rates-override-above-range',
    );
    expect(codes(zoneRate(FLAT, corn({ overrides: [override(300)] })))).not.toContain('rates-override-above-range');
  });
  it('may be 0', () => {
    const zone = zoneRate(FLAT, corn({ overrides: [override(0)] }));
    expect([zone.rate_lbPerAc, zone.cost_perAc, zone.withheld]).toEqual([0, 0, null]);
  });
  it('stands where no rate could be worked out, and that is said', () => {
    const zone = zoneRate({ ...FLAT, far_ac: 9 }, corn({ overrides: [override(200)] }));
    expect(zone.withheld).toBeNull();
    expect(zone.rate_lbPerAc).toBe(200);
    expect(zone.problems.find((one) => one.code === 'rates-by-hand')?.message).toContain('9.0 of the 10.0 ac');
    expect(lineOf(zone, 'override').how).toContain('no rate was worked out');
  });
  it('for a zone that is no more is kept and said', () => {
    const out = ratesOf([FLAT], corn({ overrides: [override(200, '7.1')] }));
    expect(out.problems.map((one) => one.code)).toEqual(['rates-override-no-zone', 'rates-corn-over-120']);
    expect(out.zones[0]?.override).toBeNull();
  });
  it('is told to have moved where the zone of its key no longer holds the place it was typed for', () => {
    const box = (west: number): MultiPolygon => [
      [
        [
          [west, 42],
          [west + 0.01, 42],
          [west + 0.01, 42.01],
          [west, 42.01],
          [west, 42],
        ],
      ],
    ];
    const plan = corn();
    const { zones } = groundOf([FLAT, FLAT], soilPlan(), plan).zones;
    const placed = zones.map((zone, index) => ({ ...zone, polygons: box(-94 + index * 0.01) }));
    const moved = (at: [number, number] | null | undefined) => {
      const given = at === undefined ? override(200) : { ...override(200), at };
      return planProblems({ ...plan, overrides: [given] }, placed, [], 7, []).filter(
        ({ code }) => code === 'rates-override-moved',
      );
    };
    expect(moved([-93.995, 42.005])).toEqual([]);
    expect(moved(null)).toEqual([]);
    expect(moved(undefined)).toEqual([]);
    const [found] = moved([-93.985, 42.005]);
    expect(found?.at).toMatchObject({ zone: 'A', setting: 'rates.overrides' });
    expect(found?.message).toContain('that lies in zone B now');
    expect(moved([-93, 42])[0]?.message).toContain('typed for.');
  });
});

describe('limits of saturation out of order', () => {
  it.each([
    [{ zeroAt_pct: 8 }, 'rates.zeroAt_pct'],
    [{ note_pct: 13 }, 'rates.note_pct'],
    [{ caution_pct: 16 }, 'rates.caution_pct'],
  ])('%j is cautioned once for the plan', (changes, setting) => {
    const { problems } = ratesOf([FLAT, FLAT], corn(changes));
    const other = problems.filter((one) => one.code !== 'rates-corn-over-120');
    expect(other).toMatchObject([{ code: 'rates-saturation-order', severity: 'caution', at: { setting } }]);
  });
});

describe('a rate typed by hand', () => {
  it('needs a reason of more than blanks, and a day or none', () => {
    expect(() => corn({ overrides: [{ ...override(100), why: '  ' }] })).toThrow(
      'A rate typed by hand needs its reason.',
    );
    expect(() => corn({ overrides: [{ ...override(100), when: 'last week' }] })).toThrow('A day is written as');
    const read = corn({ overrides: [{ ...override(100), who: ' ', when: '', why: ' a strip ' }] }).overrides[0];
    expect(read).toMatchObject({ who: '', when: '', why: 'a strip' });
  });
});

describe('more than 120 lb K2O on corn', () => {
  const settingOf = (changes: Parameters<typeof corn>[0]) =>
    ratesOf([{ k_ppm: 172, cec_meq: 18 }], corn(changes)).problems.find((one) => one.code === 'rates-corn-over-120')?.at
      ?.setting;
  it('gives the remedy of what asks for it', () => {
    expect(settingOf({})).toBe('rates.uptake_lbK2OPerUnit'); // 116 beyond removal, 66 build-up
    expect(settingOf({ buildUp_years: 1 })).toBe('rates.buildUp_years');
    expect(settingOf({ harvest: 'grain and residue', governs: 'ppm' })).toBe('rates.removal_lbK2OPerUnit');
    expect(settingOf({ overrides: [override(300)] })).toBe('rates.overrides');
    expect(settingOf({ follows: 'tri-state-1995', yieldGoal: 300, overrides: [] })).toBeUndefined(); // 81 + 20
  });
  it('is one caution of the plan with the letters of its zones and its source, for silage too', () => {
    const out = ratesOf([FLAT, { k_ppm: 172, cec_meq: 18 }, { k_ppm: 300, cec_meq: 18 }]);
    const found = out.problems.filter((one) => one.code === 'rates-corn-over-120');
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ severity: 'caution', stage: 'rates' });
    expect(found[0]?.message).toContain('Zones A and B get 156 lb K2O/ac for corn');
    expect(found[0]?.message).toContain('(North Dakota corn, ndcorn.org)');
    expect(out.zones.flatMap(codes)).not.toContain('rates-corn-over-120');
    const silage = ratesOf([{ k_ppm: 250, cec_meq: 12 }], corn({ crop: 'corn-silage', yieldGoal: 24 })).problems;
    expect(silage.find((one) => one.code === 'rates-corn-over-120')?.message).toContain('for corn silage');
  });
});

describe('K2O left undone', () => {
  it('adds up over the acres, and is cautioned above a quarter', () => {
    const out = ratesOf([{ k_ppm: 70, cec_meq: 4.5, acres: 12 }, FLAT]);
    expect(out.totals.undone_lbK2O).toBeCloseTo(12 * 36, 6); // 36 of 156 is under a quarter
    expect(out.zones.flatMap(codes)).not.toContain('rates-undone');
    const much = zoneRate({ k_ppm: 70, cec_meq: 4.5, acres: 12 }, corn({ yieldGoal: 300 }));
    // 300 x 0.78 = 234 lb asked for, 120 given
    expect(much.problems.find((one) => one.code === 'rates-undone')?.message).toContain('114.0 of the 234.0 lb K2O/ac');
  });
});
