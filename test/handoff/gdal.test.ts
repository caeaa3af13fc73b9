import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect } from 'vitest';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { gdal, itWithGdal } from '../gdal.ts';
import { maker, withHandoff } from './shared.ts';

/** GDAL (https://gdal.org, here its SpatiaLite functions with GEOS and PROJ) as a reader nobody here wrote. */
describe('the handoff, opened by GDAL', () => {
  const folder = mkdtempSync(join(tmpdir(), 'pearlash-gdal-'));
  let out: PlanOut;
  beforeAll(async () => {
    out = await runPlan(samplePlan());
    for (const file of out.handoff?.files ?? []) {
      mkdirSync(dirname(join(folder, file.path)), { recursive: true });
      writeFileSync(join(folder, file.path), file.bytes);
    }
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  const sources = () =>
    (out.handoff?.files ?? [])
      .filter((file) => /\.(geojson|shp)$/.test(file.path))
      .map((file) => file.path)
      .concat(
        (out.handoff?.files ?? [])
          .filter((file) => /\.zip$/.test(file.path) && !file.path.endsWith('_taskdata.zip'))
          .map((file) => `/vsizip/${join(folder, file.path)}`),
      );
  const at = (source: string) => (source.startsWith('/vsi') ? source : join(folder, source));
  const layerOf = (source: string): string =>
    /^1: (.+?)(?: \(|$)/m.exec(gdal('ogrinfo', ['-q', at(source)]))?.[1] ?? '';
  const sql = (source: string, select: (layer: string) => string): Record<string, string> => {
    const text = gdal('ogrinfo', [
      '-ro',
      '-q',
      at(source),
      '-dialect',
      'sqlite',
      '-sql',
      select(`"${layerOf(source)}"`),
    ]);
    return Object.fromEntries(
      [...text.matchAll(/^\s+(\w+) \([A-Za-z0-9()]+\) = (.*)$/gm)].map((match) => [match[1] ?? '', match[2] ?? '']),
    );
  };

  itWithGdal('is valid, in EPSG:4326, and of the records written', () => {
    expect(sources().length).toBeGreaterThanOrEqual(3);
    for (const source of sources()) {
      const found = sql(
        source,
        (layer) =>
          `select count(*) as n, min(ST_IsValid(geometry)) as valid, min(ST_SRID(geometry)) as least, max(ST_SRID(geometry)) as most from ${layer}`,
      );
      expect(Number(found.n), source).toBe(out.handoff?.prescriptions[0]?.pieces.length);
      expect(found.valid, source).toBe('1');
      expect([found.least, found.most], source).toEqual(['4326', '4326']);
    }
  });

  itWithGdal('covers the spreadable acres on the ellipsoid within one part in a million', () => {
    for (const source of sources()) {
      // SpatiaLite's second argument asks for the area on the ellipsoid, by geodesics: they part from lines straight in
      // longitude and latitude by far less than the tolerance over a field.
      const found = sql(source, (layer) => `select sum(ST_Area(geometry, 1)) as m2, sum(ACRES) as acres from ${layer}`);
      const spreadable_ac = out.field?.spreadable_ac ?? 0;
      expect(Math.abs(Number(found.m2) / 4046.8564224 / spreadable_ac - 1), source).toBeLessThan(1e-6);
      expect(Math.abs(Number(found.acres) / spreadable_ac - 1), source).toBeLessThan(1e-6);
    }
  });

  itWithGdal('has no two polygons that overlap', () => {
    for (const source of sources()) {
      const found = sql(
        source,
        (layer) => `select sum(ST_Area(geometry)) as parts, ST_Area(ST_Union(geometry)) as whole from ${layer}`,
      );
      // In square degrees: 1e-3 m2 at this latitude is 1.1e-13.
      expect(Number(found.parts) - Number(found.whole), source).toBeLessThan(1.1e-13);
    }
  });

  itWithGdal('has the rate first, as a number of the width and decimals written', () => {
    const shp = sources().find((source) => source.endsWith('.shp')) ?? '';
    const fields = [
      ...gdal('ogrinfo', ['-so', at(shp), layerOf(shp)]).matchAll(
        /^(\w+): (Real|String|Integer|Integer64) \(([\d.]+)\)$/gm,
      ),
    ].map((match) => `${match[1]} ${match[2]} ${match[3]}`);
    expect(fields).toEqual([
      'RATE Real 12.2',
      'UNIT String 8.0',
      'PRODUCT String 40.0',
      'PASS String 24.0',
      'ZONE String 8.0',
      'ACRES Real 14.6',
      'K2O_LBAC Real 10.2',
      'K_PPM Real 10.1',
      'K_SAT_PCT Real 8.2',
      'CEC_MEQ Real 8.2',
      'NOTE String 120.0',
    ]);
  });

  itWithGdal('has the tons of the plan', () => {
    let planned = 0;
    let found_lb = 0;
    for (const [index, prescription] of (out.handoff?.prescriptions ?? []).entries()) {
      const shp = sources().filter((source) => source.endsWith('.shp'))[index] ?? '';
      planned += prescription.totals.product_lb;
      found_lb += Number(sql(shp, (layer) => `select sum(RATE * ACRES) as lb from ${layer}`).lb);
    }
    // Half a hundredth of a pound an acre: the rounding of the rate column.
    expect(Math.abs(found_lb - planned)).toBeLessThan(0.005 * (out.field?.spreadable_ac ?? 0));
  });
});

/** Settings that change what a table is made of, each opened by GDAL. */
describe('the handoff written otherwise, opened by GDAL', () => {
  const folder = mkdtempSync(join(tmpdir(), 'pearlash-gdal-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const make = maker();
  const fieldsOf = (file: string): string[] =>
    [...gdal('ogrinfo', ['-so', '-al', file]).matchAll(/^(\w+): (?:Real|String) \(([\d.]+)\)$/gm)].map(
      (match) => `${match[1]} ${match[2]}`,
    );
  const figures = (file: string, select: string): Record<string, number> => {
    const text = gdal('ogrinfo', ['-ro', '-q', file, '-dialect', 'sqlite', '-sql', select]);
    return Object.fromEntries(
      [...text.matchAll(/^\s+(\w+) \([A-Za-z0-9()]+\) = (.*)$/gm)].map((match) => [match[1] ?? '', Number(match[2])]),
    );
  };
  const cases = [
    { name: 'passes as columns', base: 'Hollow_Quarter', patch: { passes: 'columns' }, factor: 1 },
    { name: 'short names', base: 'HOLL80P1', patch: { shortNames: true }, factor: 1 },
    // 1 lb/ac = 0.45359237 kg / 0.40468564224 ha.
    { name: 'kg/ha', base: 'Hollow_Quarter_p1', patch: { rateUnit: 'kg/ha' }, factor: 0.45359237 / 0.40468564224 },
    { name: 'cells', base: 'Hollow_Quarter_p1', patch: { shape: 'cells' }, factor: 1 },
  ] as const;
  for (const { name, base, patch, factor } of cases)
    itWithGdal(`${name}: valid polygons, the plan's acres and pounds, fields as written`, async () => {
      const { handoff, out } = await make(withHandoff(patch));
      const own = join(folder, name.replace(/\W/g, ''));
      for (const file of handoff.files.filter(({ path }) => /^shapefile|geojson$/.test(path))) {
        mkdirSync(dirname(join(own, file.path)), { recursive: true });
        writeFileSync(join(own, file.path), file.bytes);
      }
      const shp = join(own, 'shapefile', `${base}.shp`);
      const fields = fieldsOf(shp);
      expect(fields[0]).toBe('RATE 12.2');
      expect(new Set(fields.map((field) => field.split(' ')[0])).size).toBe(fields.length);
      if (name === 'passes as columns') expect(fields[4]).toBe('RATE_2 12.2');
      if (name === 'kg/ha') expect(fields.map((field) => field.split(' ')[0])).toContain('K2O_KGHA');
      const [first, second] = handoff.prescriptions;
      const acres = out.field?.spreadable_ac ?? Number.NaN;
      for (const source of [shp, join(own, `${base}.geojson`)]) {
        const found = figures(
          source,
          `select count(*) as n, min(ST_IsValid(geometry)) as valid, sum(ST_Area(geometry, 1)) as m2, sum(RATE * ACRES) as mass from "${base}"`,
        );
        expect(found.n, source).toBe(first?.pieces.length);
        expect(found.valid, source).toBe(1);
        expect(Math.abs((found.m2 ?? 0) / 4046.8564224 / acres - 1), source).toBeLessThan(1e-6);
        expect(Math.abs((found.mass ?? 0) / factor - (first?.totals.product_lb ?? 0)), source).toBeLessThan(
          0.005 * acres,
        );
      }
      if (name === 'passes as columns') {
        const { mass } = figures(shp, `select sum(RATE_2 * ACRES) as mass from "${base}"`);
        expect(Math.abs((mass ?? 0) - (second?.totals.product_lb ?? 0))).toBeLessThan(0.005 * acres);
      }
    });
});
