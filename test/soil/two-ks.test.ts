import { describe, expect, test } from 'vitest';
import { guessColumns } from '../../core/soil/guess.ts';
import { whyNoK } from '../../core/soil/held.ts';
import { howToTellK } from '../../core/soil/how-to-tell.ts';
import { table } from './tables.ts';

/** Guesses of two columns for K, the second with twice the figures. */
const two = (one: string, other: string, cells: readonly string[] = ['a;90;182;23.8', 'b;84;167;23.1']) =>
  guessColumns(table('lab', [`ID;${one};${other};CEC`, ...cells]));

describe('two columns of K', () => {
  test.each([
    ["K '21", "K '24"],
    ['K \u201921 ppm', 'K \u201924 ppm'],
    ['K Haney H3A ppm', 'K ammonium acetate ppm'],
    ['K Olsen ppm', 'K M3 ppm'],
    ['K ppm', 'K AA ppm'],
    ['K subsoil ppm', 'K topsoil ppm'],
    ['K lb/ac', 'K ppm'],
    ['K 12-24 in ppm', 'K ppm'],
  ])('%s gives way to %s', (one, other) => {
    const [, first, second] = two(one, other);
    expect(first).toMatchObject({ is: 'unused' });
    expect(second).toMatchObject({ is: 'k', doubt: expect.stringContaining(`"${one}" also reads as K`) });
  });

  test.each([
    ['K1', 'K2'],
    ['K ppm', 'Potassium ppm'],
    ['K M3 ppm', 'K AA ppm'],
    ['K ppm', 'K Olsen ppm'],
    ['K before', 'K after'],
    ['K', 'K_2'],
  ])('%s and %s: neither is taken, and the person is asked', (one, other) => {
    const lab = table('lab', [`ID;${one};${other};CEC`, 'a;90;182;23.8', 'b;84;167;23.1']);
    const guesses = guessColumns(lab);
    expect(guesses.some((guess) => guess.is === 'k')).toBe(false);
    expect(guesses.some((guess) => guess.held === 'k')).toBe(true);
    expect(whyNoK(lab, guesses)).toContain('left unused until');
    expect(howToTellK(lab, guesses)).toContain(`${one}=k`);
  });

  test('two columns with the same figures are one test', () => {
    expect(two('K ppm', 'Potassium ppm', ['a;90;90;23', 'b;84;84;23'])[1]).toMatchObject({ is: 'k' });
  });

  test('subsoil alone is said to be below the surface', () => {
    const [, k] = guessColumns(table('lab', ['ID;K subsoil ppm;CEC', 'a;90;23']));
    expect(k).toMatchObject({ is: 'k', unit: 'ppm', doubt: expect.stringContaining('subsoil') });
  });
});
