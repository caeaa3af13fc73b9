import { describe, expect, test } from 'vitest';
import { chemistryOf, FACTORS, type FactorSet, type Measured } from '../../core/soil/chemistry.ts';
import { conversionOf, PUBLISHED_RATIOS } from '../../core/soil/extraction.ts';
import { differenceProblems, labDifferences } from '../../core/soil/lab-differences.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import { OXIDE_PER_ELEMENT } from '../../core/soil/units.ts';

const settings = (values: object = {}) => soilSettingsSchema.parse({ extractant: 'other', ...values });
const SAT = { k_pct: Number.NaN, ca_pct: Number.NaN, mg_pct: Number.NaN, na_pct: Number.NaN, h_pct: Number.NaN };
const SOIL: Measured = {
  k_ppm: 180,
  ca_ppm: 1500,
  mg_ppm: 300,
  na_ppm: 20,
  ph: 6,
  bufferPh: 6.6,
  cec_meq: Number.NaN,
  h_meq: Number.NaN,
  sat: SAT,
};

const H_12 = 12 * (7 - 6.6);

/** What a lab reports of SOIL that sums its CEC and shares with factors and an acidity of its own. */
function reported(factors: FactorSet, acidity_meq: number, statesCec = true, other: Partial<Measured> = {}): Measured {
  const soil = { ...SOIL, ...other };
  const meq = {
    k: soil.k_ppm / factors.k,
    ca: soil.ca_ppm / factors.ca,
    mg: soil.mg_ppm / factors.mg,
    na: soil.na_ppm / factors.na,
  };
  const cec = meq.k + meq.ca + meq.mg + meq.na + acidity_meq;
  const share = (part: number): number => Number(((100 * part) / cec).toFixed(1));
  return {
    ...soil,
    cec_meq: statesCec ? Number(cec.toFixed(1)) : Number.NaN,
    sat: {
      k_pct: share(meq.k),
      ca_pct: share(meq.ca),
      mg_pct: share(meq.mg),
      na_pct: share(meq.na),
      h_pct: share(acidity_meq),
    },
  };
}
const differ = (of: Measured, told: object = {}) => {
  const [found = []] = differAll([of], told);
  return found;
};
const differAll = (tests: readonly Measured[], told: object = {}) => {
  const use = settings(told);
  return labDifferences(
    tests.map((of) => ({ of, workedOut: chemistryOf(of, use, {}).workedOut, byRule: false })),
    use,
  );
};
/** Five soils that a lab sums with the exact factors and 12 x (7 - buffer pH). */
const MANY = [0.6, 0.8, 1, 1.3, 1.7].map((times, n) =>
  reported(FACTORS.exact, H_12, true, {
    k_ppm: SOIL.k_ppm * times,
    ca_ppm: SOIL.ca_ppm + 170 * n,
    mg_ppm: SOIL.mg_ppm - 20 * n,
  }),
);
const causesAll = (tests: readonly Measured[], told: object = {}) =>
  new Set(
    differAll(tests, told)
      .flat()
      .map((one) => one.cause),
  );
const causes = (of: Measured, told: object = {}) => new Set(differ(of, told).map((one) => one.cause));

