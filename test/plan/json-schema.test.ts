import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { planJsonSchema } from '../../core/plan/json-schema.ts';
import { planText } from '../../core/plan/open.ts';
import { emptyPlan } from '../../core/plan/schema.ts';
import { BASES, basisOf, basisText } from '../../core/rates/basis.ts';
import { basisJsonSchema } from '../../core/rates/basis-schema.ts';
import { ratesSettingsSchema } from '../../core/rates/settings.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

const published = (path: string): object =>
  JSON.parse(readFileSync(fileURLToPath(new URL(`../../core/${path}`, import.meta.url)), 'utf8'));
const compiled = new Map<string, ValidateFunction>();
/** What an independent validator says of a document under a published schema: nothing where it holds. */
function faults(schema: string, document: unknown): readonly string[] {
  const holds =
    compiled.get(schema) ?? new Ajv2020({ allErrors: true, allowUnionTypes: true }).compile(published(schema));
  compiled.set(schema, holds);
  return holds(document) ? [] : (holds.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
}
const PLAN = 'plan/plan.schema.json';
const BASIS = 'rates/basis.schema.json';

describe('the published JSON Schemas', () => {
  it('are those of today’s settings: else run `npm run schemas`', () => {
    expect(published(PLAN)).toEqual(JSON.parse(JSON.stringify(planJsonSchema())));
    expect(published(BASIS)).toEqual(JSON.parse(JSON.stringify(basisJsonSchema())));
  });
  it('hold for the sample field’s plan, for a plan with nothing in it, and for one that leaves all to the defaults', () => {
    expect(faults(PLAN, samplePlan().plan)).toEqual([]);
    expect(faults(PLAN, JSON.parse(planText(emptyPlan('Empty'))))).toEqual([]);
    const { format, version } = emptyPlan('Bare');
    expect(faults(PLAN, { format, version, name: 'Bare' })).toEqual([]);
  });
  it('hold for every basis that comes with the app, and for one made of a plan', () => {
    for (const one of [...BASES, basisOf(ratesSettingsSchema.parse({}), 'Mine')])
      expect(faults(BASIS, JSON.parse(basisText(one)))).toEqual([]);
  });
  it.each([
    ['a rate below 0', { rates: { floor_ppm: -5 } }, '/rates/floor_ppm must be > 0'],
    ['a layer that there is not', { zones: { by: { layer: 'nonsense', breaks: [1] } } }, '/zones/by/layer'],
    ['a yield goal in words', { rates: { yieldGoal: 'high' } }, '/rates/yieldGoal'],
    ['a blend of seven', { rates: { product: { blend: Array.from({ length: 7 }, () => ({})) } } }, '/rates/product'],
  ])('find %s', (_, change, place) => {
    const { format, version } = emptyPlan('x');
    const found = faults(PLAN, { format, version, name: 'x', ...change });
    expect(found.length).toBeGreaterThan(0);
    expect(found.some((one) => one.startsWith(place))).toBe(true);
  });
  it('find a basis without a name, and a choice out of its range', () => {
    expect(faults(BASIS, { format: 'pearlash-basis', version: 1, choices: {} })).toEqual([
      " must have required property 'name'",
    ]);
    expect(
      faults(BASIS, { format: 'pearlash-basis', version: 1, name: 'x', choices: { buildUp_years: 0 } }),
    ).toHaveLength(1);
  });
});
