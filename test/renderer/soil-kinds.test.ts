import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readFiles } from '../../core/formats/read.ts';
import type { Dataset } from '../../core/formats/types.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { readSoil } from '../../core/soil/read.ts';
import { type SoilSettings, soilSettingsSchema } from '../../core/soil/settings.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import type { SurfacesOut } from '../../core/surfaces/types.ts';
import { outliersByRow, rowKey } from '../../renderer/store/outliers.ts';
import { asideKinds, eachOnce, isOtherSeries, keptKinds, wholeProblems } from '../../renderer/store/soil-kinds.ts';
import { deepFreeze } from '../freeze.ts';
import { box } from '../soil/tables.ts';

const fixture = (name: string): Dataset => {
  const bytes = new Uint8Array(readFileSync(new URL(`../fixtures/soil/${name}`, import.meta.url)));
  const read = readFiles([{ name, bytes }]);
  const [dataset] = read.ok ? read.value : [];
  if (!dataset) throw new Error(`${name} cannot be read`);
  return dataset;
};

function messy(told: Partial<SoilSettings> = {}): SoilOut {
  const [samples, points] = [fixture('messy-lab.csv'), fixture('messy-points.csv')];
  const uses = (dataset: Dataset, other: Dataset) =>
    guessColumns(dataset, other).map(({ column, is, unit }) => ({ column, is, unit }));
  const settings = soilSettingsSchema.parse({
    sampleColumns: uses(samples, points),
    pointColumns: uses(points, samples),
    ...told,
  });
  const soil = readSoil({ points, samples, boundary: box(-94.25, 42.69, -94.22, 42.71), settings });
  if (!soil.ok) throw new Error(soil.problems.map(({ message }) => message).join('\n'));
  return deepFreeze(soil.value);
}

describe('kinds of reasons', () => {
  it('count each row set aside once: they add up to what was set aside', () => {
    const soil = messy();
    const kinds = asideKinds(soil.rows);
    const rows = kinds.flatMap((kind) => kind.rows);
    expect(rows).toHaveLength(soil.setAside);
    expect(new Set(rows).size).toBe(soil.setAside);
    expect(rows.every((row) => !row.kept)).toBe(true);
  });

  it('put other years and depths last, since nothing is the matter with them', () => {
    const soil = messy();
    const kinds = asideKinds(soil.rows);
    expect(kinds.at(-1)?.code).toBe('soil-other-series');
    expect(kinds.at(-1)?.rows).toHaveLength(soil.rows.filter(isOtherSeries).length);
    expect(kinds.at(-1)?.rows.length).toBe(24);
  });

  it('say of kept rows what to look at, graver first, and leave the differences to their own list', () => {
    const soil = messy();
    const kinds = keptKinds(soil.rows);
    const severities = kinds.map(({ severity }) => severity);
    expect(severities).toEqual([...severities].sort((a, b) => (a === b ? 0 : a === 'caution' ? -1 : 1)));
    expect(kinds.map(({ code }) => code)).toContain('soil-below-limit');
    expect(kinds.map(({ code }) => code)).not.toContain('soil-saturation-differs');
    expect(kinds.flatMap(({ rows }) => rows).every((row) => row.kept)).toBe(true);
  });

  it('have words of their own for every reason that the reading gives', () => {
    const soil = messy();
    for (const { code, says } of [...asideKinds(soil.rows), ...keptKinds(soil.rows), ...asideKinds(soil.pointRows)])
      expect(says).not.toBe(code.replace(/^soil-/, '').replaceAll('-', ' '));
  });

  it('follow a decision: a row set aside by hand is counted as such', () => {
    const kept = messy().rows.find((row) => row.kept);
    if (!kept) throw new Error('no row is kept');
    const decisions = [{ file: kept.file, row: kept.row, keep: false, why: 'edge of a yard', who: 'AB', when: '' }];
    const kinds = asideKinds(messy({ decisions }).rows);
    expect(kinds.find(({ code }) => code === 'soil-by-hand')?.rows.map(({ row }) => row)).toEqual([kept.row]);
  });
});

describe('ids that look alike', () => {
  it('are listed once a pair', () => {
    const { nearMisses } = messy();
    const [miss] = eachOnce(nearMisses);
    expect(nearMisses).toHaveLength(2);
    expect(eachOnce(nearMisses)).toHaveLength(1);
    expect(miss?.from).toBe('lab');
  });
});

describe('problems of a whole table', () => {
  const problem = (code: string, at?: { row?: number }) =>
    ({ code, severity: 'caution', message: 'm', remedy: 'r', ...(at ? { at } : {}) }) as const;
  it('are those of no row, without what stands beside a column', () => {
    const all = deepFreeze([problem('soil-guess'), problem('soil-unusual', { row: 3 }), problem('soil-crs-missing')]);
    expect(wholeProblems(all).map(({ code }) => code)).toEqual(['soil-crs-missing']);
  });
});

describe('samples unlike those around them', () => {
  const residual = (row: number, outlier: boolean) => ({
    id: `S${row}`,
    file: 'lab.csv',
    row,
    measured: 300,
    predicted: 120,
    robustZ: outlier ? 5 : 0,
    outlier,
  });
  const residuals: SurfacesOut['residuals'] = {
    ph: [residual(4, true)],
    k_ppm: [residual(2, false), residual(4, true)],
  };
  it('are found by their row, K before the others', () => {
    const found = outliersByRow(deepFreeze({ residuals }));
    expect([...found.keys()]).toEqual([rowKey({ file: 'lab.csv', row: 4 })]);
    expect(found.get(rowKey({ file: 'lab.csv', row: 4 }))?.map(({ quantity }) => quantity)).toEqual(['k_ppm', 'ph']);
  });
  it('are none before there are surfaces', () => expect(outliersByRow(null).size).toBe(0));
});
