import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeText, encodeUtf8 } from '../../core/base/text.ts';
import { crc32 } from '../../core/formats/crc32.kernel.ts';
import { readFiles } from '../../core/formats/read.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { unzipFiles, ZIP_LIMITS, zipFiles } from '../../core/formats/zip.ts';
import { fixture, fixtureNames } from '../fixtures/fixtures.ts';
import { deepFreeze } from '../freeze.ts';
import { codes, column, readOne, textFile, value } from './helpers.ts';

const bytesOf = (path: string): Uint8Array => fixture(path)[0]?.bytes ?? new Uint8Array();

describe('crc32', () => {
  it('is cbf43926 for "123456789", the check value of the CRC catalogue', () => {
    expect(crc32(encodeUtf8('123456789'))).toBe(0xcbf43926);
  });
});

describe('zipFiles', () => {
  const someFiles = fc.uniqueArray(
    fc.record({
      name: fc.stringMatching(/^[a-z]{1,6}(\/[a-zé]{1,6})?\.[a-z]{3}$/),
      bytes: fc.uint8Array({ maxLength: 300 }),
    }),
    { selector: (file) => file.name, maxLength: 8 },
  );

  it('gives back what went in, in the same order', () => {
    fc.assert(
      fc.property(someFiles, (files) => {
        const back = value(unzipFiles(zipFiles(files), 'a.zip'));
        expect(back.map((file) => [file.name, [...file.bytes]])).toEqual(
          files.map((file) => [file.name, [...file.bytes]]),
        );
      }),
    );
  });

  it('gives the same bytes in every time zone', () => {
    const files = deepFreeze([textFile('a/b.txt', 'hello'), textFile('c.txt', 'x'.repeat(5000))]);
    const before = process.env.TZ;
    const made = ['America/Chicago', 'Pacific/Auckland', 'UTC'].map((zone) => {
      process.env.TZ = zone;
      return [...zipFiles(files)].join(',');
    });
    if (before === undefined) delete process.env.TZ;
    else process.env.TZ = before;
    expect(new Set(made).size).toBe(1);
  });

  it('refuses one name twice', () => {
    expect(() => zipFiles([textFile('a', '1'), textFile('a', '2')])).toThrow('a comes twice');
  });
});

describe('unzipFiles', () => {
  it.each([
    ['zip/truncated.zip', 'zip-truncated'],
    ['zip/pkonly.zip', 'zip-truncated'],
    ['zip/text.zip', 'zip-not-a-zip'],
    ['zip/empty.zip', 'zip-not-a-zip'],
    ['zip/badcrc.zip', 'zip-damaged'],
    ['zip/encrypted.zip', 'zip-encrypted'],
  ])('%s: %s', (path, code) => {
    const result = unzipFiles(bytesOf(path), 'a.zip');
    expect(codes(result)).toEqual([`stop ${code}`]);
    expect(result.problems[0]?.at?.file).toMatch(/^a\.zip/);
  });

  it('refuses every zip that is cut off, wherever', () => {
    const whole = bytesOf('zip/one.zip');
    for (let length = 0; length < whole.length; length++)
      expect(unzipFiles(whole.slice(0, length), 'a.zip').ok).toBe(false);
  });

  it('never gives other content than was packed, whatever bit is turned', () => {
    const text = 'some text, some text, some text';
    const whole = zipFiles([textFile('a.txt', text)]);
    const content = { from: 30 + 'a.txt'.length, to: whole.length - 22 - 46 - 'a.txt'.length };
    let refused = 0;
    for (let at = content.from; at < content.to; at++) {
      const bad = whole.slice();
      bad[at] = (bad[at] ?? 0) ^ 0x10;
      const result = unzipFiles(bad, 'a.zip');
      if (result.ok) expect(decodeText(result.value[0]?.bytes ?? new Uint8Array())).toBe(text);
      else {
        expect(codes(result)).toEqual(['stop zip-damaged']);
        refused++;
      }
    }
    // The last byte may hold bits that mean nothing.
    expect(refused).toBeGreaterThanOrEqual(content.to - content.from - 1);
  });

  /** A stored entry whose name is replaced in both places by another of the same length. */
  const renamed = (to: string): Uint8Array => {
    const from = '#'.repeat(to.length);
    const zip = zipFiles([textFile(from, 'x')]);
    const text = Array.from(zip, (b) => String.fromCharCode(b)).join('');
    return Uint8Array.from(text.replaceAll(from, to), (char) => char.charCodeAt(0));
  };

  it.each(['../up.txt', 'a/../../b', '/etc/x', 'C:\\x.txt', 'a//b', '..\\x'])('refuses the path %s', (path) => {
    expect(codes(unzipFiles(renamed(path), 'a.zip'))).toEqual(['stop zip-path']);
  });

  it('leaves out what operating systems add, with a note', () => {
    const result = unzipFiles(bytesOf('zip/macos.zip'), 'a.zip');
    expect(value(result).map((file) => file.name)).toEqual(
      ['shp', 'prj', 'dbf', 'shx', 'cpg'].map((ending) => `poly_utf8.${ending}`),
    );
    expect(codes(result)).toEqual(['note zip-housekeeping']);
  });

  it('refuses what grows without measure, before it grows', () => {
    const bomb = zipFiles([{ name: 'zeros.dbf', bytes: new Uint8Array(3_000_000) }]);
    const limits = { ...ZIP_LIMITS, ratioFrom_bytes: 1_000_000 };
    expect(codes(unzipFiles(bomb, 'a.zip', limits))).toEqual(['stop zip-too-large']);
    expect(codes(unzipFiles(bomb, 'a.zip', { ...ZIP_LIMITS, total_bytes: 2_999_999 }))).toEqual(['stop zip-too-large']);
    expect(unzipFiles(bomb, 'a.zip').ok).toBe(true);
  });

  it('refuses more files than the limit, and files that share their bytes', () => {
    const two = zipFiles([textFile('a.txt', 'abc'), textFile('b.txt', 'abc')]);
    expect(codes(unzipFiles(two, 'a.zip', { ...ZIP_LIMITS, entries: 1 }))).toEqual(['stop zip-too-large']);
    const view = new DataView(two.buffer, two.byteOffset);
    const directory = view.getUint32(two.length - 6, true);
    const size = 3 * two.length;
    for (const at of [directory, directory + 46 + 5]) view.setUint32(at + 20, size, true);
    expect(unzipFiles(two, 'a.zip').ok).toBe(false);
  });

  it('refuses sizes that are not those of the content', () => {
    const zip = zipFiles([textFile('a.txt', 'abcabcabc'.repeat(50))]);
    const view = new DataView(zip.buffer, zip.byteOffset);
    const directory = view.getUint32(zip.length - 6, true);
    for (const size of [10, 449, 451, 1_000_000]) {
      view.setUint32(directory + 24, size, true);
      expect(codes(unzipFiles(zip, 'a.zip'))).toEqual(['stop zip-damaged']);
    }
  });

  it('unpacks what another packer packed', () => {
    // one.zip was packed by Info-ZIP.
    const zip = bytesOf('zip/one.zip');
    const dbf = value(unzipFiles(zip, 'a.zip')).find((file) => file.name.endsWith('.dbf'));
    expect(dbf?.bytes).toEqual(fixture('shp/poly_utf8').find((file) => file.name.endsWith('.dbf'))?.bytes);
  });
});

