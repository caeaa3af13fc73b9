import { describe, expect, it } from 'vitest';
import { CROPS, cropOf, RESIDUES } from '../../core/rates/crops.ts';
import { chlorideIn, gradeLimit_pct, k2oIn, productFor } from '../../core/rates/product.ts';
import { PRODUCTS, SALTS } from '../../core/rates/products.ts';
import { fieldFactor, takes_lbK2OPerAc } from '../../core/rates/target-ppm.ts';
import { targetBySaturation_ppm } from '../../core/rates/target-saturation.ts';
import { corn, lineOf, soilPlan, zoneRate } from './ground.ts';

describe('supply, line 1', () => {
  it.each([
    // Purdue soil fertility specialist: 20 ppm = 40 lb/ac; university soil-chemistry handout: 400 ppm = 800 lb/ac
    [20, 40],
    [400, 800],
  ])('%s ppm is %s lb K in a 6-inch sample', (k_ppm, lb) => {
    expect((lineOf(zoneRate({ k_ppm, cec_meq: 15 }), 'supply').working ?? 0) / 1.2046).toBeCloseTo(lb, 3);
  });
  it.each([
    // common practice, no source: 12 in. -> 4.0; furrow slice: 8 in. -> 2.40, 12 in. -> 3.60
    ['x2 per 6 in.', 12, 4],
    ['furrow slice', 8, 2.4],
    ['furrow slice', 12, 3.6],
  ] as const)('by "%s" at %s in. one ppm is %s lb', (convention, depth_in, factor) => {
    const zone = zoneRate({ k_ppm: 100, cec_meq: 15 }, corn(), soilPlan({ convention, depth_in }));
    expect(lineOf(zone, 'supply').working).toBeCloseTo(100 * factor * 1.2046, 2);
  });
  it('by bulk density 1.30 at 8 in., 100 ppm is 235.7 lb K (62.428 lb/ft3 and 43,560 ft2)', () => {
    const soil = soilPlan({ convention: 'bulk density', depth_in: 8, bulkDensity_gPerCm3: 1.3 });
    const line = lineOf(zoneRate({ k_ppm: 100, cec_meq: 15 }, corn(), soil), 'supply');
    expect((line.working ?? 0) / 1.2046).toBeCloseTo(235.7, 1);
  });
});

describe('stoichiometry of the saturation target, line 3 (from atomic weights)', () => {
  it('1 % of 1 meq CEC is 3.91 ppm, 7.82 lb K, 9.42 lb K2O and 15.70 lb of 0-0-60', () => {
    const ppm = targetBySaturation_ppm(1, 1, 390.98);
    expect(ppm).toBeCloseTo(3.91, 2);
    expect(2 * ppm).toBeCloseTo(7.82, 2);
    expect(takes_lbK2OPerAc(ppm, 0, 2)).toBeCloseTo(9.42, 2);
    expect(productFor(takes_lbK2OPerAc(ppm, 0, 2), 60)).toBeCloseTo(15.7, 2);
  });
  it.each([
    [10, 2, 3, 94.2, 157],
    [15, 2, 4, 282.6, 471],
  ])('CEC %s from %s to %s % takes %s lb K2O, %s lb of 0-0-60', (cec_meq, from_pct, floor_pct, k2o, product) => {
    const k_ppm = targetBySaturation_ppm(from_pct, cec_meq, 390.98);
    const takes = lineOf(zoneRate({ k_ppm, cec_meq }, corn({ floor_pct })), 'targetSaturation').working ?? 0;
    expect(takes).toBeCloseTo(k2o, 1);
    expect(productFor(takes, 60)).toBeCloseTo(product, 0);
  });
  it('one ppm takes 2.41 lb K2O at 2 lb per ppm', () => {
    expect(takes_lbK2OPerAc(150, 149, 2)).toBeCloseTo(2.41, 2);
  });
  it('150 ppm is 12.8 % at CEC 3, and 100 ppm 8.5 %', () => {
    expect(zoneRate({ k_ppm: 150, cec_meq: 3 }).reading.kSat_pct).toBeCloseTo(12.8, 1);
    expect(zoneRate({ k_ppm: 100, cec_meq: 3 }).reading.kSat_pct).toBeCloseTo(8.5, 1);
  });
  it('goes by the rounded factor, 390, where the plan says so (Clemson, "CEC calculations")', () => {
    const zone = zoneRate({ k_ppm: 100, cec_meq: 20 }, corn(), soilPlan({ factors: 'rounded' }));
    expect(lineOf(zone, 'targetSaturation').working).toBeCloseTo((0.04 * 20 * 390 - 100) * 2 * 1.2046, 2);
  });
});

