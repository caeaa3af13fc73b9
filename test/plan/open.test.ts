import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { planText, readPlan } from '../../core/plan/open.ts';
import { emptyPlan, isInnerPath, PLAN_VERSION } from '../../core/plan/schema.ts';
import { deepFreeze } from '../freeze.ts';

const codes = (text: string): string[] => readPlan(text, 'plan.json').problems.map((problem) => problem.code);

describe('reading a plan', () => {
  it('gives back what planText wrote, byte for byte', () => {
    const text = planText(deepFreeze(emptyPlan('North forty')));
    const read = readPlan(text);
    expect(read.ok && planText(read.value)).toBe(text);
    expect(read.problems).toEqual([]);
  });

  it('fills in every default a document leaves out', () => {
    const read = readPlan(JSON.stringify({ format: 'pearlash-plan', version: PLAN_VERSION, name: 'North forty' }));
    expect(read.ok && read.value).toEqual(emptyPlan('North forty'));
  });

  it('says when the text is no JSON, JSON of another kind, or has no version', () => {
    expect(codes('{"format": "pearlash-plan", ')).toEqual(['plan-json']);
    expect(codes('{"type": "FeatureCollection"}')).toEqual(['plan-other']);
    expect(codes('[1, 2]')).toEqual(['plan-other']);
    expect(codes('{"format": "pearlash-plan"}')).toEqual(['plan-invalid']);
  });

  it('refuses a later version in plain words', () => {
    const read = readPlan(JSON.stringify({ ...emptyPlan('x'), version: PLAN_VERSION + 1 }));
    expect(read.ok).toBe(false);
    expect(read.problems[0]).toMatchObject({ code: 'plan-newer', severity: 'stop' });
    expect(read.problems[0]?.message).toContain('later version');
  });

  it('names each wrong setting by its path', () => {
    const plan = emptyPlan('x');
    const read = readPlan(JSON.stringify({ ...plan, rates: { ...plan.rates, floor_ppm: -4, governs: 'both' } }));
    expect(read.problems.map((problem) => problem.at?.setting)).toEqual(['rates.governs', 'rates.floor_ppm']);
  });

  it('opens a plan of version 1 with all that it says, and today’s settings at what they did then', () => {
    const old = readFileSync(new URL('../fixtures/plans/version-1.json', import.meta.url), 'utf8');
    const read = readPlan(old);
    if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join(' '));
    expect(read.problems).toEqual([]);
    expect(read.value.version).toBe(PLAN_VERSION);
    expect(read.value).toMatchObject({ ...JSON.parse(old), version: PLAN_VERSION });
    const { rates, surfaces, ground } = read.value;
    expect(rates).toMatchObject({ budget: null, second: null, follows: null, credits: [], zones: {}, thenCrops: [] });
    expect(rates.residueShare_pct).toBe(100);
    expect(surfaces).toMatchObject({ ways: {}, radius_m: null, saturation: 'from K and CEC' });
    expect(ground.areas).toEqual([]);
  });

  it('tells of a setting it does not know instead of dropping it silently', () => {
    const read = readPlan(JSON.stringify({ ...emptyPlan('x'), colour: 'blue' }));
    expect(read.ok).toBe(true);
    expect(read.problems).toMatchObject([
      { code: 'plan-unknown-setting', severity: 'caution', at: { setting: 'colour' } },
    ]);
  });

  it('refuses a setting that names a file which is not among the inputs', () => {
    const plan = emptyPlan('x');
    const read = readPlan(JSON.stringify({ ...plan, soil: { ...plan.soil, sampleFiles: ['inputs/lab.csv'] } }));
    expect(read.problems).toMatchObject([{ code: 'plan-input-unlisted', at: { setting: 'soil.sampleFiles' } }]);
  });

  it('refuses an input path that leaves the plan folder', () => {
    for (const path of ['../x', '/etc/passwd', 'a/../../b', 'C:/x', 'a\\b', 'a//b', './a', ''])
      expect(isInnerPath(path)).toBe(false);
    for (const path of ['a', 'inputs/a.zip', 'a b/c..d']) expect(isInnerPath(path)).toBe(true);
  });
});
