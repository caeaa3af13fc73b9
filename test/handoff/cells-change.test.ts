import { beforeAll, describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { cellsChange, changeProblems, changeWords, k2oInFiles_lb } from '../../core/handoff/cells-change.ts';
import { figure } from '../../core/rates/text.ts';
import { bytesOf, type Made, maker, readBack } from './shared.ts';

const make = maker();
const cells = (ramp_lbPerAc: number | null) => (plan: Made['plan']) => ({
  ...plan,
  handoff: { ...plan.handoff, shape: 'cells', cells: { ...plan.handoff.cells, ramp_lbPerAc } },
});
let [zones, ramped]: Made[] = [];
beforeAll(async () => {
  zones = await make();
  ramped = await make(cells(25));
});
const of = (made: Made | undefined): Made => {
  if (!made) throw new Error('not made');
  return made;
};

describe('what the files spread, where records are cells', () => {
  it('is told beside what the zones ask, as one named difference', () => {
    const { out, handoff, plan } = of(ramped);
    const said = out.problems.filter(({ code }) => code === 'handoff-cells-change');
    expect(said).toHaveLength(1);
    const less = (out.rates?.totals.product_lb ?? 0) - handoff.totals.product_lb;
    expect(less).toBeGreaterThan(100);
    expect(said[0]?.message).toContain(`Cells and the limit on change take ${figure(less)} lb`);
    expect(said[0]?.severity).toBe(less / (out.rates?.totals.product_lb ?? 0) > 0.02 ? 'caution' : 'note');
    expect(plan.handoff.shape).toBe('cells');
  });

  it('is a caution above 2 %, nothing where nothing changed', () => {
    const { plan, out } = of(ramped);
    if (!out.rates) throw new Error('no rates');
    const { rates } = out;
    const problems = (share: number) => {
      const files = { product_lb: rates.totals.product_lb * share };
      return changeProblems(cellsChange(files, rates, plan.handoff, plan.rates.machine), plan.handoff);
    };
    expect(problems(0.97).map(({ severity }) => severity)).toEqual(['caution']);
    expect(problems(0.99).map(({ severity }) => severity)).toEqual(['note']);
    expect(problems(1)).toEqual([]);
  });

  it('is in words in the unit of the files, by what changed it', () => {
    const change = { what: 'Cells', zones_lb: 40_000, change_lb: 1000 };
    expect(changeWords(change, 'lb/ac')).toBe('Cells add 1,000 lb');
    // 1000 lb x 0.45359237
    expect(changeWords({ ...change, change_lb: -1000 }, 'kg/ha')).toBe('Cells take 454 kg');
    expect(changeWords({ ...change, change_lb: 0.2 }, 'lb/ac')).toBe('Cells change nothing in all');
  });

  it('is what product and dollars of the zone table add up to', () => {
    const { handoff, out } = of(ramped);
    const table = readBack(handoff.files, 'zones.csv');
    const sum = (name: string): number =>
      table.records.reduce((all, { cells: row }) => all + Number(row[table.columns.indexOf(name)]), 0);
    expect(Math.abs(sum('product_lb') - handoff.totals.product_lb)).toBeLessThan(1);
    expect(Math.abs(sum('cost_dollars') - handoff.totals.cost)).toBeLessThan(1);
    expect(table.records).toHaveLength((out.zones?.zones.length ?? 0) + 1);
    expect(table.columns).toContain('0-0-60, in season, lb_per_ac, asked');
    expect(decodeText(bytesOf(handoff.files, 'zones.csv'))).toContain('Cells and the limit on change');
  });

  it('holds K2O by its grade: 60 % of the product', () => {
    for (const { handoff } of [of(zones), of(ramped)])
      expect(k2oInFiles_lb(handoff.prescriptions)).toBeCloseTo(handoff.totals.product_lb * 0.6, 0);
  });
});

it('zones as they lie have no such difference', () => {
  const { handoff, out, plan } = of(zones);
  if (!out.rates) throw new Error('no rates');
  expect(cellsChange(handoff.totals, out.rates, plan.handoff, plan.rates.machine)).toBeNull();
  expect(out.problems.map(({ code }) => code)).not.toContain('handoff-cells-change');
});
