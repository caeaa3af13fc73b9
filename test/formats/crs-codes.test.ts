import { describe, expect, it } from 'vitest';
import { parseCrs } from '../../core/formats/crs.ts';
import { definitionOfCode } from '../../core/formats/crs-codes.ts';
import { EPSG_ZONES } from '../../core/formats/epsg-zones.ts';
import { codes, value } from './helpers.ts';

const lines = EPSG_ZONES.trim()
  .split('\n')
  .map((line) => {
    const [zone = '', text = '', list = ''] = line.split('|');
    return {
      zone,
      parameters: new Map(text.split(' ').map((one) => one.split('=') as [string, string])),
      list: list.split(' '),
    };
  });

describe('systems by number', () => {
  it('each code of a zone stands once, and puts the zone’s origin where it belongs, in its own unit', () => {
    const metres = { m: 1, u: 1200 / 3937, f: 0.3048 } as const;
    const seen = new Set<string>();
    for (const { zone, parameters, list } of lines) {
      const figure = (name: string) => Number(parameters.get(name));
      for (const tagged of list) {
        const [, unit, code] = /^([muf])[HNB]?(\d+)$/.exec(tagged) ?? [];
        if (code === undefined || seen.has(code)) throw new Error(`${zone}: ${tagged}`);
        seen.add(code);
        const result = parseCrs(`EPSG:${code}`);
        const crs = value(result);
        expect([code, crs.kind, codes(result), crs.name.includes(zone)]).toEqual([code, 'projected', [], true]);
        const size = metres[unit as keyof typeof metres];
        const [lng, lat] = crs.toLngLat(figure('x_0') / size, figure('y_0') / size);
        expect(Math.hypot(lng - figure('lon_0'), lat - figure('lat_0'))).toBeLessThan(1e-9);
        // A tenth of a degree to the north is some 11 km, 9 where an equal-area cone is far from its parallels.
        const [, north] = crs.fromLngLat([lng, lat + 0.1]);
        const north_km = (north * size - figure('y_0')) / 1000;
        expect(north_km > 9 && north_km < 12).toBe(true);
      }
    }
    expect(seen.size).toBeGreaterThan(600);
  });

  // Names and places by GDAL 3.6.2 (gdaltransform from EPSG:4326 at 42.03 N 93.6 W, or inside the zone).
  it.each([
    [5070, 'NAD83 / Conus Albers', [-93.6, 42.03]],
    [6344, 'NAD83(2011) / UTM zone 15N', [-93.6, 42.03]],
    [3160, 'NAD83(CSRS) / UTM zone 16N', [-87, 49]],
    [2265, 'NAD83 / North Dakota North (ft)', [-100, 48]],
    [6543, 'NAD83(2011) / North Carolina (ftUS)', [-79, 35]],
    [7855, 'GDA2020 / MGA zone 55', [147, -35]],
    [31983, 'SIRGAS 2000 / UTM zone 23S', [-45, -20]],
    [3035, 'ETRS89-extended / LAEA Europe', [10, 50]],
    [2154, 'RGF93 / Lambert-93', [3, 46]],
  ] as const)('%s is %s', (code, name, place) => {
    const crs = value(parseCrs(`EPSG:${code}`));
    expect(crs.name).toBe(name);
    const [x, y] = crs.fromLngLat(place);
    const [wantedX, wantedY] = BY_GDAL[code] ?? [Number.NaN, Number.NaN];
    // GDAL knows a shift for Canada's realization; here its positions count as WGS84, which holds to 2 m.
    expect(Math.hypot(x - wantedX, y - wantedY)).toBeLessThan(code === 3160 ? 2 : 0.01);
  });

  it('a code that is no system, or none of these, is unknown', () => {
    expect(definitionOfCode(9999)).toBeNull();
    expect(definitionOfCode(26700)).toBeNull();
    expect(codes(parseCrs('EPSG:27700'))).toEqual(['stop crs-unknown']);
  });
});

const BY_GDAL: Readonly<Record<number, readonly [number, number]>> = {
  5070: [197333.264032959, 2116760.09246064],
  6344: [450332.678059466, 4653281.21602856],
  3160: [500000.460177229, 5427454.77898872],
  2265: [2090912.27458306, 365163.178699179],
  6543: [2000000, 454929.000765455],
  7855: [500000.000000002, 6126956.93557146],
  31983: [500000, 7788518.69239866],
  3035: [4321000, 2987510.56696494],
  2154: [700000, 6544473.85551773],
};
