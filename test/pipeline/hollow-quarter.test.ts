import { describe, expect, it } from 'vitest';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

/** What sample-fields/hollow-quarter/ABOUT.md says a good plan finds: the field was made to hold it. */
describe('the sample field', async () => {
  const { plan, inputs } = samplePlan();
  const out: PlanOut = await runPlan({ plan, inputs });

  it('is about a quarter section, with the waterway and the farmstead taken out', () => {
    expect(out.field?.boundary_ac).toBeGreaterThan(150);
    expect(out.field?.boundary_ac).toBeLessThan(161);
    expect(out.field?.keepOut_ac).toBeGreaterThan(1);
    expect(
      ((out.field?.boundary_ac ?? 0) - (out.field?.keepOut_ac ?? 0)) / (out.field?.spreadable_ac ?? 1),
    ).toBeCloseTo(1, 6);
    expect(out.field?.boundary.flat().length).toBe(2);
  });

  it('sets aside each row that was made wrong, and says why', () => {
    const codes = new Set(out.soil?.rows.filter((row) => !row.kept).map((row) => row.id));
    for (const id of ['HQ-17', 'HQ-23', 'HQ-91']) expect(codes).toContain(id);
    expect(out.soil?.read).toBe((out.soil?.kept ?? 0) + (out.soil?.setAside ?? 0));
    const outside = out.soil?.rows.find((row) => row.reasons.some((reason) => /outside/.test(reason.message)));
    expect(outside?.kept).toBe(false);
    const below = out.soil?.rows.find((row) => row.id === 'HQ-30');
    expect(below?.kept).toBe(true);
    expect(below?.reasons.length).toBeGreaterThan(0);
  });

  it('holds heavy ground where ppm looks fair and saturation is short', () => {
    const heavy = out.rates?.zones.filter((zone) => zone.reading.cec_meq > 18) ?? [];
    expect(heavy.length).toBeGreaterThan(0);
    for (const zone of heavy) {
      expect(zone.reading.k_ppm).toBeGreaterThan(140);
      expect(zone.reading.kSat_pct).toBeLessThan(3.5);
      expect(zone.governing).toBe('saturation');
      expect(zone.answers.saturationAlone ?? 0).toBeGreaterThan(zone.answers.ppmAlone ?? 0);
    }
  });

  it('holds light ground that is short of pounds and asks for two passes', () => {
    const light = out.rates?.zones.filter((zone) => zone.reading.cec_meq < 8) ?? [];
    expect(light.length).toBeGreaterThan(0);
    for (const zone of light) {
      expect(zone.reading.k_ppm).toBeLessThan(130);
      expect(zone.passes.some((pass) => pass.inSeason && pass.rate_lbPerAc > 0)).toBe(true);
    }
  });

  it('holds manured ground that gets less than the rest, with a caution', () => {
    const rich = out.rates?.zones.reduce((a, b) => (a.reading.kSat_pct > b.reading.kSat_pct ? a : b));
    expect(rich?.reading.k_ppm).toBeGreaterThan(400);
    expect(rich?.reading.kSat_pct).toBeGreaterThan(8);
    const least = Math.min(...(out.rates?.zones.map((zone) => zone.rate_lbPerAc ?? Number.POSITIVE_INFINITY) ?? []));
    expect(rich?.rate_lbPerAc).toBe(least);
  });
});
