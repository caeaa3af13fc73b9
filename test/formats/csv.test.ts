import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { splitTable } from '../../core/formats/csv-split.ts';
import { readFiles } from '../../core/formats/read.ts';
import { codes, column, readOne, textFile, value } from './helpers.ts';

const read = (text: string, name = 'lab.csv') => readOne([textFile(name, text)]);
const refusal = (text: string) => {
  const result = readFiles([textFile('lab.csv', text)]);
  expect(result.ok).toBe(false);
  return result.problems.at(-1);
};
const table = (...rows: readonly string[]) => `${rows.join('\n')}\n`;

describe('a plain table', () => {
  it('keeps cells as their text, blanks as null, and the rows of a spreadsheet', () => {
    const lab = read(table('id,K ppm,note', 'A1,120.0,', 'A2,<20,"north, wet"', 'A3, n.d. ,x'));
    expect(lab.columns).toEqual(['id', 'K ppm', 'note']);
    expect(lab.records).toEqual([
      { row: 2, geometry: null, cells: ['A1', '120.0', null] },
      { row: 3, geometry: null, cells: ['A2', '<20', 'north, wet'] },
      { row: 4, geometry: null, cells: ['A3', 'n.d.', 'x'] },
    ]);
    expect([lab.format, lab.geometry, lab.crs, lab.decimal, lab.name]).toEqual(['csv', 'none', null, '.', 'lab']);
    expect(codes(lab)).toEqual([]);
    expect(lab.reading).toEqual(['encoding UTF-8', 'cells apart by comma', 'decimal point', 'header in row 1']);
  });

  it('counts a row with line ends inside a cell as one, and blank rows as rows', () => {
    const lab = read(table('id,note,K', 'A1,"two\nlines ""quoted""",1', '', 'A2,x,2'));
    expect(lab.records.map((record) => [record.row, record.cells[1]])).toEqual([
      [2, 'two\nlines "quoted"'],
      [4, 'x'],
    ]);
    expect(lab.reading).toContain('1 blank row passed over');
  });

  it.each([
    ['\r\n', 'lab.csv'],
    ['\r', 'lab.txt'],
  ])('takes line ends %j', (end, name) => {
    expect(read(['id,K', 'A1,1', 'A2,2', ''].join(end), name).records.map((record) => record.row)).toEqual([2, 3]);
  });

  it.each([
    [';', 'semicolon'],
    ['\t', 'tab'],
    ['|', 'bar'],
    [',', 'comma'],
  ])('finds the delimiter %j', (delimiter, word) => {
    const lab = read(table(['id', 'K', 'Ca'].join(delimiter), ['A1', '1.5', '2'].join(delimiter)));
    expect(lab.columns).toEqual(['id', 'K', 'Ca']);
    expect(lab.reading).toContain(`cells apart by ${word}`);
  });

  it('takes the delimiter that a first line sep= tells, which is no row', () => {
    const lab = read(table('sep=;', 'id;K', 'A1;1'));
    expect([lab.columns, lab.records[0]?.row]).toEqual([['id', 'K'], 2]);
  });
});

describe('decimal commas', () => {
  it('are found between semicolons', () => {
    const lab = read(table('id;K;pH', 'A1;120,5;6,4', 'A2;98,0;7,1'));
    expect([lab.decimal, column(lab, 'K')]).toEqual([',', ['120,5', '98,0']]);
    expect(codes(lab)).toEqual([]);
  });

  it('are found in quoted cells between commas', () => {
    expect(read(table('id,K', 'A1,"120,5"', 'A2,"98,0"')).decimal).toBe(',');
  });

  it('beside points are told with their rows', () => {
    const lab = read(table('id;K', 'A1;120,5', 'A2;98,0', 'A3;77.5'));
    expect(lab.decimal).toBe(',');
    expect(codes(lab)).toEqual(['caution csv-decimal']);
    expect(lab.problems[0]?.message).toContain('row 4');
  });

  it.each([
    ['between commas are thousands', 'id,Ca', 'A1,"1,250"', '.'],
    ['between semicolons are decimals', 'id;Ca', 'A1;1,250', ','],
  ])('with three digits %s, and told', (_, header, row, mark) => {
    const lab = read(table(header, row));
    expect(lab.decimal).toBe(mark);
    expect(codes(lab)).toEqual(['caution csv-decimal']);
  });
});