describe('field factor beside line 2', () => {
  it('is 6 lb K2O per ppm at CEC 10 and 10 at CEC 30 (Ohio State University on Tri-State 1995), and none outside', () => {
    expect(fieldFactor(10)).toBeCloseTo(6, 9);
    expect(fieldFactor(30)).toBeCloseTo(10, 9);
    expect(fieldFactor(9.9)).toBeNaN();
    expect(fieldFactor(30.1)).toBeNaN();
  });
  it('stands in the words only: 2 to 4 % at CEC 30 by it would be 3,910 lb of product, and the line asks 942', () => {
    const k_ppm = targetBySaturation_ppm(2, 30, 390.98);
    const short_ppm = targetBySaturation_ppm(4, 30, 390.98) - k_ppm;
    expect(productFor(short_ppm * fieldFactor(30), 60)).toBeCloseTo(3910, -1);
    const line = lineOf(zoneRate({ k_ppm, cec_meq: 30 }), 'targetSaturation');
    expect(productFor(line.working ?? 0, 60)).toBeCloseTo(942, 0);
    expect(line.how).not.toContain('field factor');
  });
  it('is told in line 2', () => {
    const zone = zoneRate({ k_ppm: 120, cec_meq: 12 });
    expect(lineOf(zone, 'targetPpm').how).toContain('= 6.4 lb K2O per ppm, it would be 192.0');
    expect(lineOf(zoneRate({ k_ppm: 60, cec_meq: 5 }), 'targetPpm').how).toContain('none for this ground');
  });
});