describe('differences between a lab’s figures and its own cations', () => {
  test('a lab that sums as the plan does differs in nothing', () => {
    expect(differ(reported(FACTORS.exact, H_12))).toEqual([]);
    expect(differ(reported(FACTORS.exact, H_12, false))).toEqual([]);
  });

  test('acidity left out, or by another form, is named', () => {
    expect(causes(reported(FACTORS.exact, 0, false))).toEqual(new Set(['the lab seems to count no acidity']));
    expect(causes(reported(FACTORS.exact, 8 * (8 - 6.6), false))).toEqual(
      new Set(['the lab seems to count acidity by 8 x (8 - buffer pH)']),
    );
  });

  test('another factor set is named, alone and beside another form', () => {
    const rounded = differ(reported(FACTORS.rounded, H_12, false), { tolerance_pct: 0.1 });
    expect(rounded.map((one) => one.what)).toContain('Mg saturation');
    expect(new Set(rounded.map((one) => one.cause))).toEqual(new Set(['the lab seems to use rounded factors']));
    const both = causes(reported(FACTORS.rounded, 0, false), { tolerance_pct: 0.1 });
    expect(both).toContain('the lab seems to count no acidity, with rounded factors');
  });

  test('K that is K2O, cations in lb/ac, and Ca and Mg exchanged are named where they hold for the test', () => {
    const oxide = MANY.map((of) => ({ ...of, k_ppm: of.k_ppm * OXIDE_PER_ELEMENT.k }));
    expect(causesAll(oxide)).toEqual(new Set(['the K column seems to hold K2O']));
    const pounds = MANY.map((of) => ({
      ...of,
      k_ppm: 2 * of.k_ppm,
      ca_ppm: 2 * of.ca_ppm,
      mg_ppm: 2 * of.mg_ppm,
      na_ppm: 2 * of.na_ppm,
    }));
    expect(causesAll(pounds)).toEqual(new Set(['the cations seem to be in lb/ac']));
    const exchanged = MANY.map((of) => ({ ...of, ca_ppm: of.mg_ppm, mg_ppm: of.ca_ppm }));
    expect(causesAll(exchanged)).toEqual(new Set(['the columns of Ca and Mg seem to be exchanged']));
    const three = MANY.map((of) => ({ ...of, k_ppm: of.mg_ppm, ca_ppm: of.k_ppm, mg_ppm: of.ca_ppm }));
    expect(causesAll(three)).toEqual(new Set(['the columns of K, Ca and Mg seem to be exchanged']));
  });

  test('a CEC in mmolc/kg under a heading that does not say so is named, with and without acidity', () => {
    const cause = new Set(['the CEC column seems to be ten times too high, in mmolc/kg']);
    const ten = (of: Measured): Measured => ({ ...of, cec_meq: Math.round(10 * of.cec_meq) });
    expect(causesAll(MANY.map((of) => ({ ...ten(of), sat: SAT })))).toEqual(cause);
    expect(causesAll(MANY.map(ten))).toEqual(cause);
    const neutral = MANY.map((of) => ({ ...of, cec_meq: of.cec_meq - H_12, ph: 6.9, bufferPh: Number.NaN, sat: SAT }));
    expect(causesAll(neutral.map(ten))).toEqual(cause);
    const seven = MANY.map((of) => ({ ...of, cec_meq: 7 * of.cec_meq, sat: SAT }));
    expect([...causesAll(seven)].join()).not.toContain('ten times');
  });

  test('what is true of a whole column is never told from one row, from a CEC alone, or where most rows speak against it', () => {
    const exchanged = MANY.map((of) => ({ ...of, ca_ppm: of.mg_ppm, mg_ppm: of.ca_ppm }));
    const [first] = exchanged;
    if (!first) throw new Error('no row');
    expect([...causesAll([first])].join()).not.toContain('exchanged');
    expect([...causesAll(exchanged.map((of) => ({ ...of, sat: SAT })))].join()).not.toContain('exchanged');
    expect([...causesAll([...MANY, ...MANY, ...exchanged])].join()).not.toContain('exchanged');
    const pounds = { ...MANY[0], ...SOIL, k_ppm: 360, ca_ppm: 3000, mg_ppm: 600, na_ppm: 40, cec_meq: 14.98 };
    expect(causesAll([pounds])).toEqual(new Set(['no single cause found']));
  });

  test('a K share worked out from K2O is named, and K in ppm is not blamed for it', () => {
    const lab = MANY.map((of) => ({
      ...of,
      sat: { ...of.sat, k_pct: Number((of.sat.k_pct * OXIDE_PER_ELEMENT.k).toFixed(2)) },
    }));
    expect(causesAll(lab, { tolerance_pct: 0.2 })).toContain('the lab’s K share seems to be worked out from K2O');
    expect([...causesAll(lab, { tolerance_pct: 0.2 })].join()).not.toContain('K column');
  });

  test('acidity in the lab’s CEC that the file does not carry is named', () => {
    // pH 6.8 and above without a buffer pH counts none, and the lab counts 2 meq.
    const lab = MANY.map((of) => ({ ...of, cec_meq: of.cec_meq - H_12 + 2, ph: 6.9, bufferPh: Number.NaN, sat: SAT }));
    expect(causesAll(lab)).toEqual(new Set(['the lab’s CEC holds acidity (H) that the file does not carry']));
    const told = lab.map((of) => ({ ...of, sat: { ...SAT, h_pct: 60 } }));
    expect(causesAll(told)).not.toContain('the lab’s CEC holds acidity (H) that the file does not carry');
  });

  test('guard: 5.937 meq with the rounded factors; a CEC of 7.696 from exchanged columns differs, and alone proves no cause', () => {
    // K 157.72, Ca 756.56, Mg 198.78, Na 21.36 ppm with 390/200/120/230 are 5.937 meq.
    const right = { ...SOIL, k_ppm: 157.72, ca_ppm: 756.56, mg_ppm: 198.78, na_ppm: 21.36, cec_meq: 5.937, h_meq: 0 };
    expect(differ(right, { factors: 'rounded' })).toEqual([]);
    const wrong = { ...right, k_ppm: 198.78, ca_ppm: 157.72, mg_ppm: 756.56 };
    const [cec] = differ(wrong, { factors: 'rounded' });
    expect(cec).toMatchObject({ what: 'CEC', lab: 5.937, workedOut: expect.closeTo(7.696, 3) });
    expect(cec?.cause).toBe('no single cause found');
  });

  test('guard: cations that sum to 24 under a stated CEC of 25', () => {
    const of = { ...SOIL, k_ppm: 390.98, ca_ppm: 14 * 200.39, mg_ppm: 4 * 121.53, na_ppm: 0, h_meq: 5, cec_meq: 25 };
    expect(differ(of)).toMatchObject([{ what: 'CEC', lab: 25, workedOut: expect.closeTo(24, 9) }]);
  });

  test('percentages that do not sum to 100 within 1 are listed, with what was left out', () => {
    const lab = reported(FACTORS.exact, H_12);
    expect(differ({ ...lab, sat: { ...lab.sat, h_pct: lab.sat.h_pct + 0.9 } })).not.toContainEqual(
      expect.objectContaining({ what: 'sum of saturations' }),
    );
    const off = { ...lab, sat: { ...lab.sat, k_pct: lab.sat.k_pct + 6 } };
    expect(differ(off)).toContainEqual(
      expect.objectContaining({ what: 'sum of saturations', cause: 'the share of K does not fit its own value' }),
    );
    const beside = { ...lab, sat: { ...lab.sat, ca_pct: lab.sat.ca_pct + lab.sat.h_pct } };
    expect(differ(beside).find((one) => one.what === 'sum of saturations')?.lab).toBeGreaterThan(101);
  });

  test('the tolerance is the plan’s, and each difference is a caution with both figures', () => {
    // 156.39 ppm / 390.98 / 10 = 4.00 %.
    const of = { ...SOIL, k_ppm: 156.392, ca_ppm: Number.NaN, cec_meq: 10, sat: { ...SAT, k_pct: 4.5 } };
    expect(differ(of)).toEqual([]);
    const told = differ(of, { tolerance_pct: 0.3 });
    expect(told).toMatchObject([{ what: 'K saturation', lab: 4.5, unit: '%' }]);
    const chemistry = chemistryOf(of, settings(), {});
    const [problem] = differenceProblems(told, chemistry, { row: 7 });
    expect(problem).toMatchObject({ code: 'soil-saturation-differs', severity: 'caution', at: { row: 7 } });
    expect(problem?.message).toMatch(/4\.50 % by the lab and 4\.00 % computed, 0\.50 points apart; the computed value/);
  });
});

