import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseCrs, WGS84_PRJ } from '../../core/formats/crs.ts';
import { readFiles } from '../../core/formats/read.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { codes, readOne, textFile, value } from './helpers.ts';
import { rawShp, square } from './raw-shp.ts';

const IOWA_NORTH_FT =
  'PROJCS["NAD_1983_StatePlane_Iowa_North_FIPS_1401_Feet",GEOGCS["GCS_North_American_1983",DATUM["D_North_American_1983",SPHEROID["GRS_1980",6378137.0,298.257222101]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Lambert_Conformal_Conic"],PARAMETER["False_Easting",4921250.0],PARAMETER["False_Northing",3280833.3333],PARAMETER["Central_Meridian",-93.5],PARAMETER["Standard_Parallel_1",43.2666666666667],PARAMETER["Standard_Parallel_2",42.0666666666667],PARAMETER["Latitude_Of_Origin",41.5],UNIT["US survey foot",0.304800609601219]]';
const UTM_15N_WKT2 =
  'PROJCRS["WGS 84 / UTM zone 15N",BASEGEOGCRS["WGS 84",ENSEMBLE["World Geodetic System 1984 ensemble",MEMBER["World Geodetic System 1984 (G2139)"],ELLIPSOID["WGS 84",6378137,298.257223563,LENGTHUNIT["metre",1]],ENSEMBLEACCURACY[2.0]],PRIMEM["Greenwich",0,ANGLEUNIT["degree",0.0174532925199433]]],CONVERSION["UTM zone 15N",METHOD["Transverse Mercator",ID["EPSG",9807]],PARAMETER["Latitude of natural origin",0,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Longitude of natural origin",-93,ANGLEUNIT["degree",0.0174532925199433]],PARAMETER["Scale factor at natural origin",0.9996,SCALEUNIT["unity",1]],PARAMETER["False easting",500000,LENGTHUNIT["metre",1]],PARAMETER["False northing",0,LENGTHUNIT["metre",1]]],CS[Cartesian,2],AXIS["(E)",east,ORDER[1],LENGTHUNIT["metre",1]],AXIS["(N)",north,ORDER[2],LENGTHUNIT["metre",1]],ID["EPSG",32615]]';
const UTM_15N_NAD27 =
  'PROJCS["NAD_1927_UTM_Zone_15N",GEOGCS["GCS_North_American_1927",DATUM["D_North_American_1927",SPHEROID["Clarke_1866",6378206.4,294.9786982]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]';

