import fc from 'fast-check';
import { expect, it } from 'vitest';
import { encodeUtf8 } from '../../../core/base/text.ts';
import { KG_PER_LB, M2_PER_ACRE, toAcres } from '../../../core/base/units.ts';
import { zipFiles } from '../../../core/formats/zip.ts';
import { area_m2 } from '../../../core/geo/area.ts';
import type { LngLat, MultiPolygon } from '../../../core/geo/types.ts';
import { lookAtPrescription, readPrescription } from '../../../core/handoff/back/read.ts';
import type { OpenedPrescription, Told } from '../../../core/handoff/back/types.ts';
import { deepFreeze } from '../../freeze.ts';
import { geoJson, type Row, shapefile, square } from './files.ts';

const opened = (files: Parameters<typeof readPrescription>[0], told?: Told): OpenedPrescription => {
  const read = readPrescription(deepFreeze(files), told);
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join('\n'));
  return read.value;
};
const codes = (files: Parameters<typeof readPrescription>[0], told?: Told): string[] =>
  readPrescription(files, told).problems.map((problem) => problem.code);

const rows = (...values: Row['values'][]): Row[] =>
  values.map((one, i) => ({ polygons: square(-93 + i * 0.001, 42), values: one }));
const KG_HA_PER_LB_AC = KG_PER_LB / (M2_PER_ACRE / 10_000);

it('reads a foreign GeoJSON in kg/ha by the name of its column, and works it out in lb/ac', () => {
  const one = opened([geoJson(rows({ id: 7, Rate_kg_ha: 224.17 }, { id: 8, Rate_kg_ha: 0 }))]);
  expect([one.column, one.unit, one.unitFrom]).toEqual(['Rate_kg_ha', 'kg/ha', 'the name of Rate_kg_ha']);
  // 224.17 kg/ha is 200 lb/ac: 200 x 0.45359237 / 0.40468564224 (definitions of pound and acre).
  expect(one.rates.map((rate) => rate.rate_lbPerAc)).toEqual([0, expect.closeTo(200, 2)]);
  const acres = toAcres(area_m2(square(-93, 42)));
  expect(one.acres).toBeCloseTo(2 * acres, 6);
  expect(one.zero_ac).toBeCloseTo(acres, 6);
  expect(one.product_lb).toBeCloseTo(acres * (224.17 / KG_HA_PER_LB_AC), 6);
  expect(one.product_tons).toBeCloseTo(one.product_lb / 2000, 9);
  expect(one.overlap_ac).toBe(0);
});

it('reads a shapefile in UTM, loose or zipped, with the unit told', () => {
  // 400 x 100 m in UTM zone 15N on its central meridian, where the scale is 0.9996 (EPSG:32615).
  const strip = (x: number): MultiPolygon => [
    [
      [
        [500_000 + x, 4_650_000],
        [500_200 + x, 4_650_000],
        [500_200 + x, 4_650_100],
        [500_000 + x, 4_650_100],
        [500_000 + x, 4_650_000],
      ] satisfies LngLat[],
    ],
  ];
  const parts = shapefile(
    'rx',
    [{ name: 'TGT_RATE', kind: 'number', width: 10, decimals: 1 }],
    [
      { polygons: strip(0), values: [150] },
      { polygons: strip(200), values: [250] },
    ],
  ).map((part) =>
    part.name.endsWith('.prj')
      ? {
          ...part,
          bytes: encodeUtf8(
            'PROJCS["WGS 84 / UTM zone 15N",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],PARAMETER["central_meridian",-93],PARAMETER["scale_factor",0.9996],PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["metre",1],AUTHORITY["EPSG","32615"]]',
          ),
        }
      : part,
  );
  for (const files of [parts, [{ name: 'rx.zip', bytes: zipFiles(parts) }]]) {
    expect(codes(files)).toContain('back-unit-unknown');
    const one = opened(files, { unit: 'lb/ac' });
    const ground_ac = (2 * 200 * 100) / 0.9996 ** 2 / M2_PER_ACRE;
    expect(one.acres / ground_ac).toBeCloseTo(1, 5);
    expect(one.product_lb / ((ground_ac / 2) * 400)).toBeCloseTo(1, 5);
    expect(one.rates.map((rate) => rate.asWritten)).toEqual([150, 250]);
  }
});

it('asks for a coordinate system that no file names, and takes the one told', () => {
  const parts = shapefile(
    'rx',
    [{ name: 'LBS_AC', kind: 'number', width: 10, decimals: 1 }],
    [{ polygons: square(500_000, 4_650_000, 100), values: [150] }],
  ).filter((part) => !part.name.endsWith('.prj'));
  expect(codes(parts)).toContain('crs-missing');
  expect(opened(parts, { crs: 'EPSG:32615' }).unit).toBe('lb/ac');
});

