import { beforeAll, describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import { readManifest } from '../../core/handoff/manifest.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { ZoneRole } from '../../core/zones/settings.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

/** The sample field with zone D (260 lb/ac by its ledger) in another role. */
async function withRole(role: ZoneRole, change: (plan: Plan, key: string) => Plan = (plan) => plan): Promise<PlanOut> {
  const { plan, inputs } = samplePlan();
  const key = (await runPlan({ plan, inputs })).zones?.zones.find(({ letter }) => letter === 'D')?.key ?? '';
  return runPlan({ plan: change({ ...plan, zones: { ...plan.zones, roles: { [key]: role } } }, key), inputs });
}
const acresOf = (out: PlanOut, letter: string): number =>
  out.zones?.zones.find((zone) => zone.letter === letter)?.acres ?? Number.NaN;

describe('a zone that is to keep out', () => {
  let out: PlanOut;
  beforeAll(async () => {
    out = await withRole('keep out');
  });
  const file = (path: RegExp): Uint8Array =>
    out.handoff?.files.find((one) => path.test(one.path))?.bytes ?? new Uint8Array();

  it('is in no prescription, and their acres, the manifest and the checks are of the rest', () => {
    const { handoff, field } = out;
    expect(handoff?.prescriptions.length).toBeGreaterThan(0);
    const rest_ac = (field?.spreadable_ac ?? 0) - acresOf(out, 'D');
    for (const { pieces, totals } of handoff?.prescriptions ?? []) {
      expect(pieces.map(({ letter }) => letter)).not.toContain('D');
      expect(totals.acres / rest_ac).toBeCloseTo(1, 6);
    }
    expect(handoff?.keptOut_ac).toBeCloseTo(acresOf(out, 'D'), 9);
    const manifest = readManifest(file(/^manifest\.json$/), 'manifest.json');
    expect(manifest.ok && manifest.value.spreadable_ac / rest_ac).toBeCloseTo(1, 6);
    expect(handoff?.checks.every(({ holds }) => holds)).toBe(true);
    expect(handoff?.checks[0]?.what).toBe('Zones cover the spreadable acres, less those kept out');
  });

  it('has no record in the GeoJSON, and the proof holds', () => {
    const read = readFiles([{ name: 'a.geojson', bytes: file(/\.geojson$/) }]);
    const [dataset] = read.ok ? read.value : [];
    const zone = dataset?.columns.indexOf('zone') ?? -1;
    expect(zone).toBeGreaterThanOrEqual(0);
    const letters = (dataset?.records ?? []).map(({ cells }) => String(cells[zone]));
    expect(letters.length).toBeGreaterThan(4);
    expect(letters).not.toContain('D');
    const proof = proveFiles(out.handoff?.files ?? []);
    expect(proof.problems).toEqual([]);
    expect(proof.proved).toBe(true);
    expect(proof.acres / ((out.field?.spreadable_ac ?? 0) - acresOf(out, 'D'))).toBeCloseTo(1, 6);
  });

  it('is named with its acres in the text beside the files', () => {
    const text = decodeText(file(/^columns\.txt$/));
    expect(text).toContain("Left out, to keep out by the zone's role: no polygon lies there");
    expect(text).toContain(`  zone D: ${acresOf(out, 'D').toFixed(2)} ac`);
  });

  it('does not count as spread in the totals of the rates', async () => {
    const { plan, inputs } = samplePlan();
    const before = await runPlan({ plan, inputs });
    const zone = before.rates?.zones.find(({ letter }) => letter === 'D');
    const [all, rest] = [before.rates?.totals, out.rates?.totals];
    expect(zone?.rate_lbPerAc).toBeGreaterThan(0);
    expect(rest?.acres).toBeCloseTo((all?.acres ?? 0) - (zone?.acres ?? 0), 9);
    expect(rest?.keptOut_ac).toBeCloseTo(zone?.acres ?? 0, 9);
    expect(rest?.product_lb).toBeCloseTo((all?.product_lb ?? 0) - (zone?.acres ?? 0) * (zone?.rate_lbPerAc ?? 0), 6);
    expect(rest?.product_lb).toBeCloseTo(out.handoff?.totals.product_lb ?? 0, 6);
    expect(rest?.cost).toBeCloseTo(out.handoff?.totals.cost ?? 0, 6);
  });

  it('stays out where a rate was typed for it, and that is told', async () => {
    const typed = await withRole('keep out', (plan, zoneKey) => ({
      ...plan,
      rates: { ...plan.rates, overrides: [{ zoneKey, rate_lbPerAc: 120, who: 'A', when: '2026-03-01', why: 'tried' }] },
    }));
    expect(typed.rates?.totals.product_lb).toBeCloseTo(out.rates?.totals.product_lb ?? 0, 9);
    expect(typed.problems.map(({ code }) => code)).toContain('rates-kept-out-by-hand');
    expect(typed.problems.map(({ code }) => code)).not.toContain('rates-off-by-hand');
    expect(out.problems.map(({ code }) => code)).not.toContain('rates-kept-out-by-hand');
  });
});

it('a zone held back is in every file, at rate 0', async () => {
  const out = await withRole('hold back');
  for (const { pieces, totals } of out.handoff?.prescriptions ?? []) {
    const own = pieces.filter(({ letter }) => letter === 'D');
    expect(own.length).toBeGreaterThan(0);
    expect(own.every(({ rate_lbPerAc }) => rate_lbPerAc === 0)).toBe(true);
    expect(totals.acres / (out.field?.spreadable_ac ?? 0)).toBeCloseTo(1, 6);
  }
  expect(out.rates?.totals.keptOut_ac).toBe(0);
});

it('a field of which every zone is to keep out gives no files, with the remedy', async () => {
  const { plan, inputs } = samplePlan();
  const keys = (await runPlan({ plan, inputs })).zones?.zones.map(({ key }) => key) ?? [];
  const roles = Object.fromEntries(keys.map((key) => [key, 'keep out' as const]));
  const out = await runPlan({ plan: { ...plan, zones: { ...plan.zones, roles } }, inputs });
  expect(out.handoff).toBeNull();
  expect(out.stages.handoff.problems.map(({ code }) => code)).toEqual(['handoff-all-kept-out']);
});