describe('parseCrs', () => {
  // x and y by gdaltransform of GDAL 3.6.2 (PROJ 9.1), from EPSG:4326.
  it.each([
    ['EPSG:32615', 'WGS 84 / UTM zone 15N', [-93.6, 42.03], [450332.678059832, 4653281.21614509], 1],
    ['26915', 'NAD83 / UTM zone 15N', [-93.6, 42.03], [450332.678059466, 4653281.21602856], 1],
    ['EPSG:25832', 'ETRS89 / UTM zone 32N', [10.1, 51.2], [576853.240233723, 5672641.00529163], 1],
    ['epsg:3857', 'WGS 84 / Pseudo-Mercator', [-93.6, 42.03], [-10419504.3382504, 5165474.35841081], 1],
    ['EPSG:32733', 'WGS 84 / UTM zone 33S', [16.2, -29.1], [616771.777486793, 6780340.39667855], 1],
    [
      IOWA_NORTH_FT,
      'NAD83 StatePlane Iowa North FIPS 1401 Feet',
      [-93.6, 42.03],
      [4894080.63714992, 3473994.21687516],
      0.3048,
    ],
    [UTM_15N_WKT2, 'WGS 84 / UTM zone 15N', [-93.6, 42.03], [450332.678059832, 4653281.21614509], 1],
  ] as const)('%.40s agrees with GDAL to a millimetre', (text, name, lngLat, [x, y], unit_m) => {
    const result = parseCrs(text);
    const crs = value(result);
    expect(crs.name).toBe(name);
    expect(crs.kind).toBe('projected');
    expect(result.problems).toEqual([]);
    const found = crs.fromLngLat(lngLat);
    expect(Math.hypot(found[0] - x, found[1] - y) * unit_m).toBeLessThan(0.001);
    const back = crs.toLngLat(x, y);
    expect(Math.hypot(back[0] - lngLat[0], back[1] - lngLat[1])).toBeLessThan(1e-8);
  });

  it.each(['EPSG:4326', '4269', 'EPSG:4258', WGS84_PRJ, 'urn:ogc:def:crs:OGC:1.3:CRS84', 'urn:ogc:def:crs:EPSG::4326'])(
    '%.40s leaves degrees as they are, to the bit',
    (text) => {
      fc.assert(
        fc.property(
          fc.double({ min: -180, max: 180, noNaN: true }),
          fc.double({ min: -90, max: 90, noNaN: true }),
          (x, y) => {
            const crs = value(parseCrs(text));
            expect(crs.toLngLat(x, y)).toEqual([x, y]);
            expect(crs.fromLngLat([x, y])).toEqual([x, y]);
          },
        ),
        { numRuns: 20 },
      );
    },
  );

  it('there and back again is the same place, for every UTM zone', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...[1, 15, 60].flatMap((zone) => [32600 + zone, 32700 + zone])),
        fc.double({ min: -2.9, max: 2.9, noNaN: true }),
        fc.double({ min: 1, max: 70, noNaN: true }),
        (code, east, north) => {
          const crs = value(parseCrs(`EPSG:${code}`));
          const lng = -183 + 6 * (code % 100) + east;
          const lat = code < 32700 ? north : -north;
          const [x, y] = crs.fromLngLat([lng, lat]);
          const back = crs.toLngLat(x, y);
          expect(back[0]).toBeCloseTo(lng, 9);
          expect(back[1]).toBeCloseTo(lat, 9);
        },
      ),
    );
  });

  it('takes the horizontal part of a compound system', () => {
    const crs = value(parseCrs(`COMPD_CS["both",${IOWA_NORTH_FT},VERT_CS["up",VERT_DATUM["d",2005],UNIT["metre",1]]]`));
    expect(crs.name).toBe('NAD83 StatePlane Iowa North FIPS 1401 Feet');
  });

  it('tells the size of the error where a datum shift is not known', () => {
    const nad27 = parseCrs(UTM_15N_NAD27, 'a.prj');
    expect(value(nad27).name).toBe('NAD27 / UTM zone 15N');
    expect(codes(nad27)).toEqual(['caution crs-datum']);
    expect(nad27.problems[0]?.message).toContain('10 to 100 m');
    expect(nad27.problems[0]?.at).toEqual({ file: 'a.prj' });
    const unheardOf = parseCrs(UTM_15N_NAD27.replace('D_North_American_1927', 'D_Nowhere_1900'));
    expect(unheardOf.problems[0]?.message).toContain('some hundred metres');
  });

  it('is silent where the shift is given', () => {
    const shifted = UTM_15N_NAD27.replace('294.9786982]]', '294.9786982],TOWGS84[-8,160,176,0,0,0,0]]');
    expect(parseCrs(shifted).problems).toEqual([]);
  });

  it.each([
    ['', 'crs-unreadable'],
    ['not a system', 'crs-unreadable'],
    ['PROJCS["cut', 'crs-unreadable'],
    ['PROJCS["a",GEOGCS["b"],PROJECTION["Robinsonish"],UNIT["Meter",1]]', 'crs-unreadable'],
    ['LOCAL_CS["farm grid",UNIT["Meter",1]]', 'crs-unreadable'],
    [
      'GEOGCS["g",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["grad",0.015707963267949]]',
      'crs-unreadable',
    ],
    ['EPSG:99999', 'crs-unknown'],
    ['EPSG:32661', 'crs-unknown'],
    ['EPSG:26999', 'crs-unknown'],
  ])('%.30s is refused', (text, code) => {
    const result = parseCrs(text, 'a.prj');
    expect(codes(result)).toEqual([`stop ${code}`]);
    expect(result.problems[0]?.remedy).toContain('EPSG:');
  });
});

