import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { parseValue } from '../../core/base/parse-value.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { isoOfSerial, kindOfFormat } from '../../core/formats/xlsx-numbers.ts';
import { columnName } from '../../core/formats/xlsx-sheet.ts';
import { zipFiles } from '../../core/formats/zip.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { deepFreeze } from '../freeze.ts';
import { codes, column, readOne, textFile, value } from './helpers.ts';

const workbook = (name: string): readonly NamedBytes[] => deepFreeze(fixture(`xlsx/${name}.xlsx`));

/** A workbook of one sheet from the inside of its sheetData. */
const sheetOf = (rows: string, more = ''): NamedBytes => ({
  name: 'own.xlsx',
  bytes: zipFiles([
    textFile(
      'xl/workbook.xml',
      '<workbook><sheets><sheet name="S" sheetId="1" r:id="a" xmlns:r="r"/></sheets></workbook>',
    ),
    textFile(
      'xl/_rels/workbook.xml.rels',
      '<Relationships><Relationship Id="a" Type="x/worksheet" Target="worksheets/s.xml"/></Relationships>',
    ),
    textFile('xl/worksheets/s.xml', `<worksheet><sheetData>${rows}</sheetData>${more}</worksheet>`),
  ]),
});
const row = (...cells: readonly (string | number)[]): string =>
  `<row>${cells.map((cell) => (typeof cell === 'number' ? `<c><v>${cell}</v></c>` : cell === '' ? '<c/>' : `<c t="str"><v>${cell}</v></c>`)).join('')}</row>`;

describe('a lab’s workbook', () => {
  const read = readFiles(workbook('lab'));
  const [results, points, hidden] = value(read);

  it('gives each sheet with a table, those that people see first', () => {
    expect(value(read).map((one) => [one.name, one.format, one.files])).toEqual([
      ['lab.xlsx, sheet Results', 'xlsx', ['lab.xlsx']],
      ['lab.xlsx, sheet Points', 'xlsx', ['lab.xlsx']],
      ['lab.xlsx, sheet Codes', 'xlsx', ['lab.xlsx']],
    ]);
    expect(hidden?.reading[0]).toBe('sheet "Codes", which is hidden in the workbook');
    expect(codes(read)).toEqual(['note xlsx-below', 'note xlsx-sheet'].sort());
    expect(read.problems.map((problem) => problem.message).join()).toContain('"Empty"');
  });

  it('finds names under a title, groups and units, and says what lay about the table', () => {
    expect(results?.columns).toEqual([
      'Sample',
      'Depth (in)',
      'Sampled',
      'K (ppm)',
      'pH',
      'Saturation K (%)',
      'Saturation Ca (%)',
      'Saturation Mg (%)',
    ]);
    const said = results?.reading.join() ?? '';
    expect(said).toContain('row 1: "Soil test report 2025-118"');
    expect(said).toContain('1 hidden row, read like the others');
    expect(read.problems.find((problem) => problem.code === 'xlsx-below')).toMatchObject({ at: { row: 14 } });
  });

  it('has rows, texts, numbers, dates and shares as the sheet shows them', () => {
    expect(results?.records.map((record) => record.row)).toEqual([7, 8, 9, 10, 12]);
    expect(results && column(results, 'Sample')).toEqual(['001', '001', '002', 'A & B "3"', '004']);
    expect(results && column(results, 'Sampled')).toEqual([
      '2025-04-02',
      '2025-04-02',
      '2025-04-03T14:30:00',
      '2024-02-29',
      null,
    ]);
    expect(results && column(results, 'K (ppm)')).toEqual([118, 64.5, '<20', 1e-7, -3]);
    // One text has a decimal comma, so the shares are written with one.
    expect(results && column(results, 'pH')).toEqual([6.4, 6.9, 7.25, 5, '6,1']);
    expect(results?.decimal).toBe(',');
    expect(results && column(results, 'Saturation K (%)')).toEqual(['2,9%', '1,55%', '0,4%', '100%', '4,1%']);
    const shares = results ? column(results, 'Saturation K (%)') : [];
    expect(shares.map((share) => parseValue(share as string, ','))).toMatchObject(
      [2.9, 1.55, 0.4, 100, 4.1].map((percent) => ({ kind: 'number', value: percent, unit: '%' })),
    );
  });

  it('has the cells that another reader finds', () => {
    const theirs: Record<string, Record<string, unknown>> = JSON.parse(
      readFileSync(new URL('../fixtures/xlsx/lab.json', import.meta.url), 'utf8'),
    );
    for (const table of [points, hidden]) {
      if (!table) throw new Error('no table');
      const sheet = theirs[table.name.replace('lab.xlsx, sheet ', '')] ?? {};
      const ours = Object.fromEntries(
        table.records.flatMap((record) => record.cells.map((cell, i) => [`${columnName(i)}${record.row}`, cell])),
      );
      const values = Object.fromEntries(
        Object.entries(sheet).filter(([place]) => !place.endsWith('1') || place.length > 2),
      );
      expect(ours).toEqual(values);
    }
    const sheet = theirs.Results ?? {};
    for (const record of results?.records ?? []) {
      expect(record.cells[3]).toEqual(sheet[`D${record.row}`]);
      const day = sheet[`C${record.row}`];
      expect(record.cells[2]).toEqual(typeof day === 'string' ? day.replace('T00:00:00', '') : null);
      expect(Number.parseFloat(String(record.cells[6]).replace(',', '.'))).toBeCloseTo(
        100 * Number(sheet[`G${record.row}`]),
        9,
      );
    }
  });

  it('says to the soil stage what its columns are', () => {
    const roles = results ? guessColumns(results).map((guess) => [guess.column, guess.is]) : [];
    expect(roles).toContainEqual(['Sample', 'sampleId']);
    expect(roles).toContainEqual(['K (ppm)', 'k']);
  });
});

