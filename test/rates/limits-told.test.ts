import { describe, expect, it } from 'vitest';
import { CROPS, RESIDUES } from '../../core/rates/crops.ts';
import { productFaults } from '../../core/rates/product.ts';
import type { ProductChoice, RatesSettings } from '../../core/rates/settings.ts';
import type { ZoneRate } from '../../core/rates/types.ts';
import { codes, corn, lineOf, ratesOf, soilPlan, told, zoneRate } from './ground.ts';

type Pass = RatesSettings['passes'][number];
const pass = (name: string, placement: Pass['placement'] = 'broadcast', inSeason = false): Pass => ({
  name,
  inSeason,
  most_lbPerAc: 500,
  mostReason: '',
  placement,
  row_in: 30,
});
const said = (zone: ZoneRate, code: string) => zone.problems.find((one) => one.code === code);
const product = (changes: Partial<ProductChoice> = {}): ProductChoice => ({ ...corn().product, ...changes });

describe('corn over 120 lb K2O', () => {
  const over = (yieldGoal: number, k_ppm: number) =>
    ratesOf([{ k_ppm, cec_meq: 20 }], corn({ yieldGoal, buildUp_years: 1 })).problems.find(
      (one) => one.code === 'rates-corn-over-120',
    );
  it('is told to be brought down by more years only as far as years bring it', () => {
    // uptake of 200 bu x 0.78 = 156 lb: no number of years goes below; of 140 bu it is 109
    expect(over(200, 200)?.remedy).toBe(
      'More years of build-up bring it down to 156 lb K2O/ac, the uptake in use, and no further: look at that figure too.',
    );
    expect(over(140, 200)?.remedy).toBe('Spread the build-up over more years, unless the ground is known to take it.');
  });
  it('silage likewise, by its removal', () => {
    const silage = ratesOf(
      [{ k_ppm: 200, cec_meq: 20 }],
      corn({ crop: 'corn-silage', yieldGoal: 25, buildUp_years: 1 }),
    );
    expect(silage.problems.find((one) => one.code === 'rates-corn-over-120')?.remedy).toContain(
      'lb K2O/ac, the removal in use, and no further',
    );
  });
});

describe('what the caps leave undone', () => {
  const remedy = (k_ppm: number, cec_meq: number, changes: Partial<RatesSettings>) =>
    said(zoneRate({ k_ppm, cec_meq }, corn(changes)), 'rates-undone')?.remedy;
  it('is never mended by a third pass', () => {
    expect(remedy(40, 4, { buildUp_years: 1 })).toBe(
      "Raise the year's cap, as far as the ground bears it; else put it on next year.",
    );
    const low = [pass('early'), pass('late')].map((one) => ({ ...one, most_lbPerAc: 60 }));
    expect(remedy(100, 20, { passes: low })).toMatch(/^Raise the cap early and late, as far/);
    expect(remedy(100, 20, { passes: low.slice(0, 1) })).toMatch(/^Raise the cap early or add a pass, as far/);
  });
  it('nor by a higher limit beside the seed', () => {
    const machine = { least_lbPerAc: 5, most_lbPerAc: 800, step_lbPerAc: 1, distinctRates: null };
    const told = remedy(100, 20, { passes: [pass('with the seed', 'banded 2 x 2 in.')], machine });
    expect(told).toBe(
      'Add a pass or broadcast what is put on with the seed, as far as the ground bears it; else put it on next year. The limit at the row guards the seed, and is not to be raised.',
    );
  });
});

describe('a pass beside the seed', () => {
  const machine = { least_lbPerAc: 5, most_lbPerAc: 800, step_lbPerAc: 1, distinctRates: null };
  const at = (passes: readonly Pass[]) => zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ passes: [...passes], machine }));
  it('cites the source of its own limit on line 10', () => {
    expect(lineOf(at([pass('with the seed', 'in furrow')]), 'passes').source).toMatch(/^caps: Kansas State University/);
    expect(lineOf(at([pass('early'), pass('row', 'banded 2 x 2 in.')]), 'passes').source).toMatch(
      /^caps: Michigan State University .*; common practice, no source$/,
    );
    expect(lineOf(at([pass('early')]), 'passes').source).toBe('common practice, no source');
  });
  it('in season is told to be none', () => {
    for (const placement of ['in furrow', 'banded 2 x 2 in.'] as const)
      expect(said(at([pass('early'), pass('in season', placement, true)]), 'rates-placed-in-season')?.severity).toBe(
        'caution',
      );
    expect(codes(at([pass('early'), pass('late', 'broadcast', true)]))).not.toContain('rates-placed-in-season');
  });
});

