import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import { writeShapefile } from '../../core/formats/shapefile-write.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { zipFiles } from '../../core/formats/zip.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { value } from './helpers.ts';
import { square } from './raw-shp.ts';

/** A small generator with a fixed seed (mulberry32, public domain), so that a failure comes again. */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Turns, cuts, doubles or blanks some bytes. */
function spoil(bytes: Uint8Array, chance: () => number): Uint8Array {
  const at = (length: number) => Math.floor(chance() * length);
  const kind = at(5);
  if (kind === 0) return bytes.slice(0, at(bytes.length + 1));
  const bad = bytes.slice();
  if (kind === 1) for (let i = at(4) + 1; i > 0; i--) bad[at(bad.length)] = at(256);
  else if (kind === 2) bad.fill([0, 255, 0x7f, 0x20][at(4)] ?? 0, at(bad.length), at(bad.length));
  else if (kind === 3) {
    const start = at(bad.length);
    return Uint8Array.of(...bad.subarray(0, start), ...bad.subarray(at(start + 1)));
  } else
    new DataView(bad.buffer).setInt32(
      at(Math.max(1, bad.length - 4)),
      [-1, 2 ** 31 - 1, -(2 ** 31), 65536][at(4)] ?? 0,
      at(2) === 0,
    );
  return bad;
}

const shape = (): readonly NamedBytes[] =>
  value(
    writeShapefile(
      'f',
      [
        { name: 'RATE', kind: 'number', width: 10, decimals: 2 },
        { name: 'ZONE', kind: 'text', width: 6, decimals: 0 },
      ],
      Array.from({ length: 6 }, (_, i) => ({
        polygons: [[square(i * 2, 40, 1), square(i * 2 + 0.2, 40.2, 0.2)]],
        values: [i * 10, `Z${i}`],
      })),
    ),
  );
const csv = encodeUtf8('Report;;\nid;K;"pH ""w"""\n;ppm;\nA1;120,5;6,4\nA2;<20;\n"A\n3";98,1;7,0\n');
const geoJson = encodeUtf8(
  JSON.stringify({
    type: 'FeatureCollection',
    features: [
      { type: 'Feature', properties: { k: 1, n: 'a' }, geometry: { type: 'Polygon', coordinates: [square(1, 2, 3)] } },
    ],
  }),
);

const CASES: Readonly<Record<string, { readonly files: () => readonly NamedBytes[]; readonly spoilt: RegExp }>> = {
  'a .shp': { files: shape, spoilt: /\.shp$/ },
  'a .shx': { files: shape, spoilt: /\.shx$/ },
  'a .dbf': { files: shape, spoilt: /\.dbf$/ },
  'a .prj': { files: () => fixture('shp/poly_utm32'), spoilt: /\.prj$/ },
  'a .cpg': { files: shape, spoilt: /\.cpg$/ },
  'a zip': { files: () => [{ name: 'f.zip', bytes: zipFiles(shape()) }], spoilt: /zip$/ },
  'a stored zip': { files: () => fixture('zip/nested_two.zip'), spoilt: /zip$/ },
  'a workbook': { files: () => fixture('xlsx/lab.xlsx'), spoilt: /xlsx$/ },
  'a CSV': { files: () => [{ name: 'f.csv', bytes: csv }], spoilt: /csv$/ },
  'a GeoJSON': { files: () => [{ name: 'f.geojson', bytes: geoJson }], spoilt: /geojson$/ },
};
const TIMES = 60;
/** Far above what any of them takes, and far below a loop without end. */
const LONGEST_MS = 2000;

describe('spoilt files', () => {
  it.each(Object.entries(CASES))(
    '%s: always a result, soon, and sound where it is a success',
    (_, { files, spoilt }) => {
      const chance = random(20261125);
      const whole = files();
      expect(readFiles(whole).ok).toBe(true);
      for (let i = 0; i < TIMES; i++) {
        const bad = whole.map((file) =>
          spoilt.test(file.name) ? { ...file, bytes: spoil(file.bytes, chance) } : file,
        );
        const start = performance.now();
        const result = readFiles(bad);
        expect(performance.now() - start).toBeLessThan(LONGEST_MS);
        if (!result.ok) {
          expect(result.problems.some((problem) => problem.severity === 'stop')).toBe(true);
          continue;
        }
        for (const dataset of result.value) {
          for (const record of dataset.records) {
            expect(record.cells).toHaveLength(dataset.columns.length);
            const { geometry } = record;
            const positions =
              geometry === null
                ? []
                : geometry.type === 'Point'
                  ? [geometry.at]
                  : geometry.type === 'Lines'
                    ? geometry.lines.flat()
                    : geometry.polygons.flat(2);
            for (const [lng, lat] of positions) expect(Math.abs(lng) <= 180.1 && Math.abs(lat) <= 90).toBe(true);
          }
        }
      }
    },
  );

  it('a .shp that is cut anywhere is never read as less', () => {
    const parts = shape();
    const shp = parts.find((file) => file.name.endsWith('.shp'))?.bytes ?? new Uint8Array();
    for (let length = 0; length < shp.length; length += 7) {
      const result = readFiles(
        parts.map((file) => (file.name.endsWith('.shp') ? { ...file, bytes: shp.slice(0, length) } : file)),
      );
      expect(result.ok).toBe(false);
    }
  });
});