describe('removal, line 6, as printed', () => {
  it.each([
    ['corn', 200, 0.27, 54], // IPNI 2008
    ['corn', 250, 0.208, 52], // UNL
    ['corn', 230, 0.22, 50.6], // Iowa State 2013
    ['soybean', 50, 1.2, 60], // IPNI 2014
    ['soybean', 50, 1.4, 70], // PPI, second-hand
    ['winter-wheat', 100, 0.25, 25], // Tri-State 2020
    ['alfalfa', 5, 55, 275], // University of Kentucky
    ['alfalfa', 3, 49, 147], // OSU 2020
    ['corn-silage', 21, 7.62, 160], // Penn State
  ])('%s at %s takes %s a unit: %s lb K2O', (crop, yieldGoal, figure, lb) => {
    const listed = cropOf(crop);
    const all = [listed?.removal, ...(listed?.otherRemovals ?? [])].map((one) => one?.value ?? Number.NaN);
    expect(all.some((value) => Math.abs(value - figure) < 1e-9)).toBe(true);
    const zone = zoneRate({ k_ppm: 220, cec_meq: 12 }, corn({ crop, yieldGoal, removal_lbK2OPerUnit: figure }));
    expect(lineOf(zone, 'crop').carried).toBeCloseTo(lb, 0);
  });

  /** lb K2O per unit as the tables give it; IPNI 2014 and USDA NRCS table 6-6 read in doi 10.5061/dryad.n2z34tn0x. */
  it.each([
    ['corn', [0.19, 0.2, 0.208, 0.22, 0.23, 0.252, 0.27, 0.28, 0.35]],
    ['soybean', [1.1, 1.15, 1.18, 1.2, 1.373, 1.4]],
    ['winter-wheat', [0.25, 0.28, 0.288, 0.35, 0.376]],
    ['spring-wheat', [0.28, 0.33, 0.35, 0.376]],
    ['barley', [0.23, 0.3216, 0.2486]],
    ['oats', [0.19, 0.1888, 0.1889]],
    ['rye', [0.308, 0.34, 0.3305]],
    ['sorghum', [0.3024, 0.2833]],
    ['sunflower', [18, 26.74]],
    ['canola', [0.4, 0.56]],
    ['flax', [0.616, 0.5667]],
    ['dry-bean', [0.83, 0.9]],
    ['peanut', [17]],
    ['potato', [13]],
    ['sugar-beet', [7.4, 3.4]],
    ['corn-silage', [7.62, 7.4, 9.2]],
    ['alfalfa', [45, 46, 49, 50, 55]],
    ['grass-hay', [42, 44, 45, 46, 49, 54]],
    ['millet', [16]],
    ['rice', [7.2]],
    ['cotton', [76]],
    ['red-clover', [42]],
    ['switchgrass', [58]],
  ])('%s lists %j', (id, figures) => {
    const crop = cropOf(id);
    const all = [crop?.removal, ...(crop?.otherRemovals ?? [])].map((one) => one?.value ?? Number.NaN);
    for (const figure of figures) expect(all.some((value) => Math.abs(value - figure) < 6e-4 * figure)).toBe(true);
  });
  it.each([
    // Ontario 2025
    ['winter-wheat', 0.35, 0.37],
    ['barley', 0.23, 0.35],
    ['oats', 0.19, 0.2],
    ['rye', 0.34, 0.4],
    ['canola', 0.56, 0.67],
  ])('%s spans %s to %s in Ontario', (id, value, upTo) => {
    expect(cropOf(id)?.otherRemovals).toContainEqual(expect.objectContaining({ value, upTo }));
  });
  it('straw and stover come as printed spans per ton', () => {
    const spans = RESIDUES.filter(({ figures }) => figures[0]?.upTo !== undefined);
    expect(spans.map(({ name, figures }) => [name, figures[0]?.value, figures[0]?.upTo])).toEqual([
      ['wheat straw', 20, 45],
      ['corn stover', 18, 40],
      ['oat straw', 38, 40],
    ]);
  });
  it.each([
    // lb K2O a short ton: IPNI 2014 kg/t x 2; USDA NRCS table 6-6, % K x 20 x 1.2046
    ['wheat straw', 30, 23.4],
    ['corn stover', 40, 32.3],
    ['oat straw', 38, 40.0],
    ['barley straw', 40, 30.1],
    ['sorghum stover', 42, 31.6],
    ['soybean stover', 38, 25.1],
    ['rye straw', 22, null],
    ['rice straw', 42, null],
    ['sunflower stover', 34, null],
    ['sugar beet tops', 20, null],
  ])('%s holds %s lb/ton by the one table and %s by the other', (name, ipni, nrcs) => {
    const figures = RESIDUES.find((one) => one.name === name)?.figures.map((one) => one.value.toFixed(1)) ?? [];
    expect(figures).toContain(ipni.toFixed(1));
    if (nrcs !== null) expect(figures).toContain(nrcs.toFixed(1));
  });
  it('200 bu of corn, half its stover baled, takes 110 lb with the stover (IPNI 2008: 1.1 lb/bu if all)', () => {
    const grainAndAll = cropOf('corn')?.otherUptakes.find((one) => one.source.includes('2008'))?.value ?? Number.NaN;
    expect(200 * (grainAndAll - 0.27) * 0.5).toBeCloseTo(110, 6);
  });
});