describe('conversion between extractions', () => {
  const conversion = { to: 'Mehlich-3', factor: 1.14, region: 'Ohio and Indiana' };

  test('is done by choice only, with the region named', () => {
    expect(conversionOf(settings({ extractant: 'ammonium acetate' }))).toEqual({
      factor: 1,
      extractant: 'ammonium acetate',
      sentence: null,
      problems: [],
    });
    const done = conversionOf(settings({ extractant: 'ammonium acetate', conversion }));
    expect([done.factor, done.extractant]).toEqual([1.14, 'Mehlich-3']);
    expect(done.sentence).toContain('as found in Ohio and Indiana');
    expect(soilSettingsSchema.safeParse({ conversion: { ...conversion, region: ' ' } }).success).toBe(false);
  });

  test('to the extraction that is there already is not done; from one that is not told is said', () => {
    const same = conversionOf(settings({ extractant: 'Mehlich-3', conversion }));
    expect([same.factor, same.problems[0]?.code]).toEqual([1, 'soil-conversion-same']);
    const blind = conversionOf(settings({ extractant: 'not told', conversion }));
    expect([blind.factor, blind.problems[0]?.code]).toEqual([1.14, 'soil-conversion-blind']);
  });

  test('ratios in print: 1.14 Ohio and Indiana (OSU ANR-75), about 1.0 Kansas, 1.19', () => {
    expect(PUBLISHED_RATIOS.map((one) => one.factor)).toEqual([1.14, 1, 1.19]);
    expect(PUBLISHED_RATIOS.every((one) => one.from === 'ammonium acetate' && one.to === 'Mehlich-3')).toBe(true);
  });
});
