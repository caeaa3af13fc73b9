import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadLines } from '../../core/handoff/loads.ts';
import { baseOf, fileNames, nameProblems } from '../../core/handoff/names.ts';
import { handoffSettingsSchema } from '../../core/handoff/settings.ts';
import { cutWords, taskNames } from '../../core/handoff/task-data/names.ts';
import type { Prescription } from '../../core/handoff/types.ts';
import { planText, readPlan } from '../../core/plan/open.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { passOf, pieceOf } from './task-data/helpers.ts';

const short = handoffSettingsSchema.parse({ shortNames: true });
const TWO = { passes: 2, products: 2 };

describe('names of the files of like fields', () => {
  it('differ though the short ones are cut', () => {
    const stems = ['Hollow Quarter', 'Hollow East', 'Hollow Creek'].map(
      (name) => fileNames(baseOf(name), short, TWO).stem,
    );
    expect(new Set(stems).size).toBe(3);
    for (const stem of stems) expect(stem).toMatch(/^HO[0-9A-Z]{2}$/);
    expect(fileNames('Home', short, TWO)).toMatchObject({ stem: 'HOME', cut: false });
  });

  it('differ though their letters are of another script, or they are long', () => {
    expect(baseOf('Поле')).toMatch(/^field_[0-9a-z]{2}$/);
    expect(baseOf('Поле')).not.toBe(baseOf('Луг'));
    expect(baseOf('Поле A')).not.toBe(baseOf('Луг A'));
    const long = 'The quarter by the old church road, ';
    expect(baseOf(`${long}east`)).not.toBe(baseOf(`${long}west`));
    expect(baseOf('Süd-Feld')).toBe('Sud_Feld');
  });

  it('are always fit for a file', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 60 }), (name) => {
        expect(baseOf(name)).toMatch(/^[A-Za-z][A-Za-z0-9_]{0,23}$/);
        expect(fileNames(baseOf(name), short, TWO).set(1, 1)).toMatch(/^[A-Z][A-Z0-9]{0,7}$/);
      }),
    );
  });

  it('are told with their stem where they leave something out', () => {
    const codes = (name: string, base: string | null = null) => {
      const called = fileNames(base ?? baseOf(name), short, TWO);
      return nameProblems(name, base, called).map(({ code, severity, message }) => {
        expect(message).toContain(called.stem);
        return `${severity} ${code}`;
      });
    };
    expect(codes('Home')).toEqual([]);
    expect(codes('Hollow East')).toEqual(['caution handoff-short-names']);
    expect(codes('Поле')).toEqual(['caution handoff-name-letters', 'caution handoff-short-names']);
    expect(codes('Поле', 'Pole')).toEqual([]);
  });
});

it('a base that is none is told in words', () => {
  const { plan } = samplePlan();
  const text = planText(plan).replace('"baseName": null', '"baseName": "7 fields"');
  const read = readPlan(text);
  expect(read.problems.map(({ message }) => message)).toEqual([
    'The setting handoff.baseName is not valid: a letter of A to Z first, then letters, digits, - or _, at most 40 characters.',
  ]);
});

describe('names of tasks', () => {
  it('are cut between words', () => {
    expect(cutWords('The quarter by the old church road')).toBe('The quarter by the old church');
    expect(cutWords('Home')).toBe('Home');
    expect(cutWords('x'.repeat(40))).toBe('x'.repeat(32));
  });

  it('keep the whole name of the field, with the number of the pass where its words do not fit', () => {
    expect(taskNames('Hollow Quarter', ['before the season', 'in season'])).toEqual([
      'Hollow Quarter, pass 1',
      'Hollow Quarter, pass 2',
    ]);
    expect(taskNames('Home', ['before the season', 'in season'])).toEqual([
      'Home, before the season',
      'Home, in season',
    ]);
  });
});

it('a load covers no more than the pass spreads', () => {
  const pass: Prescription = passOf([
    { ...pieceOf([], 100), acres: 44 },
    { ...pieceOf([], 0), acres: 60 },
  ]);
  const byProduct = [{ product: 'a', product_lb: 4400, product_tons: 2.2, cubicFeet: null }];
  const [line] = loadLines([{ ...pass, totals: { ...pass.totals, byProduct } }], 6);
  // 6 tons at 100 lb/ac would do for 120 ac; the pass spreads 44.
  expect(line).toMatchObject({ full: 0, acresPerLoad: 44 });
  expect(loadLines([{ ...pass, totals: { ...pass.totals, byProduct } }], 1)[0]?.acresPerLoad).toBeCloseTo(20, 9);
});