describe('a product that its name or its label gives away', () => {
  it.each([
    '3-18-18',
    'starter 6-24-6',
    '2-6-12',
    '0-0-25-17S',
    '0-0-30 aqueous',
    'KCl soln',
    'KCl sol. 12 %',
    'potash slurry',
    'flowable K',
    'potassium acetate',
    'potassium carbonate solution',
  ])('%s is a liquid', (name) => {
    expect(productFaults(product({ name })).map((one) => one.code)).toEqual(['rates-liquid']);
  });
  it.each(['0-0-60', 'soln. grade 0-0-62', '12-6-12', '13-18-18', 'soluble potash', '0-0-22'])('%s is not', (name) => {
    expect(productFaults(product({ name }))).toEqual([]);
  });
  it('holds no more chloride than pure potassium chloride, 35.45 / 74.55 = 47.55 %', () => {
    expect(productFaults(product({ cl_pct: 90 }))[0]).toMatchObject({
      code: 'rates-chloride-over-limit',
      message: expect.stringContaining('47.55 %'),
    });
    expect(productFaults(product({ cl_pct: 47.7 }))).toHaveLength(1);
    expect(productFaults(product({ cl_pct: 47.6 }))).toEqual([]);
    const sulfate = product({ name: '0-0-50', k2o_pct: 50, salt: 'sulfate', cl_pct: 60 });
    expect(productFaults(sulfate).map((one) => one.code)).toEqual(['rates-chloride-over-limit']);
  });
  it('keeps the caution of chloride where its label is said to hold none, and its name or salt says otherwise', () => {
    const potato = (changes: Partial<ProductChoice>) =>
      zoneRate({ k_ppm: 150, cec_meq: 10 }, corn({ crop: 'potato', yieldGoal: 20, product: product(changes) }));
    expect(said(potato({ cl_pct: 0 }), 'rates-chloride')?.message).toContain('is a chloride by name or salt');
    const named = { name: 'muriate of potash', salt: 'sulfate', k2o_pct: 50, cl_pct: 0 } as const;
    expect(codes(potato(named))).toContain('rates-chloride');
    expect(codes(potato({ ...named, name: '0-0-50' }))).not.toContain('rates-chloride');
  });
});

describe('what else is said', () => {
  it('a typed rate that leaves out the second product says what lacks', () => {
    const second = {
      product: product({ name: '0-0-50', k2o_pct: 50, s_pct: 17, salt: 'sulfate' }),
      gives: { by: 'sulfur', s_lbPerAc: 20 },
      where: null,
    } as const;
    const overrides = [{ zoneKey: '1', rate_lbPerAc: 300, who: 'Ann', when: '', why: 'history' }];
    const zone = zoneRate({ k_ppm: 172, cec_meq: 18 }, corn({ second, overrides }));
    expect(said(zone, 'rates-second-short')?.message).toBe(
      'Zone A gets no 0-0-50: the rate typed by hand is all of it 0-0-60, and the 20 lb S/ac lack.',
    );
  });
  it('ground between the top of the range and the end of the draw-down is told what the rule still gives', () => {
    const zone = zoneRate({ k_ppm: 100, cec_meq: 3 }, corn(), soilPlan(), {
      ground: told({ manure: 'most years', grazed: 'yes' }),
    });
    const asked = lineOf(zone, 'crop').carried ?? 0;
    const kept = asked + (lineOf(zone, 'aboveRange').carried ?? 0);
    expect(kept).toBeGreaterThan(20);
    for (const code of ['rates-tetany', 'rates-manured']) {
      expect(said(zone, code)?.remedy).toContain(`still asks for ${kept.toFixed(1)} lb K2O/ac`);
      expect(said(zone, code)?.remedy).not.toContain('Put on no K.');
    }
    const bare = zoneRate({ k_ppm: 200, cec_meq: 3 }, corn(), soilPlan(), { ground: told({ grazed: 'yes' }) });
    expect(said(bare, 'rates-tetany')?.remedy).toMatch(/^Put on no K\. /);
  });
  it('field-moist K does not tell what the cations were extracted with, which counts on calcareous ground', () => {
    const limy = (extractant: 'field-moist' | 'ammonium acetate') =>
      said(
        zoneRate({ k_ppm: 200, cec_meq: 20, ph: 7.9 }, corn(), soilPlan({ extractant })),
        'rates-extractant-not-told',
      );
    expect(limy('field-moist')?.message).toContain('what the cations were extracted with is not told');
    expect(limy('ammonium acetate')).toBeUndefined();
  });
  it('surplus credits are named with next year’s soil', () => {
    const credits: RatesSettings['credits'] = [
      { kind: 'fertilizer', name: 'spread before', k2o_lbPerAc: 100, on: '', afterSample: 'yes', where: null },
    ];
    expect(zoneRate({ k_ppm: 200, cec_meq: 10 }, corn({ credits })).next?.carriedOver_lbK2OPerAc).toBeCloseTo(60, 9);
    expect(zoneRate({ k_ppm: 200, cec_meq: 10 }).next?.carriedOver_lbK2OPerAc).toBe(0);
  });
  it('a figure whose source nobody noted says so, and is not said to be seen in it', () => {
    const all = [
      ...CROPS.flatMap((crop) => [crop.removal, ...crop.otherRemovals, ...crop.otherUptakes]),
      ...RESIDUES.flatMap(({ figures }) => figures),
    ];
    const published = all.filter(({ source }) => /published (span|figure)/.test(source));
    const noted = all.filter(({ source }) => source.includes('not recorded'));
    expect(noted).toEqual(published);
    expect(noted).toHaveLength(4);
    for (const { flag } of noted) expect(flag).not.toBe('seen in the source');
  });
  it('spending every year names the zones whose part does not pay a pass, and the dollars', () => {
    const out = ratesOf(
      [
        { k_ppm: 172, cec_meq: 18, acres: 20 },
        { k_ppm: 200, cec_meq: 10, acres: 10 },
      ],
      corn({ land_years: 4 }),
    );
    // 65 lb are $13.98 and a pass of $9: a quarter is $5.74 an acre, $230 in all
    expect(out.problems.find((one) => one.code === 'rates-spending-unspent')?.message).toMatch(
      /one year's part in 4 does not pay a pass in zone B, so \$230 stay unspent there\.$/,
    );
    const [once, yearly] = (out.spending ?? []).map((path) => path.cost);
    expect((once ?? 0) - (yearly ?? 0)).toBeCloseTo(229.75, 6);
    const even = ratesOf([{ k_ppm: 172, cec_meq: 18 }], corn({ land_years: 4 }));
    expect(even.problems.map((one) => one.code)).not.toContain('rates-spending-unspent');
  });
});
