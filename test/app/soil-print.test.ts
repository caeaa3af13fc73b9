import { expect, it } from 'vitest';
import { alikeOnce } from '../../app/cli/soil-print.ts';
import { caution, type Problem } from '../../core/base/problem.ts';
import { listProblems } from '../../core/soil/listing.ts';

const odd = (row: number, column: string): Problem =>
  caution('soil-not-a-number', `${column} is "x${row}", not a number.`, 'Type it in.', {
    file: 'lab.csv',
    row,
    column,
  });

it('twelve lines of a kind are printed, and the rest is counted; another column has lines of its own', () => {
  const lines = alikeOnce([
    ...Array.from({ length: 40 }, (_none, row) => odd(row + 2, 'K')),
    ...Array.from({ length: 2 }, (_none, row) => odd(row + 2, 'Na')),
  ]).map(({ line }) => line);
  expect(lines).toHaveLength(12 + 1 + 2);
  expect(lines[12]?.trim()).toBe('and 28 more like these; --json has each');
  expect(lines.at(-1)).toContain('Na is "x3"');
});

it('rows that became one problem are all counted, past the first fifty too', () => {
  const rows = Array.from({ length: 80 }, (_none, n) => ({
    file: 'lab.csv',
    row: n + 2,
    id: '',
    cells: [],
    at: null,
    kept: true,
    reasons: [odd(n + 2, 'Na')],
    badColumns: [],
  }));
  const [only, ...others] = alikeOnce(listProblems(rows));
  expect(others).toEqual([]);
  expect(only?.line).toMatch(/79 more rows are alike\..*\(rows 2, 3, 4, .* and 68 more\)$/);
});

it('a remedy names the option that does it', () => {
  const told = (code: string, setting?: string): string =>
    alikeOnce([caution(code, 'So it is.', 'Say so.', setting === undefined ? {} : { setting })])[0]?.line ?? '';
  expect(told('soil-below-limit')).toMatch(/Say so\. \(start-plan --below-limit\)$/);
  expect(told('crs-missing')).toContain('--crs');
  expect(told('zones-none', 'rates.governs')).toContain('--governs');
  expect(told('zones-none', 'rates.governs')).not.toContain('[');
  expect(told('zones-none', 'rates.rounding')).toContain('[plan.json: rates.rounding] Say so.');
  expect(told('zones-none')).toMatch(/Say so\.$/);
});
