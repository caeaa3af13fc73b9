import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import { unzipFiles } from '../../core/formats/zip.ts';
import { area_m2 } from '../../core/geo/area.ts';
import { roundTo } from '../../core/handoff/columns.ts';
import { baseOf } from '../../core/handoff/make.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import type { HandoffOut } from '../../core/handoff/types.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { type Plan, planSchema } from '../../core/plan/schema.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

async function handoffOf(
  change: (plan: Plan) => Plan = (plan) => plan,
): Promise<{ handoff: HandoffOut; out: PlanOut }> {
  const { plan, inputs } = samplePlan();
  const out = await runPlan({ plan: change(plan), inputs });
  if (!out.handoff) throw new Error(out.problems.map((problem) => problem.message).join('\n'));
  return { handoff: out.handoff, out };
}

const changed = (handoff: HandoffOut, path: string, change: (bytes: Uint8Array) => Uint8Array) =>
  handoff.files.map((file) => (file.path === path ? { ...file, bytes: change(file.bytes) } : file));

describe('the files of the handoff', () => {
  it('keep the pounds: records x acres x rate equal the plan, zone by zone and in all', async () => {
    const { handoff, out } = await handoffOf();
    const planned_lb = (out.rates?.zones ?? []).reduce((sum, zone) => sum + (zone.rate_lbPerAc ?? 0) * zone.acres, 0);
    expect(handoff.totals.product_lb).toBeCloseTo(planned_lb, 6);
    expect(handoff.totals.product_lb).toBeCloseTo(out.rates?.totals.product_lb ?? 0, 6);
    expect(handoff.totals.cost).toBeCloseTo(out.rates?.totals.cost ?? 0, 6);
    expect(handoff.totals.acres / (out.field?.spreadable_ac ?? 0)).toBeCloseTo(1, 6);
  });

  it('are the same bytes each time', async () => {
    const [one, two] = [await handoffOf(), await handoffOf()];
    expect(one.handoff.files).toEqual(two.handoff.files);
  });

  it('put the numeric rate first, in pounds or kilograms as asked', async () => {
    const us = (await handoffOf()).handoff;
    const metric = (await handoffOf((plan) => ({ ...plan, handoff: { ...plan.handoff, rateUnit: 'kg/ha' } }))).handoff;
    const rates = (handoff: HandoffOut): number[] => {
      const file = handoff.files.find((one) => one.path.endsWith('.geojson'));
      const read = readFiles(file ? [{ name: file.path, bytes: file.bytes }] : []);
      const dataset = read.ok ? read.value[0] : undefined;
      expect(dataset?.columns[0]).toBe('rate');
      return (dataset?.records ?? []).map((record) => Number(record.cells[0]));
    };
    // 1 lb/ac = 0.45359237 kg / 0.40468564224 ha = 1.12085 kg/ha (definitions of pound and acre).
    expect(rates(metric)).toEqual(rates(us).map((rate) => roundTo(rate * 1.1208511, 2)));
  });

  it('hold one record for a part, or one for a zone, of the same ground', async () => {
    const apart = (await handoffOf()).handoff.prescriptions[0];
    const together = (await handoffOf((plan) => ({ ...plan, handoff: { ...plan.handoff, parts: 'together' } }))).handoff
      .prescriptions[0];
    expect(apart?.pieces.every((piece) => piece.polygons.length === 1)).toBe(true);
    expect(new Set(together?.pieces.map((piece) => piece.zoneKey)).size).toBe(together?.pieces.length);
    expect(apart?.totals.acres).toBeCloseTo(together?.totals.acres ?? 0, 9);
  });

  it('name the pieces with valid polygons that cover the ground once', async () => {
    const { handoff } = await handoffOf();
    expect(handoff.checks.length).toBeGreaterThanOrEqual(3);
    expect(handoff.checks.every((check) => check.holds)).toBe(true);
    for (const piece of handoff.prescriptions[0]?.pieces ?? []) expect(area_m2(piece.polygons)).toBeGreaterThan(0);
  });

  it('hold a zip whose parts are the loose ones, and a text on the columns', async () => {
    const { handoff } = await handoffOf();
    const zip = handoff.files.find((file) => file.path.endsWith('.zip'));
    const parts = unzipFiles(zip?.bytes ?? new Uint8Array(), 'x.zip');
    if (!parts.ok || !zip) throw new Error('no zip');
    const base = zip.path.slice(0, -4);
    expect(parts.value.map((part) => part.name).sort()).toEqual(
      [`${base}.cpg`, `${base}.dbf`, `${base}.prj`, `${base}.shp`, `${base}.shx`, 'columns.txt'].sort(),
    );
    for (const part of parts.value.filter((one) => one.name !== 'columns.txt')) {
      expect(handoff.files.find((file) => file.path === `shapefile/${part.name}`)?.bytes).toEqual(part.bytes);
    }
    const text = decodeText(parts.value.find((part) => part.name === 'columns.txt')?.bytes ?? new Uint8Array());
    for (const word of ['RATE', 'lb/ac', 'EPSG:4326', '0-0-60']) expect(text).toContain(word);
  });

  it('are not made while a zone is withheld, unless withheld ground is to be written as 0', async () => {
    const { plan, inputs } = samplePlan();
    const without = planSchema.parse({ ...plan, rates: { ...plan.rates, yieldGoal: null } });
    const blocked = await runPlan({ plan: without, inputs });
    expect(blocked.handoff).toBeNull();
    expect(blocked.stages.handoff.problems.map((problem) => problem.code)).toContain('handoff-withheld');
    const written = await runPlan({
      plan: { ...without, handoff: { ...without.handoff, withheld: 'written 0' } },
      inputs,
    });
    expect(written.handoff?.totals.product_lb).toBe(0);
    expect(written.stages.handoff.problems.every((problem) => problem.severity === 'caution')).toBe(true);
  });
});

