import Ajv from 'ajv';
import featureCollectionSchema from 'geojson-schema/FeatureCollection.json' with { type: 'json' };
import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { writeShapefile } from '../../core/formats/shapefile-write.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { bytesOf, maker, withHandoff } from './shared.ts';

const make = maker();

interface Feature {
  readonly type: string;
  readonly properties: Readonly<Record<string, unknown>>;
  readonly geometry: { readonly type: string; readonly coordinates: readonly unknown[] };
}

describe('the GeoJSON', () => {
  it.each([
    ['by default', {}],
    ['with passes as columns', { passes: 'columns' }],
    ['of cells', { shape: 'cells' }],
    ['with one record a zone', { parts: 'together' }],
  ])('validates against its public JSON Schema, %s', async (_, patch) => {
    const { handoff } = await make(withHandoff(patch));
    const validate = new Ajv({ strict: false }).compile(featureCollectionSchema);
    for (const { path, bytes } of handoff.files.filter((file) => file.path.endsWith('.geojson'))) {
      const document = JSON.parse(decodeText(bytes));
      expect(validate(document), `${path}: ${JSON.stringify(validate.errors)}`).toBe(true);
      expect(validate({ ...document, features: [{ type: 'Feature' }] })).toBe(false);
    }
  });

  it('keeps the rules of RFC 7946 that a schema cannot say', async () => {
    const { handoff } = await make();
    const text = decodeText(bytesOf(handoff.files, 'Hollow_Quarter_p1.geojson'));
    const document: { readonly features: readonly Feature[] } & Readonly<Record<string, unknown>> = JSON.parse(text);
    // 4: no member crs; 11.1: no byte order mark; 7.1: no coordinates beside a collection's features.
    expect(Object.keys(document)).toEqual(['type', 'name', 'prescription', 'features']);
    expect(text.charCodeAt(0)).toBe(0x7b);
    for (const { geometry, properties } of document.features) {
      expect(geometry.type).toBe('Polygon');
      expect(typeof properties.rate).toBe('number');
      for (const [place, ring] of (geometry.coordinates as readonly (readonly (readonly number[])[])[]).entries()) {
        // 3.1.6: closed rings of four places and more, the outer one counter-clockwise, holes clockwise.
        expect(ring.length).toBeGreaterThanOrEqual(4);
        expect(ring.at(-1)).toEqual(ring[0]);
        const doubled = ring
          .slice(1)
          .reduce((sum, [x = 0, y = 0], i) => sum + ((ring[i]?.[0] ?? 0) * y - x * (ring[i]?.[1] ?? 0)), 0);
        expect(doubled > 0).toBe(place === 0);
        for (const at of ring) {
          // 3.1.1: longitude before latitude; two figures, of nine decimals at most, which is a tenth of a millimetre.
          expect(at).toHaveLength(2);
          for (const figure of at) expect(Math.abs(figure * 1e9 - Math.round(figure * 1e9))).toBeLessThan(1e-3);
        }
      }
    }
  });
});