describe('encodings', () => {
  const text = table('id;Gewässer;K', 'Süd;é;1,5');
  const bytes = {
    'UTF-8': encodeUtf8(text),
    'UTF-8 with a mark': encodeUtf8(`\uFEFF${text}`),
    'Windows-1252': Uint8Array.from(text, (char) => char.charCodeAt(0)),
    'UTF-16LE': new Uint8Array(Buffer.from(`\uFEFF${text}`, 'utf16le')),
    'UTF-16LE without a mark': new Uint8Array(Buffer.from(text, 'utf16le')),
    'UTF-16BE': new Uint8Array(Buffer.from(`\uFEFF${text}`, 'utf16le').swap16()),
  };
  it.each(Object.entries(bytes))('%s', (name, one) => {
    const lab = readOne([{ name: 'lab.csv', bytes: one }]);
    expect(lab.columns).toEqual(['id', 'Gewässer', 'K']);
    expect(lab.records[0]?.cells).toEqual(['Süd', 'é', '1,5']);
    expect(lab.reading[0]).toBe(`encoding ${name.replace(/ with.*/, '')}`);
  });
});

describe('headers', () => {
  it('lines above are told and are no rows', () => {
    const lab = read(
      table('Soil report,,,', 'Received,2026-03-02,,', ',,,', 'id,K,Ca,Mg', 'A1,1,2,3', 'A2,4,5,6', 'A3,7,8,9'),
    );
    expect(lab.columns).toEqual(['id', 'K', 'Ca', 'Mg']);
    expect(lab.records.map((record) => record.row)).toEqual([5, 6, 7]);
    expect(lab.reading).toContain('header in row 4');
    expect(lab.reading).toContain(
      'above the header, not part of the table: row 1: "Soil report"; row 2: "Received 2026-03-02"',
    );
  });

  it('lines above without delimiters are no rows either', () => {
    const lab = read(table('Soil report', 'of 2026', 'id;K;pH', 'A1;1,5;6,4', 'A2;2,5;6,1'));
    expect(lab.records.map((record) => record.row)).toEqual([4, 5]);
  });

  it('a row of units is joined to the names', () => {
    const lab = read(table('Sample,K,Ca,pH,CEC', ',ppm,ppm,,meq/100g', 'A1,120,1500,6.4,12', 'A2,98,1400,6.2,11'));
    expect(lab.columns).toEqual(['Sample', 'K (ppm)', 'Ca (ppm)', 'pH', 'CEC (meq/100g)']);
    expect(lab.records.map((record) => record.row)).toEqual([3, 4]);
    expect(lab.reading).toContain('row 2 holds units, joined to the header');
  });

  it('units in brackets, below a word', () => {
    const lab = read(table('Sample;K;K sat', 'Unit;[mg/kg];(%)', 'A1;120;2,9'));
    expect(lab.columns).toEqual(['Sample', 'K (mg/kg)', 'K sat (%)']);
  });

  it('group names above are joined to the names', () => {
    const lab = read(table(',Lab,,Saturation,', 'id,K,Ca,K,Ca', 'A1,120,1500,2.9,68', 'A2,98,1400,2.5,66'));
    expect(lab.columns).toEqual(['id', 'Lab K', 'Lab Ca', 'Saturation K', 'Saturation Ca']);
    expect(lab.reading).toContain('row 1 holds group names, joined to the header');
    expect(codes(lab)).toEqual([]);
  });

  it('a first sample that was not determined is no row of units', () => {
    const lab = read(table('id,K,Ca', 'A1,n.d.,n.d.', 'A2,98,1400'));
    expect(lab.records.map((record) => record.row)).toEqual([2, 3]);
  });

  it('names that come twice or not at all are made whole, and told', () => {
    const lab = read(table('id,K,,K', 'A1,1,2,3'));
    expect(lab.columns).toEqual(['id', 'K', 'column 3', 'K_2']);
    expect(codes(lab)).toEqual(['caution csv-names']);
    expect(lab.problems[0]?.at).toEqual({ file: 'lab.csv', row: 1 });
  });

  it('a made name never meets a given one', () => {
    expect(read(table('K,K_2,K,K', '1,2,3,4', 'a,b,c,d')).columns).toEqual(['K', 'K_2', 'K_3', 'K_4']);
  });

  it('blank columns at the right, from a trailing delimiter, are none', () => {
    const lab = read(table('id,K,,', 'A1,1,,', 'A2,2,,'));
    expect(lab.columns).toEqual(['id', 'K']);
    expect(codes(lab)).toEqual([]);
  });

  it('a header that comes again is set aside', () => {
    const lab = read(table('id,K', 'A1,1', 'id,K', 'A2,2'));
    expect(lab.records.map((record) => record.row)).toEqual([2, 4]);
    expect(codes(lab)).toEqual(['caution csv-header-again']);
  });
});

