import { describe, expect, it } from 'vitest';
import type { Plan } from '../../core/plan/schema.ts';
import { changeSince } from '../../renderer/store/rates-change.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { deepFreeze } from '../freeze.ts';

const { plan } = samplePlan();
deepFreeze(plan);
const known = (of: Plan, product_tons: number, cost: number) => ({ plan: of, totals: { product_tons, cost } });
const other: Plan = { ...plan, rates: { ...plan.rates, floor_ppm: 160 } };

describe('what a change did to tons and dollars', () => {
  it('is told against the totals before it', () => {
    expect(changeSince(known(plan, 20, 9000), known(other, 21.5, 9650), null)).toEqual({ tons: 1.5, cost: 650 });
  });

  it('says nothing of the first results', () => {
    expect(changeSince(null, known(plan, 20, 9000), null)).toBeNull();
  });

  it('stays as it was where what changed bears on no rate', () => {
    const shown = { tons: 1.5, cost: 650 };
    const renamed: Plan = { ...plan, name: 'Another name' };
    expect(changeSince(known(plan, 20, 9000), known(renamed, 20, 9000), shown)).toBe(shown);
    expect(changeSince(known(plan, 20, 9000), known(plan, 20, 9000), shown)).toBe(shown);
  });

  it('is nothing where a choice changed and no figure did', () => {
    expect(changeSince(known(plan, 20, 9000), known(other, 20, 9000), { tons: 1.5, cost: 650 })).toEqual({
      tons: 0,
      cost: 0,
    });
  });
});
