import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CROPS } from '../../../core/rates/crops.ts';
import { GUIDES } from '../../../core/rates/guides/list.ts';
import { type Guide, LAB_CLASSES } from '../../../core/rates/guides/types.ts';
import { inputOf } from './ask.ts';

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const k_ppm = fc.oneof(number(0, 400), fc.integer({ min: 0, max: 320 }));
/** Ground that the guide mostly answers for, with each condition missed now and then. */
const groundFor = (guide: Guide) =>
  fc.record(
    {
      cec_meq: fc.oneof({ arbitrary: number(5.2, 30), weight: 6 }, number(0.5, 45), fc.constantFrom(5, 30, Number.NaN)),
      ph: number(4.5, 8.5),
      extractant: fc.constantFrom('not told', 'not told', 'Mehlich-3', 'ammonium acetate', 'field-moist', 'other'),
      depth_in: fc.oneof({ arbitrary: fc.constantFrom(6, 6.3), weight: 8 }, fc.constantFrom(7, 8, 12)),
      crop: fc.oneof(
        { arbitrary: fc.constantFrom(...(guide.crops ?? ['corn'])), weight: 8 },
        fc.constantFrom(null, ...CROPS.map((crop) => crop.id)),
      ),
      yieldGoal: fc.oneof({ arbitrary: number(0.1, 400), weight: 8 }, fc.constant(null)),
      supply_factor: number(1.5, 4),
      labClass: fc.constantFrom(...LAB_CLASSES),
      smectiteToIllite: number(0, 10),
    },
    { requiredKeys: ['crop', 'extractant', 'depth_in', 'supply_factor', 'yieldGoal'] },
  );
const runs = { numRuns: 200 };

describe.each(GUIDES)('$name', (guide) => {
  const ground = groundFor(guide);
  it('answers for a good part of the ground that the laws are tried on', () => {
    const tried = fc.sample(fc.tuple(ground, k_ppm), 400);
    const answered = tried.filter(([of, k]) => guide.recommend(inputOf({ ...of, k_ppm: k })).ok);
    expect(answered.length).toBeGreaterThan(60);
  });
  it('never gives more K2O or build-up where K is higher, nor another removal', () => {
    fc.assert(
      fc.property(ground, k_ppm, k_ppm, (of, one, other) => {
        const low = guide.recommend(inputOf({ ...of, k_ppm: Math.min(one, other) }));
        const high = guide.recommend(inputOf({ ...of, k_ppm: Math.max(one, other) }));
        expect(high.ok).toBe(low.ok);
        if (!low.ok || !high.ok) return;
        if (low.k2o_lbPerAc !== null && high.k2o_lbPerAc !== null)
          expect(high.k2o_lbPerAc).toBeLessThanOrEqual(low.k2o_lbPerAc + 1e-9);
        if (low.buildUp && high.buildUp)
          expect(high.buildUp.total_lbK2OPerAc.most).toBeLessThanOrEqual(low.buildUp.total_lbK2OPerAc.most + 1e-9);
        if (low.removal_lbK2OPerAc !== null && high.removal_lbK2OPerAc !== null)
          expect(high.removal_lbK2OPerAc).toBe(low.removal_lbK2OPerAc);
      }),
      runs,
    );
  });
  it('gives 0 above its upper limit, and finite rates of 0 or more everywhere', () => {
    fc.assert(
      fc.property(ground, k_ppm, (of, k) => {
        const said = guide.recommend(inputOf({ ...of, k_ppm: k }));
        if (!said.ok) return;
        const figures = [
          said.k2o_lbPerAc,
          said.removal_lbK2OPerAc,
          said.buildUp?.total_lbK2OPerAc.least ?? null,
          said.buildUp?.total_lbK2OPerAc.most ?? null,
          said.critical_ppm?.least ?? null,
        ].filter((one) => one !== null);
        for (const one of figures) {
          expect(Number.isFinite(one)).toBe(true);
          expect(one).toBeGreaterThanOrEqual(0);
        }
        if (said.noneAbove_ppm !== null && k > said.noneAbove_ppm + 1e-6) expect(said.k2o_lbPerAc).toBe(0);
        expect(said.how.length).toBeGreaterThan(10);
        expect(said.how).not.toMatch(/NaN|undefined|Infinity|unknown/);
      }),
      runs,
    );
  });
  it('sets no rate without one, from memory, or where the guide may not; refuses with a reason', () => {
    fc.assert(
      fc.property(ground, k_ppm, (of, k) => {
        const said = guide.recommend(inputOf({ ...of, k_ppm: k }));
        if (!said.ok) {
          expect(said.unmet.length).toBeGreaterThan(0);
          expect(said.why).toMatch(/\.$/);
        } else if (said.maySetRate) {
          expect(guide.maySetRate).toBe(true);
          expect(said.k2o_lbPerAc).not.toBeNull();
          expect(said.flag).not.toMatch(/memory/);
        }
      }),
      runs,
    );
  });
});