describe('rows that do not fit', () => {
  it('with cells too few are kept, too many set aside, both told by row', () => {
    const lab = read(table('id,K,Ca', 'A1,1,2', 'A2,3', 'A3,1,500,4', 'A4,5,6,', 'A5,7,8'));
    expect(lab.records.map((record) => record.row)).toEqual([2, 3, 5, 6]);
    expect(lab.records[1]?.cells).toEqual(['A2', '3', null]);
    expect(lab.problems.map((problem) => [problem.code, problem.at?.row])).toEqual([
      ['csv-ragged', 3],
      ['csv-ragged', 4],
    ]);
  });

  it('are listed up to fifty, the rest counted', () => {
    const rows = Array.from({ length: 200 }, (_, i) => (i % 2 ? `A${i},1,2` : `A${i},1,2,3`));
    const lab = read(table('id,K,Ca', ...rows, 'B,1,2', 'C,1,2'));
    expect(lab.records).toHaveLength(102);
    expect(lab.problems).toHaveLength(51);
    expect(lab.problems.at(-1)?.message).toMatch(/^50 more rows .* 50 of them are set aside\.$/);
  });
});

describe('what is no table', () => {
  it.each([
    ['nothing', '', 'file-empty', undefined],
    ['blank lines', ' \n\n', 'csv-empty', undefined],
    ['one column', 'K\n1\n2\n', 'csv-one-column', undefined],
    ['no names', 'A1,1,2\nA2,3,4\n', 'csv-no-header', 1],
    ['no rows', 'id,K,Ca\n', 'csv-no-rows', 1],
    ['a quote that never ends', 'id,K\nA1,1\nA2,"3\nA4,4\n', 'csv-quote', 3],
    ['text after a quote', 'id,K\nA1,"1"x\nA2,2\n', 'csv-quote', 2],
    ['zero bytes', 'id,K\nA1,\u00001\n', 'csv-binary', undefined],
  ])('%s', (_, text, code, row) => {
    const problem = refusal(text);
    expect([problem?.severity, problem?.code, problem?.at?.file, problem?.at?.row]).toEqual([
      'stop',
      code,
      'lab.csv',
      row,
    ]);
    expect(problem?.remedy).not.toBe('');
  });
});