it('never guesses between two columns that fit alike: it names both with their figures', () => {
  const file = geoJson(rows({ Rate_A: 100, Rate_B: 90, ACRES: 2 }, { Rate_A: 200, Rate_B: 190, ACRES: 2 }));
  const look = lookAtPrescription([file]);
  expect(look.read.ok).toBe(false);
  expect(look.read.problems.map((problem) => problem.message)).toEqual([
    'rx.geojson has several columns that could be the rate: Rate_A (100 to 200), Rate_B (90 to 190).',
  ]);
  expect(look.asked.candidates.map(({ column }) => column)).toEqual(['Rate_A', 'Rate_B']);
  expect(opened([file], { column: 'Rate_B', unit: 'lb/ac' }).rates.map((rate) => rate.asWritten)).toEqual([90, 190]);
  expect(codes([file], { column: 'Rate_C' })).toEqual(['back-column-unknown']);
});

it.each([
  ['a rate before an application', { APPLICATIO: 5, DOSE: 90 }, 'DOSE'],
  ['a unit per area before mere figures', { MISC: 5, LBS_ACRE: 90 }, 'LBS_ACRE'],
  ['the only figures there are', { OBJECTID: 4, ZONE: 2, MATERIAL: 90, Shape_Area: 12 }, 'MATERIAL'],
  ['the product, not what it carries', { K2O_LBAC: 60, PROD_RATE: 100 }, 'PROD_RATE'],
  ['a rate, not the total', { TOTAL_LBS: 9000, APP_LBS: 100 }, 'APP_LBS'],
])('takes %s', (_, values, column) => {
  expect(lookAtPrescription([geoJson(rows(values))]).asked.column).toBe(column);
});

it('takes no column that counts records, measures ground or tests soil', () => {
  const file = geoJson(
    rows({ n: 1, K_PPM: 120, acres: 2 }, { n: 2, K_PPM: 90, acres: 2 }, { n: 3, K_PPM: 80, acres: 2 }),
  );
  expect(codes([file])).toEqual(['back-rate-none']);
});

it('reads rates that were written as text, with a unit or without', () => {
  const one = opened([geoJson(rows({ rate: '120.5' }, { rate: '80 lb/ac' }, { rate: ' 1,200 lbs/acre' }))]);
  expect(one.rates.map((rate) => rate.rate_lbPerAc)).toEqual([80, 120.5, 1200]);
  expect(one.unitFrom).toBe('the figures of rate');
  const metric = opened([geoJson(rows({ rate: '112 kg/ha' }))]);
  expect(metric.rates[0]?.rate_lbPerAc).toBeCloseTo(112 / KG_HA_PER_LB_AC, 9);
  expect(codes([geoJson(rows({ rate: '112 kg/ha' }, { rate: '100 lb/ac' }))])).toEqual(['back-unit-mixed']);
});

it('lists blank, negative, wordy and impossible rates, and gives them no pounds', () => {
  const file = geoJson(
    rows(
      { rate: 100 },
      { rate: null },
      { rate: -1 },
      { rate: 'high' },
      { rate: 1e308 },
      { rate: 100 },
      { rate: 100 },
      { rate: 9 },
    ),
  );
  const read = readPrescription([file], { unit: 'lb/ac' });
  expect(read.problems.map(({ code, message }) => [code, /records? ([\d, ]*\d)/.exec(message)?.[1]])).toEqual([
    ['back-rate-blank', '2'],
    ['back-rate-text', '4'],
    ['back-rate-negative', '3'],
    ['back-rate-large', '5'],
  ]);
  const one = opened([file], { unit: 'lb/ac' });
  expect(one.unrated_ac / one.acres).toBeCloseTo(0.5, 6);
  expect(one.product_lb / ((one.acres / 8) * 309)).toBeCloseTo(1, 6);
  expect(one.pieces.filter((piece) => Number.isNaN(piece.rate_lbPerAc)).map((piece) => piece.row)).toEqual([
    2, 3, 4, 5,
  ]);
});

it('sets aside outlines that cross themselves and records without a polygon, by number', () => {
  const bow = [
    [
      [
        [-93, 42],
        [-92.999, 42.001],
        [-92.999, 42],
        [-93, 42.001],
        [-93, 42],
      ],
    ],
  ];
  const file = geoJson([
    { polygons: square(-93.01, 42), values: { rate: 100 } },
    { polygons: bow, values: { rate: 100 } },
    { polygons: null, values: { rate: 100 } },
  ]);
  const one = opened([file], { unit: 'lb/ac' });
  expect([one.records, one.pieces.length]).toEqual([3, 1]);
  expect(codes([file], { unit: 'lb/ac' })).toEqual(expect.arrayContaining(['back-invalid', 'back-no-shape']));
});

