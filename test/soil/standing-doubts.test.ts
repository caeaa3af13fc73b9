import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { makeSoil } from '../../core/pipeline/soil-stage.ts';
import { planText, readPlan } from '../../core/plan/open.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { type StartInput, startPlan } from '../../core/plan/start.ts';
import { headerKey } from '../../core/soil/mapping-memory.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { box } from './tables.ts';

const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const file = (name: string, text: string) => ({ name, bytes: encodeUtf8(text) });
const boundary = file('field.geojson', JSON.stringify({ type: 'MultiPolygon', coordinates: FIELD }));
const lab = file(
  'lab.csv',
  'ID,Lat,Long,K,CEC\na,42.701,-94.235,182,20\nb,42.702,-94.236,167,21\nc,42.703,-94.236,90,12',
);

function started(extra: Partial<StartInput> = {}) {
  const out = startPlan({ name: 'F', boundary: [boundary], samples: [lab], ...extra });
  if (!out.ok) throw new Error(JSON.stringify(out.problems));
  return out.value;
}
const doubts = (plan: Plan, inputs: ReadonlyMap<string, Uint8Array>) =>
  makeSoil({ plan, inputs }, FIELD).problems.filter(({ code }) => code === 'soil-column-doubt');

describe('a column whose guess is in doubt', () => {
  it('is a caution of the soil stage, with its column and its place in the plan, also in a plan handed on', () => {
    const { plan, inputs } = started();
    const [first, ...rest] = doubts(plan, inputs);
    expect(rest).toEqual([]);
    expect([first?.severity, first?.at]).toEqual([
      'caution',
      { file: 'lab.csv', column: 'K', setting: 'soil.sampleColumns' },
    ]);
    expect(first?.message).toBe(
      'Column "K" is read as K in ppm, and nobody confirmed it: the unit is not told: ppm is assumed.',
    );
    const again = readPlan(planText(plan));
    expect(again.ok && doubts(again.value, inputs)).toHaveLength(1);
  });

  it('is silent once told, once confirmed in the plan, and where the same headers were confirmed before', () => {
    const told = started({ columns: [{ column: 'K', is: 'k', unit: 'ppm' }] });
    expect(doubts(told.plan, told.inputs)).toEqual([]);
    const { plan, inputs } = started();
    const confirmed = plan.soil.sampleColumns.map((use) => (use.column === 'K' ? { ...use, confirmed: true } : use));
    expect(doubts({ ...plan, soil: { ...plan.soil, sampleColumns: confirmed } }, inputs)).toEqual([]);
    const columns = plan.soil.sampleColumns;
    const memory = { key: headerKey(columns.map(({ column }) => column)), on: '2026-11-01', columns: [...columns] };
    const known = started({ remembered: [{ ...memory, confirmed: ['K'] }] });
    expect(doubts(known.plan, known.inputs)).toEqual([]);
    const unasked = started({ remembered: [memory] });
    expect(doubts(unasked.plan, unasked.inputs)).toHaveLength(1);
    expect(unasked.guesses.find((one) => one.includes('"K"'))).toContain('confirm: the unit is not told');
  });

  it('is no matter where the heading tells all: the sample field has none', () => {
    const { plan, inputs } = samplePlan();
    expect(makeSoil({ plan, inputs }, FIELD).problems.map(({ code }) => code)).not.toContain('soil-column-doubt');
  });
});