describe('where a file lies', () => {
  const at = (x: number, y: number, side: number, prj?: string) => [
    { name: 'f.shp', bytes: rawShp(5, [{ parts: [square(x, y, side)] }]) },
    ...(prj === undefined ? [] : [textFile('f.prj', prj)]),
  ];
  const stops = (result: ReturnType<typeof readFiles>) =>
    result.problems.filter((problem) => problem.severity === 'stop').map((problem) => problem.code);

  it('no .prj and metres: asks for the system, and takes it', () => {
    const files = at(450000, 4653000, 800);
    const asked = readFiles(files);
    expect(stops(asked)).toEqual(['crs-missing']);
    expect(asked.problems.at(-1)?.remedy).toContain('--crs EPSG:');
    const read = readOne(files, { crs: 'EPSG:32615' });
    expect(read.crs).toEqual({ name: 'WGS 84 / UTM zone 15N', from: 'told' });
    const geometry = read.records[0]?.geometry;
    expect(geometry?.type === 'MultiPolygon' && geometry.polygons[0]?.[0]?.[0]?.[0]).toBeCloseTo(-93.604, 3);
  });

  it('no .prj and metres: the text of a .prj solves it too', () => {
    expect(readOne(at(4894000, 3473000, 800), { crs: IOWA_NORTH_FT }).crs?.from).toBe('told');
  });

  it('what the file says goes before what was told', () => {
    expect(readOne(at(-93.6, 42, 0.01, WGS84_PRJ), { crs: 'EPSG:32615' }).crs).toEqual({ name: 'WGS 84', from: 'prj' });
  });

  it('a system in metres told for a file in degrees is not meant', () => {
    const read = readOne(at(-93.6, 42, 0.01), { crs: 'EPSG:32615' });
    expect(read.crs).toEqual({ name: 'WGS 84', from: 'assumed' });
    expect(codes(read)).toContain('caution crs-told-unused');
  });

  it.each([
    ['latitude past the pole', 42, -93.6, undefined],
    ['an eastern field, within -90 to 90', 40.1, -83.2, undefined],
    ['the same with a .prj', 40.1, -83.2, WGS84_PRJ],
  ])('latitude and longitude swapped: %s', (_, x, y, prj) => {
    const result = readFiles(at(x, y, 0.01, prj));
    expect(stops(result)).toEqual(['crs-swapped']);
    expect(result.problems.at(-1)?.remedy).toContain('longitude first');
  });

  it('a .prj in degrees over metres', () => {
    expect(stops(readFiles(at(450000, 4653000, 800, WGS84_PRJ)))).toEqual(['crs-outside']);
  });

  it('a .prj in metres over degrees', () => {
    expect(stops(readFiles(at(-93.6, 42, 0.01, UTM_15N_WKT2)))).toEqual(['crs-degrees']);
  });

  it('values that a projection cannot have', () => {
    expect(stops(readFiles(at(1e12, 1e12, 800, UTM_15N_WKT2)))).toEqual(['geometry-off-earth']);
  });

  it('a code that is not known, told', () => {
    expect(stops(readFiles(at(450000, 4653000, 800), { crs: 'EPSG:99999' }))).toEqual(['crs-unknown']);
  });

  it('every coordinate of a UTM fixture lies where GDAL puts it', () => {
    // ogr2ogr -t_srs EPSG:4326 of GDAL 3.6.2 gives the degrees that the fixture was made from.
    const read = readOne(fixture('shp/poly_utm32'));
    const geometry = read.records[0]?.geometry;
    expect(geometry?.type === 'MultiPolygon' && geometry.polygons[0]?.[0]?.[2]?.[0]).toBeCloseTo(10.01, 10);
  });
});