describe('uptake = grain + residue (IPNI 2014, per tonne of grain)', () => {
  const uptakes = (id: string) => {
    const crop = cropOf(id);
    return [crop?.uptake, ...(crop?.otherUptakes ?? [])].map((one) => one?.value ?? Number.NaN);
  };
  it.each([
    ['corn', 1.372], // (4.5 + 20) x 56 / 1000
    ['soybean', 2.22], // (20 + 17) x 60 / 1000
    ['winter-wheat', 1.488], // (4.8 + 20) x 60 / 1000
    ['spring-wheat', 1.53],
    ['barley', 1.5216],
    ['oats', 1.1168],
    ['rye', 1.82],
    ['sorghum', 1.2544],
    ['sunflower', 100],
  ])('%s: %s', (id, value) => {
    expect(uptakes(id).some((one) => Math.abs(one - value) < 1e-6)).toBe(true);
  });
  it('corn, whole plant measured: 180 lb at about 230 bu, where the tables say 315 (Bender et al. 2013)', () => {
    expect(cropOf('corn')?.uptake?.value).toBe(0.78);
    expect(230 * 0.78).toBeCloseTo(180, -1);
    expect(230 * (uptakes('corn')[2] ?? 0)).toBeCloseTo(315, 0);
    const zone = zoneRate({ k_ppm: 100, cec_meq: 20 }, corn({ yieldGoal: 230 }));
    expect(lineOf(zone, 'crop').how).toContain('whole uptake 230 x 0.78 lb/bu = 179.4 lb');
  });
  it('soybean, whole plant: 140 / 190 / 220 lb at 40 / 55 / 70 bu (PPI 2000)', () => {
    const [, at40, at55, at70] = uptakes('soybean');
    expect([40 * (at40 ?? 0), 55 * (at55 ?? 0), 70 * (at70 ?? 0)].map(Math.round)).toEqual([140, 190, 220]);
  });
  it('every figure has its source and how well it is known; ids are used once', () => {
    for (const crop of CROPS)
      for (const one of [
        crop.removal,
        ...crop.otherRemovals,
        ...(crop.uptake ? [crop.uptake] : []),
        ...crop.otherUptakes,
      ]) {
        expect(one.source.length).toBeGreaterThan(5);
        expect(one.value).toBeGreaterThan(0);
      }
    expect(new Set(CROPS.map((crop) => crop.id)).size).toBe(CROPS.length);
    // from memory, confirm against the current bulletin
    expect(cropOf('soybean')?.otherRemovals.find((one) => one.value === 1.15)?.flag).toMatch(/from memory/);
    expect(cropOf('winter-wheat')?.otherRemovals.find((one) => one.value === 0.37)?.flag).toMatch(/from memory/);
  });
});

describe('products, line 11', () => {
  it.each([
    // K x 1.2046 over the molar mass
    ['chloride', 63.18],
    ['sulfate', 54.06],
    ['nitrate', 46.58],
    ['langbeinite', 22.7],
  ] as const)('%s can hold %s %% K2O at most', (salt, most) => {
    expect(SALTS[salt].mostK2O_pct).toBeCloseTo(most, 2);
    expect(gradeLimit_pct({ salt, k2o_pct: most + 0.1 })).not.toBeNull();
    expect(gradeLimit_pct({ salt, k2o_pct: most - 0.1 })).toBeNull();
  });
  it('90 lb K2O is 150 lb of 0-0-60, 180 of 0-0-50 and 409.1 of 0-0-22', () => {
    expect([60, 50, 22].map((grade) => productFor(90, grade).toFixed(1))).toEqual(['150.0', '180.0', '409.1']);
    expect(k2oIn(150, 60)).toBeCloseTo(90, 9);
  });
  it('potassium chloride brings 45 % chloride (South Dakota State University), the others none', () => {
    expect(chlorideIn(200, 'chloride')).toBe(90);
    expect(chlorideIn(200, 'sulfate')).toBe(0);
    expect(lineOf(zoneRate({ k_ppm: 172, cec_meq: 18 }), 'product').how).toContain('brings 117 lb chloride');
  });
  it('lists grades that chemistry allows (Mississippi State University; Cornell)', () => {
    expect(PRODUCTS.map((one) => [one.name, one.carries])).toEqual([
      ['0-0-60', ''],
      ['0-0-62', ''],
      ['0-0-50', '17 to 18 % S'],
      ['0-0-22', '11 % Mg, 22 % S'],
      ['13-0-44', ''],
    ]);
    for (const product of PRODUCTS) expect(gradeLimit_pct(product)).toBeNull();
  });
  it('salt index 116, 43 and 70 (second-hand)', () => {
    expect([SALTS.chloride.saltIndex, SALTS.sulfate.saltIndex, SALTS.nitrate.saltIndex]).toEqual([116, 43, 70]);
  });
  it('chloride on potato is cautioned, sulfate is not (Mississippi State University, UNL)', () => {
    const potato = corn({ crop: 'potato', yieldGoal: 20 });
    const ground = { k_ppm: 200, cec_meq: 12 };
    expect(zoneRate(ground, potato).problems.map((one) => one.code)).toContain('rates-chloride');
    const sulfate = { ...corn().product, name: '0-0-50', k2o_pct: 50, salt: 'sulfate' as const };
    expect(zoneRate(ground, corn({ crop: 'potato', yieldGoal: 20, product: sulfate })).problems).toEqual([]);
  });
});