describe('the proof', () => {
  it('holds for the files as written', async () => {
    const { handoff } = await handoffOf();
    const proof = proveFiles(handoff.files);
    expect(proof.problems).toEqual([]);
    expect(proof.proved).toBe(true);
    expect(proof.lines.length).toBeGreaterThan(10);
    expect(proof.product_tons).toBeCloseTo(handoff.totals.product_tons, 3);
  });

  it('breaks when a byte of any file changes', async () => {
    const { handoff } = await handoffOf();
    for (const file of handoff.files.filter((one) => one.path !== 'manifest.json')) {
      const flipped = changed(handoff, file.path, (bytes) =>
        bytes.map((byte, i) => (i === bytes.length - 5 ? byte ^ 1 : byte)),
      );
      expect(proveFiles(flipped).proved, file.path).toBe(false);
    }
  });

  it('names the pounds when a rate was changed in the GeoJSON', async () => {
    const { handoff } = await handoffOf();
    const path = handoff.files.find((file) => file.path.endsWith('.geojson'))?.path ?? '';
    const swap = (bytes: Uint8Array) =>
      new TextEncoder().encode(decodeText(bytes).replace(/"rate":\s*([1-9][0-9.]*)/, '"rate":999'));
    const proof = proveFiles(changed(handoff, path, swap));
    expect(proof.lines.filter((line) => !line.holds).map((line) => `${line.file} ${line.what}`)).toEqual([
      `${path} bytes`,
      `${path} pounds`,
    ]);
  });

  it('breaks when a file or the manifest is missing', async () => {
    const { handoff } = await handoffOf();
    const codes = (without: string) =>
      proveFiles(handoff.files.filter((file) => file.path !== without)).problems.map((problem) => problem.code);
    expect(codes('manifest.json')).toEqual(['proof-manifest']);
    expect(codes('columns.txt')).toEqual(['proof-missing']);
  });
});

describe('file names', () => {
  it('are ASCII, begin with a letter and are never empty', () => {
    expect(baseOf('Hollow Quarter')).toBe('Hollow_Quarter');
    expect(baseOf('7 Süd-Feld (neu)')).toBe('Sud_Feld_neu');
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 60 }), (name) =>
        /^[A-Za-z][A-Za-z0-9_]{0,23}$/.test(baseOf(name)),
      ),
    );
  });
});
