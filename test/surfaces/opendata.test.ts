/**
 * Against R's gstat 2.1-0 on public soil data. The tables are from the R packages gstat (oxford) and sp (meuse), GPL version 2 or later,
 * and are not under this project's licence: see test/fixtures/opendata/NOTICE.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { idwAt, leaveOneOut, scanOthers } from '../../core/surfaces/idw.ts';
import { scanLayers } from '../../core/surfaces/scan.ts';

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

  test('12 neighbours, none farther than 200 m', () => {
    const far = columns('meuse-idw-maxdist');
    const [fx, fy, want] = [far('x'), far('y'), far('idp2_nmax12_maxdist200')];
    const got = idwAt(x, y, z, fx, fy, 2, 12, 200);
    const empty = [...want.keys()].filter((at) => Number.isNaN(want[at]));
    expect(empty.length).toBeGreaterThan(5);
    expect(want.length - empty.length).toBeGreaterThan(100);
    expect([...got.keys()].filter((at) => Number.isNaN(got[at]))).toEqual(empty);
    expect(worst(got, want, (at) => Number.isNaN(want[at]) || (fx[at] === 179820 && fy[at] === 331020))).toBeLessThan(
      1e-12,
    );
  });

  test('the errors over settings hold those of five powers by five neighbour counts', () => {
    const loo = columns('meuse-loo');
    const [powers, counts] = [loo('idp'), loo('nmax')];
    const work = scanLayers(x, y, [z], null);
    for (const [from, to] of work.pieces) work.step(from, to);
    const entries = work.scans()[0]?.entries ?? [];
    const found = Array.from(powers, (power, at) =>
      entries.find((one) => one.power === power && one.neighbours === counts[at]),
    );
    const column = (of: 'rmse' | 'mae') => Float64Array.from(found, (one) => one?.[of] ?? Number.NaN);
    expect(found.filter(Boolean)).toHaveLength(25);
    expect(worst(column('rmse'), loo('rmse'))).toBeLessThan(1e-12);
    expect(worst(column('mae'), loo('mae'))).toBeLessThan(1e-12);
  });

  test('leave-one-out errors of five powers by five neighbour counts', () => {
    const loo = columns('meuse-loo');
    const [powers, counts] = [loo('idp'), loo('nmax')];
    const made = Array.from(powers, (power, at) => leaveOneOut(x, y, z, power, counts[at] ?? 0));
    const scan = scanOthers(x, y, [z], [...new Set(powers)], [...new Set(counts)], null);
    scan.step(0, x.length);
    for (const { power, neighbours, rmse, mae } of scan.errors()[0] ?? []) {
      const at = powers.findIndex((one, index) => one === power && counts[index] === neighbours);
      expect(rmse / (loo('rmse')[at] ?? Number.NaN)).toBeCloseTo(1, 12);
      expect(mae / (loo('mae')[at] ?? Number.NaN)).toBeCloseTo(1, 12);
    }
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