describe('workbooks of other writers', () => {
  it('formulas give the results saved with them, runs of a text are joined, a chart is no table', () => {
    const read = readOne(workbook('results'));
    expect(read.records.map((record) => record.cells)).toEqual([
      ['1', 120, true, 'K 120'],
      ['2', 140, false, 'rich text'],
      ['3', 260, null, null],
    ]);
    expect(codes(read)).toEqual(['note xlsx-sheet']);
  });

  it('days counted from 1904', () => {
    expect(column(readOne(workbook('dates1904')), 'Sampled')).toEqual(['2025-04-02', '1999-12-31T23:59:59']);
  });

  it('errors, formulas without results and values beside the table are told by their cells', () => {
    const read = readOne(workbook('errors'));
    expect(codes(read)).toEqual(['caution xlsx-errors', 'caution xlsx-no-result', 'caution xlsx-beside']);
    expect(read.problems.map((problem) => /: (\w+)\.$/.exec(problem.message)?.[1])).toEqual(['B3', 'C2', 'E4']);
    expect(read.records.map((record) => record.cells)).toEqual([
      ['1', 120, null],
      ['2', '#DIV/0!', 12],
      ['3', 140, 14],
    ]);
  });

  it('other prefixes, other places for the parts, cells without names, texts inside cells', () => {
    const read = readOne(workbook('byhand'));
    expect(read.name).toBe('byhand.xlsx, sheet Lab & field');
    expect(read.columns).toEqual(['Sample', 'K ppm', 'Taken', 'Dry']);
    expect(read.records.map(({ row: number, cells }) => [number, cells])).toEqual([
      [2, ['<1>', 150, '2025-04-02', true]],
      [4, ['2A', -0.25, null, false]],
    ]);
  });

  it('is known by its content, and comes through a zip', () => {
    const [lab] = workbook('results');
    if (!lab) throw new Error('no fixture');
    expect(readOne([{ ...lab, name: 'lab.csv' }]).format).toBe('xlsx');
    const zipped = readOne([{ name: 'all.zip', bytes: zipFiles([lab]) }]);
    expect([zipped.name, zipped.files]).toEqual(['all.zip/results.xlsx, sheet Lab', ['all.zip']]);
  });
});

