import { expect, it } from 'vitest';
import { plainJson, plainText } from '../../app/cli/plain.ts';

const STEERING = 'a\u001b[2Jb\u009bc\u202ed\u2066e';

it('controls and direction marks are shown, tabs and line ends stay', () => {
  expect(plainText(STEERING)).toBe('a\\u{1B}[2Jb\\u{9B}c\\u{202E}d\\u{2066}e');
  expect(plainText('K\tppm\n')).toBe('K\tppm\n');
});

it('JSON holds none of them raw and reads back the same', () => {
  const text = plainJson({ name: STEERING });
  expect(text).toMatch(/^[\n\x20-\x7e]+$/);
  expect(JSON.parse(text)).toEqual({ name: STEERING });
});