describe('a small shapefile, byte by byte (ESRI Shapefile Technical Description, July 1998)', () => {
  // One square; one of two parts, the first with a hole.
  const square = (x: number, y: number, size: number): [number, number][] => [
    [x, y],
    [x + size, y],
    [x + size, y + size],
    [x, y + size],
    [x, y],
  ];
  const shapes: readonly MultiPolygon[] = [
    [[square(0, 0, 1)]],
    [[square(2, 0, 4), square(3, 1, 1).reverse()], [square(10, 10, 2)]],
  ];
  const fields = [{ name: 'RATE', kind: 'number', width: 12, decimals: 2 }] as const;
  const written = writeShapefile(
    'RX',
    fields,
    shapes.map((polygons, i) => ({ polygons, values: [i === 0 ? 65 : 260.5] })),
  );
  const part = (ending: string): DataView => {
    const bytes = (written.ok ? written.value : []).find(({ name }) => name === `RX.${ending}`)?.bytes;
    if (!bytes) throw new Error(`no .${ending}`);
    return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  };
  /** Content of a polygon record in bytes (page 8): type, box, counts, one number a part, two doubles a point. */
  const content = (parts: number, points: number): number => 4 + 32 + 4 + 4 + 4 * parts + 16 * points;
  const lengths = [content(1, 5), content(3, 15)];

  it.each(['shp', 'shx'])('has the header of table 1: .%s', (ending) => {
    const view = part(ending);
    expect(view.getInt32(0)).toBe(9994);
    for (let at = 4; at < 24; at += 4) expect(view.getInt32(at)).toBe(0);
    expect(view.getInt32(24)).toBe(view.byteLength / 2);
    expect(view.getInt32(28, true)).toBe(1000);
    expect(view.getInt32(32, true)).toBe(5);
    expect([36, 44, 52, 60].map((at) => view.getFloat64(at, true))).toEqual([0, 0, 12, 12]);
    // Neither Z nor M.
    for (let at = 68; at < 100; at += 8) expect(view.getFloat64(at, true)).toBe(0);
  });

  it('has record headers with numbers from 1 and content lengths in 16-bit words', () => {
    const view = part('shp');
    expect(view.byteLength).toBe(100 + 8 + (lengths[0] ?? 0) + 8 + (lengths[1] ?? 0));
    let at = 100;
    for (const [i, length] of lengths.entries()) {
      expect([view.getInt32(at), view.getInt32(at + 4)]).toEqual([i + 1, length / 2]);
      at += 8 + length;
    }
  });

  it('has an index of offsets and lengths in 16-bit words', () => {
    const view = part('shx');
    expect(view.byteLength).toBe(100 + 8 * 2);
    expect([100, 104, 108, 112].map((at) => view.getInt32(at))).toEqual([
      50,
      (lengths[0] ?? 0) / 2,
      (100 + 8 + (lengths[0] ?? 0)) / 2,
      (lengths[1] ?? 0) / 2,
    ]);
  });

  it('has polygon records with box, parts and points; outer rings clockwise, holes counter-clockwise', () => {
    const view = part('shp');
    const at = 100 + 8 + (lengths[0] ?? 0) + 8;
    expect(view.getInt32(at, true)).toBe(5);
    expect([4, 12, 20, 28].map((off) => view.getFloat64(at + off, true))).toEqual([2, 0, 12, 12]);
    expect([36, 40, 44, 48, 52].map((off) => view.getInt32(at + off, true))).toEqual([3, 15, 0, 5, 10]);
    const signs = [0, 5, 10].map((first) => {
      let doubled = 0;
      for (let i = first; i < first + 4; i++) {
        const point = at + 56 + 16 * i;
        const [x1, y1, x2, y2] = [0, 8, 16, 24].map((off) => view.getFloat64(point + off, true));
        doubled += (x1 ?? 0) * (y2 ?? 0) - (x2 ?? 0) * (y1 ?? 0);
      }
      return Math.sign(doubled);
    });
    expect(signs).toEqual([-1, 1, -1]);
  });

  it('has a dBase III table of one row a record: header 32 + 32 a field + 1, rows 1 + widths, an end mark', () => {
    const view = part('dbf');
    expect(view.getUint8(0)).toBe(3);
    expect([view.getUint32(4, true), view.getUint16(8, true), view.getUint16(10, true)]).toEqual([2, 65, 13]);
    expect(view.byteLength).toBe(65 + 2 * 13 + 1);
    const text = (from: number, length: number): string =>
      String.fromCharCode(...Array.from({ length }, (_, i) => view.getUint8(from + i)));
    expect(text(32, 12)).toBe('RATE\0\0\0\0\0\0\0N');
    expect([view.getUint8(48), view.getUint8(49), view.getUint8(64)]).toEqual([12, 2, 0x0d]);
    expect([text(65, 13), text(78, 13), view.getUint8(91)]).toEqual(['        65.00', '       260.50', 0x1a]);
  });
});
