/**
 * Against R's gstat 2.1-0 on public soil data. The tables are from the R packages gstat (oxford) and sp (meuse), GPL version 2 or later,
 * and are not under this project's licence: see test/fixtures/opendata/NOTICE.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { idwAt, leaveOneOut } from '../../core/surfaces/idw.ts';

/** Columns of numbers by name; `Inf` is every neighbour. */
function columns(name: string): (column: string) => Float64Array {
  const text = readFileSync(new URL(`../fixtures/opendata/${name}.csv`, import.meta.url), 'utf8');
  const [header = '', ...lines] = text.trim().split('\n');
  const names = header.split(',');
  return (column) => {
    const index = names.indexOf(column);
    if (index < 0) throw new Error(`no column ${column}`);
    return Float64Array.from(lines, (line) => Number(line.split(',')[index]?.replace('Inf', '0')));
  };
}
const worst = (got: Float64Array, want: Float64Array, skip: (at: number) => boolean = () => false): number =>
  got.reduce(
    (most, value, at) => (skip(at) ? most : Math.max(most, Math.abs(value / (want[at] ?? Number.NaN) - 1))),
    0,
  );

test.each(['POT1', 'MG1', 'CEC1'])('Oxford augerings, %s, power 2, all samples', (quantity) => {
  const samples = columns('oxford-samples');
  const grid = columns('oxford-idw');
  const got = idwAt(samples('XCOORD'), samples('YCOORD'), samples(quantity), grid('x'), grid('y'), 2, 0);
  expect(got.length).toBe(72);
  expect(worst(got, grid(quantity))).toBeLessThan(1e-12);
});

describe('Meuse topsoil, zinc', () => {
  const samples = columns('meuse-samples');
  const grid = columns('meuse-idw');
  const ties = columns('meuse-ties');
  const [tx, ty, tk] = [ties('x'), ties('y'), ties('nmax')];
  const [x, y, z] = [samples('x'), samples('y'), samples('zinc')];
  const [px, py] = [grid('x'), grid('y')];

  test.each([
    ['idp1_nmaxInf', 1, 0],
    ['idp1_5_nmax16', 1.5, 16],
    ['idp2_nmax8', 2, 8],
    ['idp2_nmax12', 2, 12],
    ['idp2_nmaxInf', 2, 0],
    ['idp3_nmaxInf', 3, 0],
  ])('%s', (column, power, k) => {
    // Where the k-th and the next sample are equally far gstat has no rule, and ours is the ascending index.
    const tied = (at: number): boolean => tk.some((count, t) => count === k && tx[t] === px[at] && ty[t] === py[at]);
    const got = idwAt(x, y, z, px, py, power, k);
    expect(got.length).toBe(127);
    expect(worst(got, grid(column), tied)).toBeLessThan(1e-12);
  });

  test('leave-one-out errors of five powers by five neighbour counts', () => {
    const loo = columns('meuse-loo');
    const [powers, counts] = [loo('idp'), loo('nmax')];
    const made = Array.from(powers, (power, at) => leaveOneOut(x, y, z, power, counts[at] ?? 0));
    expect(made).toHaveLength(25);
    expect(
      worst(
        Float64Array.from(made, ({ rmse }) => rmse),
        loo('rmse'),
      ),
    ).toBeLessThan(1e-12);
    expect(
      worst(
        Float64Array.from(made, ({ mae }) => mae),
        loo('mae'),
      ),
    ).toBeLessThan(1e-12);
  });
});
