import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import type { Dataset } from '../../core/formats/types.ts';
import { roundTo } from '../../core/handoff/columns.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import type { HandoffOut } from '../../core/handoff/types.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { type Plan, planSchema } from '../../core/plan/schema.ts';
import { PRODUCTS } from '../../core/rates/products.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

const product = (name: string, price_perTon: number, density_lbPerFt3: number | null = null) => ({
  ...PRODUCTS.find((one) => one.name === name),
  price_perTon,
  density_lbPerFt3,
});

async function handoffOf(
  change: (plan: Plan) => Plan = (plan) => plan,
): Promise<{ out: PlanOut; handoff: HandoffOut }> {
  const { plan, inputs } = samplePlan();
  const second = {
    product: product('0-0-50', 800, 75),
    gives: { by: 'sulfur', s_lbPerAc: 15 },
    where: null,
  };
  const both = planSchema.parse({ ...plan, rates: { ...plan.rates, second } });
  const out = await runPlan({ plan: change(both), inputs });
  if (!out.handoff) throw new Error(JSON.stringify(out.problems.filter((one) => one.severity === 'stop')));
  return { out, handoff: out.handoff };
}

/** The plain case, made once: every test only reads it. */
let plain: ReturnType<typeof handoffOf> | null = null;
const twoProducts = (): ReturnType<typeof handoffOf> => {
  plain ??= handoffOf();
  return plain;
};

const read = (handoff: HandoffOut, end: string): Dataset => {
  const file = handoff.files.find((one) => one.path.endsWith(end));
  const found = readFiles(file ? [{ name: file.path, bytes: file.bytes }] : []);
  const dataset = found.ok ? found.value[0] : undefined;
  if (!dataset) throw new Error(`cannot read ${end}`);
  return dataset;
};
const cell = (dataset: Dataset, record: Dataset['records'][number], name: string) =>
  record.cells[dataset.columns.indexOf(name)];
const textOf = (handoff: HandoffOut): string =>
  decodeText(handoff.files.find((one) => one.path === 'columns.txt')?.bytes ?? new Uint8Array());

