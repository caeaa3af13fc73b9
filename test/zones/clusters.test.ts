import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { SurfacesOut } from '../../core/surfaces/types.ts';
import { naturalBreaks } from '../../core/zones/breaks.ts';
import { clusterCells } from '../../core/zones/clusters.ts';
import { deepFreeze } from '../freeze.ts';
import { box } from '../geo/shapes.ts';
import { settingsOf, surfacesOf } from './field.ts';

const table = (name: string): Record<string, number>[] => {
  const text = readFileSync(new URL(`../fixtures/opendata/${name}`, import.meta.url), 'utf8');
  const [head = '', ...lines] = text.trim().split(/\r?\n/);
  return lines.map((line) => Object.fromEntries(line.split(',').map((cell, i) => [head.split(',')[i], Number(cell)])));
};

/** A field of one cell a row: only values and cover matter to the clusters. */
function cellsOf(columns: Partial<SurfacesOut['layers']>, count: number): SurfacesOut {
  const plain = surfacesOf([[box(-93, 42, -92.99, 42.0075)]], 200, {});
  return { ...plain, grid: { ...plain.grid, cover_m2: new Float64Array(count).fill(100) }, layers: columns };
}

/** Sum of squared distances to the cluster means, of columns brought to mean 0 and sd 1. */
function squares(columns: readonly Float64Array[], labels: Int16Array): number {
  const scaled = columns.map((column) => {
    const mean = column.reduce((a, b) => a + b, 0) / column.length;
    const sd = Math.sqrt(column.reduce((a, b) => a + (b - mean) ** 2, 0) / column.length);
    return column.map((value) => (value - mean) / sd);
  });
  return scaled.reduce((all, column) => {
    const groups = new Map<number, number[]>();
    column.forEach((value, i) => {
      const label = labels[i] ?? 0;
      groups.set(label, [...(groups.get(label) ?? []), value]);
    });
    return [...groups.values()].reduce((sum, group) => {
      const mean = group.reduce((a, b) => a + b, 0) / group.length;
      return sum + group.reduce((a, b) => a + (b - mean) ** 2, 0);
    }, all);
  }, 0);
}

describe('clusters of the oxford soil samples (K, Mg and CEC of 126 places; data set of the R package sp)', () => {
  const rows = table('oxford-samples.csv');
  const column = (name: string): Float64Array => Float64Array.from(rows, (row) => row[name] ?? Number.NaN);
  const columns = { k_ppm: column('POT1'), mg_ppm: column('MG1'), cec_meq: column('CEC1') };
  const clustered = (k: number, seed = 1) =>
    clusterCells(
      deepFreeze(cellsOf(columns, rows.length)),
      settingsOf({ clusters: { layers: ['k_ppm', 'mg_ppm', 'cec_meq'], k, seed } }),
    );

  /** Least of 400 seeded starts of scipy.cluster.vq.kmeans2 (1.17.1, minit '++') on the same standardised columns. */
  it.each([
    [2, 233.8051899942158],
    [3, 167.27458005369266],
    [4, 114.22919030600114],
    [5, 89.67013544538673],
  ])('k = %i fit within 0.1 %% as closely as the best that scipy finds', (k, best) => {
    const made = clustered(k);
    if (!made.ok) throw new Error(made.problems[0]?.message);
    const left = squares(Object.values(columns), made.value.labels);
    expect(left).toBeGreaterThan(best * (1 - 1e-12));
    expect(left).toBeLessThan(best * 1.001);
  });

  it('are the same for the same seed, and numbered by the first layer from its lowest', () => {
    const made = clustered(3);
    const again = clustered(3);
    if (!made.ok || !again.ok) throw new Error('no clusters');
    expect([...made.value.labels]).toEqual([...again.value.labels]);
    const means = [1, 2, 3].map((label) => {
      const own = columns.k_ppm.filter((_, i) => made.value.labels[i] === label);
      return own.reduce((a, b) => a + b, 0) / own.length;
    });
    expect(means).toEqual([...means].sort((a, b) => a - b));
  });

  it('leave a cell without a value in one layer without a cluster, and say what cannot be done', () => {
    const holed = { ...columns, mg_ppm: columns.mg_ppm.map((value, i) => (i === 5 ? Number.NaN : value)) };
    const settings = settingsOf({ clusters: { layers: ['k_ppm', 'mg_ppm'], k: 3, seed: 1 } });
    const made = clusterCells(cellsOf(holed, rows.length), settings);
    expect(made.ok && made.value.labels[5]).toBe(4);
    expect(made.ok && made.value.classes[3]?.key).toBe('unknown');
    const one = clusterCells(
      cellsOf({ k_ppm: new Float64Array(9).fill(5), mg_ppm: new Float64Array(9).fill(5) }, 9),
      settings,
    );
    expect(one.problems[0]?.code).toBe('zones-too-few-cells');
    expect(clusterCells(cellsOf({}, 9), settings).problems[0]?.code).toBe('zones-no-layer');
  });
});

describe('natural breaks of the meuse zinc (155 samples; data set of the R package sp)', () => {
  const zinc = Float64Array.from(table('meuse-samples.csv'), (row) => row.zinc ?? Number.NaN);

  /** Optimal in one dimension, by a dynamic programme in numpy over all cuts of the sorted values. */
  it.each([
    [4, [441.5, 869.5, 1286.5]],
    [5, [307.5, 573, 869.5, 1286.5]],
  ])('%i classes have the limits of the optimum', (classes, limits) => {
    expect(naturalBreaks(zinc, classes)).toEqual(limits);
  });
});