describe('a zip at the door', () => {
  const places = (files: readonly NamedBytes[]) => readOne(files).records.map((record) => record.geometry);
  const loose = readOne(fixture('shp/poly_utf8'));

  it.each(['one', 'macos', 'mixedcase', 'upper', 'with_json', 'emptyprj', 'noprj'])(
    '%s.zip: the same as loose',
    (name) => {
      const zip = fixture(`zip/${name}.zip`);
      expect(places(zip)).toEqual(loose.records.map((record) => record.geometry));
      expect(column(readOne(zip), 'name')).toEqual(column(loose, 'name'));
      expect(readOne(zip).files).toEqual([`${name}.zip`]);
    },
  );

  it('with_json: the file that is no GeoJSON is told, and stops nothing', () => {
    const read = readOne(fixture('zip/with_json.zip'));
    expect(codes(read)).toContain('caution geojson-type');
    expect(read.problems.at(-1)?.at?.file).toBe('with_json.zip/metadata.json');
  });

  it('nested_two: two datasets, each with its own system', () => {
    const read = value(readFiles(fixture('zip/nested_two.zip')));
    expect(read.map((dataset) => [dataset.name, dataset.crs?.name])).toEqual([
      ['poly_utf8', 'WGS 84'],
      ['poly_utm', 'WGS 84 / UTM zone 32N'],
    ]);
  });

  it('nodbf: the shapes alone', () => {
    const read = readOne(fixture('zip/nodbf.zip'));
    expect(read.columns).toEqual([]);
    expect(codes(read)).toContain('caution shp-no-dbf');
  });

  it('emptyprj, noprj: assumed, with a note', () => {
    for (const name of ['emptyprj', 'noprj'])
      expect(codes(readOne(fixture(`zip/${name}.zip`)))).toContain('note crs-assumed');
  });

  it.each([
    ['badprj', 'crs-unreadable'],
    ['badcrc', 'zip-damaged'],
    ['empty', 'file-empty'],
    ['encrypted', 'zip-encrypted'],
    ['noshp', 'file-part-alone'],
    ['pkonly', 'zip-truncated'],
    ['text', 'zip-not-a-zip'],
    ['truncated', 'zip-truncated'],
  ])('%s.zip: %s', (name, code) => {
    const result = readFiles(fixture(`zip/${name}.zip`));
    expect(result.ok).toBe(false);
    expect(result.problems.map((problem) => problem.code)).toContain(code);
    expect(result.problems.at(-1)?.at?.file).toContain(`${name}.zip`);
    expect(result.problems.at(-1)?.remedy).not.toBe('');
  });

  it('badprj: read all the same when the system is told', () => {
    const read = readOne(fixture('zip/badprj.zip'), { crs: 'EPSG:4326' });
    expect(read.crs).toEqual({ name: 'WGS 84', from: 'told' });
    expect(codes(read)).toContain('caution crs-told-instead');
  });

  it('every fixture is one of the cases here', () => {
    expect(fixtureNames('zip')).toHaveLength(17);
  });
});