describe('the files of a plan with two products', () => {
  it('hold a column each, the first product’s rate first, with its name beside', async () => {
    const { handoff, out } = await twoProducts();
    for (const [end, columns] of [
      ['_p1.geojson', ['rate', 'unit', 'product', 'rate_2', 'product_2']],
      ['_p1.zip', ['RATE', 'UNIT', 'PRODUCT', 'RATE_2', 'PRODUCT_2']],
    ] as const) {
      const table = read(handoff, end);
      expect(table.columns.slice(0, 5)).toEqual(columns);
      for (const record of table.records) {
        const zone = out.rates?.zones.find(
          ({ letter }) => letter === cell(table, record, end === '_p1.zip' ? 'ZONE' : 'zone'),
        );
        expect([0, 3].map((at) => Number(record.cells[at]))).toEqual(zone?.products.map((one) => one.rates_lbPerAc[0]));
        expect([2, 4].map((at) => record.cells[at])).toEqual(['0-0-60', '0-0-50']);
      }
    }
  });
  it('add up by product to what the rates stage says, in pounds, tons and dollars', async () => {
    const { handoff, out } = await twoProducts();
    const zones = out.rates?.zones ?? [];
    for (const [index, total] of handoff.totals.byProduct.entries()) {
      const pounds = zones.reduce(
        (all, zone) =>
          all + zone.acres * (zone.products[index]?.rates_lbPerAc.reduce((sum, rate) => sum + rate, 0) ?? 0),
        0,
      );
      expect(total.product_lb).toBeCloseTo(pounds, 4);
      expect(total.product_tons * 2000).toBeCloseTo(pounds, 4);
      expect(pounds).toBeGreaterThan(0);
    }
    expect(handoff.totals.product_lb).toBeCloseTo(out.rates?.totals.product_lb ?? Number.NaN, 4);
    expect(handoff.totals.cost).toBeCloseTo(out.rates?.totals.cost ?? Number.NaN, 4);
  });
  it('are proved by both columns: a changed second rate is found by name', async () => {
    const { handoff } = await twoProducts();
    const proof = proveFiles(handoff.files);
    expect(proof.problems).toEqual([]);
    expect(proof.proved).toBe(true);
    expect(proof.product_tons).toBeCloseTo(handoff.totals.product_tons, 3);
    expect(proof.lines.filter((line) => line.what === 'pounds of RATE_2')).toHaveLength(
      3 * handoff.prescriptions.length,
    );
    const path = handoff.files.find((file) => file.path.endsWith('_p1.geojson'))?.path ?? '';
    const swapped = handoff.files.map((file) =>
      file.path === path
        ? {
            ...file,
            bytes: new TextEncoder().encode(
              decodeText(file.bytes).replace(/"rate_2":\s*([1-9][0-9.]*)/, '"rate_2":777'),
            ),
          }
        : file,
    );
    expect(
      proveFiles(swapped)
        .lines.filter((line) => !line.holds)
        .map((line) => line.what),
    ).toEqual(['bytes', 'pounds of RATE_2', 'rates at points']);
    const without = handoff.files.map((file) =>
      file.path === path
        ? { ...file, bytes: new TextEncoder().encode(decodeText(file.bytes).replaceAll('"rate_2"', '"rate_x"')) }
        : file,
    );
    expect(proveFiles(without).proved).toBe(false);
  });
  it('name both in manifest and text, and what to load of each, with the room of the one that was weighed', async () => {
    const { handoff } = await twoProducts();
    const manifest = JSON.parse(
      decodeText(handoff.files.find((one) => one.path === 'manifest.json')?.bytes ?? new Uint8Array()),
    );
    const { channels } = manifest.sets[0];
    expect(channels.map((one: { product: string }) => one.product)).toEqual(['0-0-60', '0-0-50']);
    const [first, second] = handoff.prescriptions[0]?.totals.byProduct ?? [];
    expect(channels.map((one: { planned_lb: number }) => one.planned_lb)).toEqual(
      [first, second].map((one) => roundTo(one?.product_lb ?? 0, 3)),
    );
    const text = textOf(handoff);
    expect(text).toContain('Products 0-0-60 (RATE) and 0-0-50 (RATE_2), rates in lb/ac.');
    expect(text).toContain(
      `to load: ${first?.product_lb.toFixed(0)} lb = ${first?.product_tons.toFixed(2)} short tons of 0-0-60`,
    );
    expect(text).toContain(
      `${((second?.product_lb ?? 0) / 75).toFixed(0)} cubic feet by the density as weighed, of 0-0-50`,
    );
    expect(text).toMatch(/RATE_2\s+rate_2\s+second product to spread/);
  });
  it('in kilograms hold both in kilograms', async () => {
    const { handoff } = await handoffOf((plan) => ({ ...plan, handoff: { ...plan.handoff, rateUnit: 'kg/ha' } }));
    expect(proveFiles(handoff.files).proved).toBe(true);
    expect(textOf(handoff)).toMatch(/m3 by the density as weighed/);
    expect(textOf(handoff)).not.toMatch(/lb/);
  });
  it('of a plan with one product have no second column, and no word of one', async () => {
    const { handoff } = await handoffOf((plan) => ({ ...plan, rates: { ...plan.rates, second: null } }));
    expect(read(handoff, '_p1.zip').columns).not.toContain('RATE_2');
    expect(
      decodeText(handoff.files.find((one) => one.path === 'manifest.json')?.bytes ?? new Uint8Array()),
    ).not.toContain('RATE_2');
    expect(textOf(handoff)).not.toContain('RATE_2');
  });
  it('note ground that is turned off by choice', async () => {
    const { plan, inputs } = samplePlan();
    const first = (await runPlan({ plan, inputs })).rates?.zones[0];
    const zones = { [first?.key ?? '']: { off: true } };
    const { handoff } = await handoffOf((one) => ({ ...one, rates: { ...one.rates, zones } }));
    const pieces = handoff.prescriptions[0]?.pieces.filter((piece) => piece.letter === first?.letter) ?? [];
    expect(pieces.length).toBeGreaterThan(0);
    for (const piece of pieces)
      expect(piece).toMatchObject({ rate_lbPerAc: 0, second_lbPerAc: 0, note: 'turned off by choice: written as 0' });
  });
});
