import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { writeCsv } from '../../core/formats/csv-write.ts';
import { readFiles } from '../../core/formats/read.ts';

describe('a table as CSV', () => {
  it('quotes what must be quoted and leaves blanks for what is not known (RFC 4180, 2.5 to 2.7)', () => {
    const text = decodeText(
      writeCsv([
        ['a', 'b'],
        ['x,y', 'say "no"'],
        [1.5, null],
        [Number.NaN, 'two\r\nlines'],
      ]),
    );
    expect(text).toBe('a,b\r\n"x,y","say ""no"""\r\n1.5,\r\n,"two\r\nlines"\r\n');
  });

  it('makes a formula harmless, and no number', () => {
    expect(decodeText(writeCsv([['=1+1', '-2', '+3', '@x', -2]]))).toBe("'=1+1,'-2,'+3,'@x,-2\r\n");
  });

  it('comes back through our own reader, whatever the words', () => {
    const word = fc
      .string({ unit: fc.constantFrom(...'abXYü,;"\'=-+ 0.'), minLength: 1, maxLength: 12 })
      .map((text) => `w${text}w`);
    fc.assert(
      fc.property(fc.array(fc.tuple(word, word), { minLength: 2, maxLength: 8 }), (rows) => {
        const read = readFiles([{ name: 't.csv', bytes: writeCsv([['first', 'second'], ...rows]) }]);
        if (!read.ok) throw new Error(read.problems[0]?.message);
        expect(read.value[0]?.records.map((record) => record.cells)).toEqual(rows);
      }),
      { numRuns: 60 },
    );
  });
});