describe('tables in a sheet', () => {
  it('a header again, notes at the foot and lines of two columns', () => {
    const twice = readOne([sheetOf(row('id', 'K') + row('1', 10) + row('id', 'K') + row('2', 20) + row('3', ''))]);
    expect(twice.records.map((record) => record.row)).toEqual([2, 4, 5]);
    expect(codes(twice)).toEqual(['caution xlsx-header-again']);
    const foot = readOne([
      sheetOf(
        row('id', 'K', 'Ca', 'Mg') +
          row('1', 10, 11, 12) +
          row('2', 20, 21, 22) +
          row('K by Mehlich-3') +
          row('n.d. stands for none'),
      ),
    ]);
    expect(foot.records).toHaveLength(2);
    expect(foot.problems[0]?.message).toContain('row 4: "K by Mehlich-3"; row 5: "n.d. stands for none"');
  });

  it('an id alone is a row of the table, unless a blank row parts it from the others', () => {
    const head = row('id', 'K', 'Ca') + row('1', 10, 11);
    expect(readOne([sheetOf(head + row('HQ-64'))]).records.map((record) => record.cells)).toEqual([
      ['1', 10, 11],
      ['HQ-64', null, null],
    ]);
    expect(readOne([sheetOf(head + row() + row('checked') + row('twice'))]).records).toHaveLength(1);
    const two = row('id', 'K') + row('1', 10) + row('north of the well', '');
    expect(readOne([sheetOf(two)]).records).toHaveLength(2);
  });

  it('a sheet without one, alone or with others', () => {
    const none = readFiles([sheetOf(row('Only words'))]);
    expect(codes(none)).toEqual(['stop xlsx-no-table']);
    expect(codes(readFiles([sheetOf('')]))).toEqual(['stop xlsx-no-table']);
    expect(codes(readFiles([sheetOf(row(1, 2, 3) + row(4, 5, 6))]))).toEqual(['stop xlsx-no-table']);
    expect(codes(readFiles([sheetOf(row('id', 'K', 'Ca'))]))).toEqual(['stop xlsx-no-table']);
  });

  it('what goes in comes out, whatever the values', () => {
    const cell = fc.oneof(
      fc.double({ noNaN: true, noDefaultInfinity: true }).map((n) => (Object.is(n, -0) ? 0 : n)),
      fc.stringMatching(/^[a-z][a-z 0-9é<>&"']{0,12}$/).map((text) => text.trim()),
      fc.constant(null),
    );
    const inXml = (text: string) => text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;');
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat({ max: 999 }), cell, cell), { minLength: 1, maxLength: 20 }), (rows) => {
        const lines = rows.map(([id, ...rest]) =>
          row(id, ...rest.map((one) => (one === null ? '' : typeof one === 'string' ? inXml(one) : one))),
        );
        const read = readOne([sheetOf(row('id', 'alpha', 'beta') + lines.join(''))]);
        expect(read.records.map((record) => record.cells)).toEqual(rows);
      }),
      { numRuns: 50 },
    );
  });
});

describe('numbers that stand for days', () => {
  // ECMA-376 part 1, 18.17.4.1: 1 is 1 January 1900, 2,958,465 is 31 December 9999; 0 of the 1904 count is 1 January 1904.
  it.each([
    [1, 'date', false, '1900-01-01'],
    [59, 'date', false, '1900-02-28'],
    [60, 'date', false, null],
    [61, 'date', false, '1900-03-01'],
    [2_958_465, 'date', false, '9999-12-31'],
    [2_958_466, 'date', false, null],
    [-1, 'date', false, null],
    [0, 'date', true, '1904-01-01'],
    [0.5, 'time', false, '12:00:00'],
    [45749.999_999_9, 'date', false, '2025-04-03'],
    [45749.25, 'date and time', false, '2025-04-02T06:00:00'],
    [45749.25, 'date', false, '2025-04-02T06:00:00'],
  ] as const)('%s as %s, from 1904: %s is %s', (serial, kind, from1904, iso) => {
    expect(isoOfSerial(serial, kind, from1904)).toBe(iso);
  });

  it.each([
    ['yyyy-mm-dd', 'date'],
    ['[$-409]d-mmm-yy;@', 'date'],
    ['m/d/yyyy h:mm AM/PM', 'date and time'],
    ['h:mm:ss.000', 'time'],
    ['[h]:mm', 'plain'],
    ['General', 'plain'],
    ['0.00E+00', 'plain'],
    ['#,##0.0 "days"', 'plain'],
    ['0.0\\d', 'plain'],
    ['[Red]0.0;[Blue]-0.0', 'plain'],
    ['0.0%', 'percent'],
    ['"ppm" 0', 'plain'],
  ] as const)('%s makes %s of a number', (code, kind) => {
    expect(kindOfFormat(code)).toBe(kind);
  });
});

