import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import { unzipFiles } from '../../core/formats/zip.ts';
import { area_m2 } from '../../core/geo/area.ts';
import { roundTo } from '../../core/handoff/columns.ts';
import { baseOf } from '../../core/handoff/names.ts';
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
    const byHand = { zoneKey: '4.2.1', rate_lbPerAc: 300, who: 'Ann', when: '2026-03-01', why: 'history' };
    const without = planSchema.parse({ ...plan, rates: { ...plan.rates, yieldGoal: null, overrides: [byHand] } });
    const blocked = await runPlan({ plan: without, inputs });
    expect(blocked.handoff).toBeNull();
    expect(blocked.stages.handoff.problems.map((problem) => problem.code)).toContain('handoff-withheld');
    const written = await runPlan({
      plan: { ...without, handoff: { ...without.handoff, withheld: 'written 0' } },
      inputs,
    });
    const notes = new Map(written.handoff?.prescriptions[0]?.pieces.map((piece) => [piece.letter, piece.note]));
    expect(notes.get('F')).toBe('300 lb/ac by hand, Ann, 2026-03-01: history');
    expect(notes.get('A')).toMatch(/no rate .* written as 0/);
    const heavy = written.rates?.zones.find((zone) => zone.letter === 'F');
    expect(written.handoff?.totals.product_lb).toBeCloseTo(300 * (heavy?.acres ?? 0), 6);
    expect(written.stages.handoff.problems.every((problem) => problem.severity === 'caution')).toBe(true);
  });

  it('are not made where no zone has a rate at all', async () => {
    const { plan, inputs } = samplePlan();
    const none = await runPlan({
      plan: { ...plan, rates: { ...plan.rates, yieldGoal: null }, handoff: { ...plan.handoff, withheld: 'written 0' } },
      inputs,
    });
    expect(none.handoff).toBeNull();
    expect(none.stages.handoff.problems.map((problem) => problem.code)).toEqual(['handoff-all-withheld']);
  });

  it('say in plain text which file is which pass, what it spreads on, and what to load', async () => {
    const { handoff } = await handoffOf();
    const zip = unzipFiles(
      handoff.files.find((file) => file.path.endsWith('_p2.zip'))?.bytes ?? new Uint8Array(),
      'x.zip',
    );
    const text = decodeText(
      (zip.ok ? zip.value : []).find((part) => part.name === 'columns.txt')?.bytes ?? new Uint8Array(),
    );
    const light = handoff.prescriptions[1]?.pieces.filter((piece) => piece.rate_lbPerAc > 0) ?? [];
    const spread_ac = light.reduce((sum, piece) => sum + piece.acres, 0);
    expect(text).toContain('This zip is pass 2 of 2, in season.');
    expect(text).toContain('Pass 2, in season: Hollow_Quarter_p2.zip');
    expect(text).toContain(`spreads on ${spread_ac.toFixed(2)} ac at 100 lb/ac`);
    expect(text).toContain(`to load: ${(spread_ac * 100).toFixed(0)} lb`);
  });

  it('keep to one system of units: kilograms of K2O beside kilograms of product', async () => {
    const { handoff } = await handoffOf((plan) => ({ ...plan, handoff: { ...plan.handoff, rateUnit: 'kg/ha' } }));
    const text = decodeText(handoff.files.find((file) => file.path === 'columns.txt')?.bytes ?? new Uint8Array());
    expect(text).toContain('K2O_KGHA');
    expect(text).toMatch(/to load: \d+ kg = [\d.]+ metric tons/);
    expect(text).not.toMatch(/lb/);
  });

  it('hold the ledger as a table whose carried figures add up to each zone’s K2O before the machine', async () => {
    const { handoff, out } = await handoffOf();
    const file = handoff.files.find((one) => one.path === 'ledger.csv');
    const read = readFiles(file ? [{ name: 'ledger.csv', bytes: file.bytes }] : []);
    const table = read.ok ? read.value[0] : undefined;
    expect(table?.columns).toEqual(['zone', 'acres', 'line', 'what', 'how', 'unit', 'working', 'carried', 'source']);
    for (const zone of out.rates?.zones ?? []) {
      const rows = table?.records.filter((record) => record.cells[0] === zone.letter) ?? [];
      const carried = rows.reduce((sum, record) => sum + Number(record.cells[7] ?? 0), 0);
      expect(rows.length).toBe(14);
      expect(carried).toBeCloseTo(((zone.exact_lbPerAc ?? 0) * 60) / 100, 2);
    }
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
      `${path} rates at points`,
    ]);
  });

  it('breaks when a file or the manifest is missing', async () => {
    const { handoff } = await handoffOf();
    const codes = (without: string) =>
      proveFiles(handoff.files.filter((file) => file.path !== without)).problems.map((problem) => problem.code);
    expect(codes('manifest.json')).toEqual(['proof-manifest']);
    expect(codes('columns.txt')).toEqual(['proof-missing']);
  });

  it('warns of a file in the folder that the plan did not write', async () => {
    const { handoff } = await handoffOf();
    const [first] = handoff.files.filter((file) => file.path.endsWith('.zip'));
    const proof = proveFiles([
      ...handoff.files,
      { path: 'Hollow_Quarter_p3.zip', bytes: first?.bytes ?? new Uint8Array() },
    ]);
    expect(proof.proved).toBe(true);
    expect(proof.problems).toMatchObject([
      { code: 'proof-stray', severity: 'caution', at: { file: 'Hollow_Quarter_p3.zip' } },
    ]);
  });

  it('does not hold for a manifest that names nothing', async () => {
    const { handoff } = await handoffOf();
    const emptied = (bytes: Uint8Array) => {
      const manifest = JSON.parse(decodeText(bytes));
      return new TextEncoder().encode(JSON.stringify({ ...manifest, files: [], sets: [], taskData: null }));
    };
    const proof = proveFiles(changed(handoff, 'manifest.json', emptied));
    expect(proof.proved).toBe(false);
    expect(proof.problems[0]?.code).toBe('proof-manifest');
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