it('measures ground under two polygons', () => {
  const file = geoJson([
    { polygons: square(-93, 42), values: { rate: 100 } },
    { polygons: square(-92.9995, 42), values: { rate: 200 } },
  ]);
  const one = opened([file], { unit: 'lb/ac' });
  expect(one.overlap_ac).toBeCloseTo(one.acres / 4, 6);
  expect(one.outline && toAcres(area_m2(one.outline))).toBeCloseTo((one.acres * 3) / 4, 6);
  expect(codes([file], { unit: 'lb/ac' })).toContain('back-overlap');
});

it('says what a unit told against the file replaces', () => {
  const file = geoJson(rows({ rate: 100, UNIT: 'kg/ha' }));
  expect(opened([file]).unitFrom).toBe('column UNIT');
  expect(codes([file], { unit: 'lb/ac' })).toEqual(['back-unit-told']);
  expect(opened([file], { unit: 'lb/ac' }).rates[0]?.rate_lbPerAc).toBe(100);
});

it('finds the unit in a text beside the shapefile', () => {
  const parts = shapefile(
    'rx',
    [{ name: 'RATE', kind: 'number', width: 10, decimals: 1 }],
    [{ polygons: square(-93, 42), values: [150] }],
  );
  const zip = zipFiles([...parts, { name: 'read-me.txt', bytes: encodeUtf8('Rates are in kg per hectare.') }]);
  expect(opened([{ name: 'rx.zip', bytes: zip }]).unitFrom).toMatch(/read-me\.txt$/);
});

it('refuses points and tables with the reason', () => {
  const points = {
    name: 'as-applied.geojson',
    bytes: encodeUtf8(
      '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"rate":100},"geometry":{"type":"Point","coordinates":[-93,42]}}]}',
    ),
  };
  const read = readPrescription([points]);
  expect(read.problems.map((problem) => problem.code)).toEqual(['back-points']);
  expect(read.problems[0]?.remedy).toMatch(/polygons/);
  expect(codes([{ name: 'rates.csv', bytes: encodeUtf8('zone,rate\nA,100\nB,200\n') }])).toContain('back-no-polygons');
});

it('asks which of several layers, and opens the one told', () => {
  const files = [geoJson(rows({ rate: 100 }), 'one.geojson'), geoJson(rows({ rate: 200 }), 'two.geojson')];
  expect(codes(files)).toEqual(['back-layer-which']);
  expect(opened(files, { layer: 'two', unit: 'lb/ac' }).rates[0]?.asWritten).toBe(200);
  expect(codes(files, { layer: 'three' })).toEqual(['back-layer-unknown']);
});

it('answers hostile bytes with Problems, never a throw', () => {
  fc.assert(
    fc.property(
      fc.uint8Array({ maxLength: 300 }),
      fc.constantFrom('a.shp', 'a.zip', 'a.geojson', 'a.json'),
      (bytes, name) => {
        expect(readPrescription([{ name, bytes }]).ok).toBe(false);
      },
    ),
    { numRuns: 60 },
  );
  fc.assert(
    fc.property(
      fc.dictionary(fc.string({ maxLength: 8 }), fc.oneof(fc.string(), fc.double(), fc.boolean(), fc.constant(null))),
      (values) => {
        const read = readPrescription([geoJson(rows(values, values))], { unit: 'lb/ac' });
        if (read.ok) expect(Number.isFinite(read.value.product_lb)).toBe(true);
      },
    ),
    { numRuns: 60 },
  );
  expect(codes([geoJson(rows({ __proto__: 1, constructor: 'x', toString: 3 }))], { column: 'valueOf' })).toEqual([
    'back-column-unknown',
  ]);
  expect(codes([geoJson([])])).not.toEqual([]);
});

it('reads 100,000 polygons in a few seconds', () => {
  const side = 317;
  const many: Row[] = [];
  for (let i = 0; i < side * side; i++) {
    const [x, y] = [i % side, Math.floor(i / side)];
    const at = (c: number, r: number): [number, number] => [
      Number((-93 + c * 1e-4).toFixed(8)),
      Number((42 + r * 1e-4).toFixed(8)),
    ];
    many.push({
      polygons: [[[at(x, y), at(x + 1, y), at(x + 1, y + 1), at(x, y + 1), at(x, y)]]],
      values: { rate: (i * 7) % 40 },
    });
  }
  const file = geoJson(many);
  const start = performance.now();
  const one = opened([file], { unit: 'lb/ac' });
  const took_s = (performance.now() - start) / 1000;
  expect(one.pieces.length).toBe(side * side);
  expect(one.overlap_ac).toBe(0);
  expect(one.outline?.length).toBe(1);
  // Alone some three seconds; a loaded machine may take its time.
  expect(took_s).toBeLessThan(15);
}, 60_000);