describe('what is refused', () => {
  const [lab] = workbook('lab');
  if (!lab) throw new Error('no fixture');

  it('a name that promises one, a zip without one, an older kind, one with a password', () => {
    expect(codes(readFiles([textFile('lab.xlsx', 'id,K\n1,2\n')]))).toEqual(['stop xlsx-kind']);
    expect(codes(readFiles([{ name: 'lab.xlsx', bytes: zipFiles([textFile('a.csv', 'id,K\n1,2\n')]) }]))).toEqual([
      'stop xlsx-kind',
    ]);
    const old = Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1, ...new Uint8Array(600));
    const refused = readFiles([{ name: 'lab.xls', bytes: old }]);
    expect(codes(refused)).toEqual(['stop file-workbook']);
    expect(refused.problems[0]?.remedy).toContain('.xlsx');
    const name = Array.from('EncryptedPackage', (char) => [char.charCodeAt(0), 0]).flat();
    const locked = readFiles([{ name: 'lab.xlsx', bytes: Uint8Array.of(...old, ...name, ...new Uint8Array(64)) }]);
    expect(codes(locked)).toEqual(['stop file-locked']);
    expect(locked.problems[0]?.message).toContain('password');
  });

  it('a file cut anywhere: always a problem', () => {
    for (let length = 0; length < lab.bytes.length; length += 307)
      expect(readFiles([{ ...lab, bytes: lab.bytes.slice(0, length) }]).ok).toBe(false);
  });

  it('a part that is no XML, has a document type, or points past the texts', () => {
    expect(codes(readFiles([sheetOf('<row')]))).toEqual(['stop xlsx-damaged']);
    expect(codes(readFiles([sheetOf('<!DOCTYPE a [<!ENTITY b "c">]>')]))).toEqual(['stop xlsx-damaged']);
    expect(codes(readFiles([sheetOf('<row><c t="s"><v>3</v></c></row>')]))).toEqual(['stop xlsx-damaged']);
    expect(codes(readFiles([sheetOf('<row r="9999999"/>')]))).toEqual(['stop xlsx-damaged']);
  });

  it('one that unpacks without end, or claims a vast sheet, soon and without the memory', () => {
    const zeros = zipSync({
      'xl/workbook.xml': encodeUtf8('<workbook/>'),
      'xl/worksheets/s.xml': new Uint8Array(40_000_000),
    });
    const start = performance.now();
    expect(codes(readFiles([{ name: 'bomb.xlsx', bytes: zeros }]))).toEqual(['stop zip-too-large']);
    const corner = '<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>1</v></c></row>';
    expect(codes(readFiles([sheetOf(corner)]))).toEqual(['stop xlsx-too-large']);
    expect(performance.now() - start).toBeLessThan(2000);
  });

  it('bytes turned at random: a result, and never a throw', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('lab', 'errors', 'results', 'byhand'),
        fc.array(
          fc.tuple(fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true }), fc.integer({ min: 0, max: 255 })),
          { minLength: 1, maxLength: 4 },
        ),
        (name, turns) => {
          const [file] = workbook(name);
          const bytes = file?.bytes.slice() ?? new Uint8Array();
          for (const [at, byte] of turns) bytes[Math.floor(at * bytes.length)] = byte;
          const result = readFiles([{ name: 'a.xlsx', bytes }]);
          if (!result.ok) expect(result.problems.some((problem) => problem.severity === 'stop')).toBe(true);
        },
      ),
      { numRuns: 80 },
    );
  });

  it('the XML of a sheet turned at random: a result, and never a throw', () => {
    const whole = row('id', 'K', 'Ca') + row('1', 10, 20) + row('2', 30, 40);
    fc.assert(
      fc.property(
        fc.nat({ max: whole.length - 1 }),
        fc.constantFrom('<', '>', '"', '&', '/', '', 'r', '9'),
        (at, char) => {
          const result = readFiles([sheetOf(whole.slice(0, at) + char + whole.slice(at + 1))]);
          if (result.ok)
            for (const table of result.value)
              for (const record of table.records) expect(record.cells).toHaveLength(table.columns.length);
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('a header that comes again in a sheet', () => {
  const HEAD = ['Sample', 'K ppm', 'Ca ppm', 'pH'] as const;

  it('in another order is the order of the rows below it', () => {
    const read = readFiles([
      sheetOf([row(...HEAD), row('A', 1, 2, 6), row('Sample', 'Ca ppm', 'K ppm', 'pH'), row('B', 4, 3, 7)].join('')),
    ]);
    expect(value(read)[0]?.records.map(({ cells }) => cells)).toEqual([
      ['A', 1, 2, 6],
      ['B', 3, 4, 7],
    ]);
    expect(codes(read)).toEqual(['caution xlsx-header-order']);
  });

  it('with other names stops where no other sheet is read, and is quoted', () => {
    const read = readFiles([
      sheetOf([row(...HEAD), row('A', 1, 2, 6), row('Sample', 'Zn', 'B', 'S'), row('B', 4, 3, 7)].join('')),
    ]);
    expect([read.ok, read.problems.at(-1)?.code]).toEqual([false, 'xlsx-header-changed']);
    expect(read.problems.at(-1)?.message).toContain('"Sample, Zn, B, S"');
  });
});

describe('days of a workbook', () => {
  const dated = (count: '1900' | '1904', rows: string): readonly NamedBytes[] => [
    {
      name: 'own.xlsx',
      bytes: zipFiles([
        textFile(
          'xl/workbook.xml',
          `<workbook>${count === '1904' ? '<workbookPr date1904="1"/>' : ''}<sheets><sheet name="S" sheetId="1" r:id="a" xmlns:r="r"/></sheets></workbook>`,
        ),
        textFile(
          'xl/_rels/workbook.xml.rels',
          '<Relationships><Relationship Id="a" Type="x/worksheet" Target="s.xml"/></Relationships>',
        ),
        textFile('xl/s.xml', `<worksheet><sheetData>${rows}</sheetData></worksheet>`),
      ]),
    },
  ];
  const sheet = (...days: readonly (string | number)[]): string =>
    [row('ID', 'Date', 'K ppm'), ...days.map((day, n) => row(`a${n}`, day, 120))].join('');
  const days = (files: readonly NamedBytes[]) => value(readFiles(files))[0]?.records.map(({ cells }) => cells[1]);

  it('count from 1904 where the workbook says so, whether their cells have a format or not', () => {
    // ECMA-376: day 0 of the second count is 1 January 1904, 1462 days after that of the first; 44850 is 16 October 2022 by the first.
    expect(days(dated('1904', sheet(44850, 43388)))).toEqual(['2026-10-17', '2022-10-16']);
    expect(days(dated('1900', sheet(44850)))).toEqual(['2022-10-16']);
    expect(value(readFiles(dated('1904', sheet(43388))))[0]?.reading).toContain(
      '1 day number in "Date" read as dates, days counted from 1904 as the workbook says',
    );
  });

  it('are not seen in a column that holds other numbers, or is called otherwise', () => {
    expect(days(dated('1904', sheet(44850, 2022)))).toEqual([44850, 2022]);
    const k = dated('1904', [row('ID', 'K', 'Ca'), row('a', 44850, 43388)].join(''));
    expect(days(k)).toEqual([44850]);
  });
});