describe('splitTable', () => {
  const cell = fc.string({ unit: fc.constantFrom('a', 'é', '1', ',', ';', '"', '\n', ' ', '.'), maxLength: 6 });
  const quoted = (text: string) => `"${text.replaceAll('"', '""')}"`;

  it('gives back every cell that was quoted as RFC 4180 says', () => {
    const rows = fc.array(fc.array(cell, { minLength: 2, maxLength: 5 }), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(rows, fc.constantFrom(',', ';', '\t'), fc.constantFrom('', '\n'), (cells, delimiter, end) => {
        const text = cells.map((row) => row.map(quoted).join(delimiter)).join('\n') + end;
        const split = splitTable(text, delimiter);
        expect(split.badQuote).toBeNull();
        expect(split.rows).toEqual(cells.map((row) => row.map((one) => one.trim())));
      }),
    );
  });

  it('ends on any text', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom('a', ',', '"', '\n', ' '), maxLength: 60 }), (text) => {
        const split = splitTable(text, ',');
        expect(split.rows.length).toBeLessThanOrEqual(text.split('\n').length);
      }),
    );
  });
});

describe('a larger table', () => {
  it('keeps every row', () => {
    const rows = Array.from({ length: 5000 }, (_, i) => `${i},${i / 8},x`);
    const lab = value(readFiles([textFile('big.csv', table('id,v,w', ...rows))]))[0];
    expect(lab?.records).toHaveLength(5000);
    expect(lab?.records.at(-1)).toEqual({ row: 5001, geometry: null, cells: ['4999', String(4999 / 8), 'x'] });
  });
});

describe('a header that comes again', () => {
  const HEAD = 'Sample ID,K ppm,Ca ppm,pH';

  it('in another order is the order of the rows below it, and says so', () => {
    const lab = read(table(HEAD, 'A1,120,1500,6.5', 'Sample ID,Ca ppm,K ppm,pH', 'A2,1600,130,6.6', 'A3,1700,140,6.7'));
    expect(lab.columns).toEqual(['Sample ID', 'K ppm', 'Ca ppm', 'pH']);
    expect(lab.records.map(({ row, cells }) => [row, ...cells])).toEqual([
      [2, 'A1', '120', '1500', '6.5'],
      [4, 'A2', '130', '1600', '6.6'],
      [5, 'A3', '140', '1700', '6.7'],
    ]);
    expect(codes(lab)).toEqual(['caution csv-header-order']);
  });

  it('goes back to the first order under a third header', () => {
    const lab = read(table(HEAD, 'A1,1,2,3', 'pH,K ppm,Ca ppm,Sample ID', '3,1,2,A2', HEAD, 'A3,1,2,3'));
    expect(lab.records.map(({ cells }) => cells)).toEqual(['A1', 'A2', 'A3'].map((id) => [id, '1', '2', '3']));
  });

  it.each([
    ['Sample ID,K lb/ac,Ca lb/ac,pH'],
    ['Sample ID,Zn ppm,B ppm,S ppm'],
    ['sample id,K ppm,Ca ppm,pH,CEC'],
    ['ID,K lb/ac,Ca lb/ac,pH water'],
  ])('with other names (%s) stops, and is quoted', (other) => {
    const problem = refusal(table(HEAD, 'A1,120,1500,6.5', other, 'A2,240,3200,6.6'));
    expect(problem?.code).toBe('csv-header-changed');
    expect(problem?.message).toContain(other.replaceAll(',', ', '));
    expect(problem?.at).toEqual({ file: 'lab.csv', row: 3 });
  });

  it('takes its lines of units, methods and titles with it', () => {
    const lab = read(
      table(
        'Report 7,,,',
        'Sample ID,K,Ca,pH',
        ',ppm,ppm,',
        ',Mehlich 3,Mehlich 3,1:1 water',
        'A1,120,1500,6.5',
        'Report 7,,,',
        'Sample ID,K,Ca,pH',
        ',ppm,ppm,',
        ',Mehlich 3,Mehlich 3,1:1 water',
        'A2,130,1600,6.6',
      ),
    );
    expect(lab.records.map(({ row }) => row)).toEqual([4, 5, 10]);
    expect(codes(lab)).toEqual(['caution csv-header-again']);
  });

  it('is not seen in rows of samples without a number', () => {
    const lab = read(table(HEAD, 'A,lost,lost,lost', 'B,n.d.,trace,n.d.', 'C,1,2,3', 'D,,,'));
    expect(lab.records).toHaveLength(4);
  });
});
