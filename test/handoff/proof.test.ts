import { describe, expect, it } from 'vitest';
import { decodeText, encodeUtf8 } from '../../core/base/text.ts';
import { unzipFiles, zipFiles } from '../../core/formats/zip.ts';
import { listed, manifestFile } from '../../core/handoff/files.ts';
import { readManifest } from '../../core/handoff/manifest.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import type { OutFile } from '../../core/handoff/types.ts';
import { bytesOf, changed, maker, withHandoff } from './shared.ts';

const make = maker();

/** The files with a manifest that lists their bytes as they are: what is found then is found by reading, not by the hash. */
function relisted(files: readonly OutFile[]): OutFile[] {
  const read = readManifest(bytesOf(files, 'manifest.json'), 'manifest.json');
  if (!read.ok) throw new Error('no manifest');
  const rest = files.filter(({ path }) => path !== 'manifest.json');
  return [...rest, manifestFile({ ...read.value, files: rest.map(listed) })];
}

/** What the proof finds wrong, each as `file: what`. */
function wrong(files: readonly OutFile[]): string[] {
  const { lines, problems, proved } = proveFiles(relisted(files));
  const told = lines.filter(({ holds }) => !holds).map(({ file, what }) => `${file}: ${what}`);
  expect(proved).toBe(told.length === 0 && problems.every(({ severity }) => severity !== 'stop'));
  return [...told, ...problems.filter(({ code }) => code !== 'proof-differs').map(({ code }) => code)];
}

const GEOJSON = 'Hollow_Quarter_p1.geojson';
const ZIP = 'Hollow_Quarter_p1.zip';
const DBF = 'shapefile/Hollow_Quarter_p1.dbf';
const SHP = 'shapefile/Hollow_Quarter_p1.shp';
const TASK = 'Hollow_Quarter_taskdata.zip';

/** Header length and row length of a table (dBase III, bytes 8 and 10). */
const layout = (dbf: Uint8Array) => {
  const view = new DataView(dbf.buffer, dbf.byteOffset, dbf.byteLength);
  return { head: view.getUint16(8, true), row: view.getUint16(10, true), rows: view.getUint32(4, true) };
};

describe('the proof at points', () => {
  it('compares 1,000 points of the ground in every file, from a seed of the plan', async () => {
    const { handoff } = await make();
    const { points, problems } = proveFiles(handoff.files);
    expect(problems).toEqual([]);
    const manifest = JSON.parse(decodeText(bytesOf(handoff.files, 'manifest.json')));
    expect(points?.seed).toBe(Number.parseInt(manifest.planSha256.slice(0, 8), 16));
    expect(points?.inside).toBe(1000);
    // Two passes in three files each, and the grid far from borders.
    expect(points?.compared).toBeGreaterThan(6 * 1000);
    expect(points?.grid).toBeGreaterThan(1000);
    expect(points?.greatest).toBeLessThan(0.01);
  });

  it('holds when only the listing is made anew', async () => {
    const { handoff } = await make();
    expect(wrong(handoff.files)).toEqual([]);
  });

  it('finds a rate changed in a table', async () => {
    const { handoff } = await make();
    const spoiled = changed(handoff.files, DBF, (dbf) => {
      const { head } = layout(dbf);
      // The rate stands first in a row, 12 wide: its last whole digit before ".00".
      const at = head + 1 + 8;
      dbf[at] = dbf[at] === 0x35 ? 0x37 : 0x35;
      return dbf;
    });
    expect(wrong(spoiled)).toEqual([`${SHP}: pounds`, `${SHP}: rates at points`]);
  });

  it('finds records swapped in a table, though their sum stays', async () => {
    const { handoff } = await make();
    const rates = handoff.prescriptions[0]?.pieces.map((piece) => piece.rate_lbPerAc) ?? [];
    const [a, b] = [0, rates.findIndex((rate) => rate !== rates[0])];
    const spoiled = changed(handoff.files, DBF, (dbf) => {
      const { head, row } = layout(dbf);
      const rowOf = (i: number) => dbf.slice(head + i * row, head + (i + 1) * row);
      const [first, other] = [rowOf(a), rowOf(b)];
      dbf.set(other, head + a * row);
      dbf.set(first, head + b * row);
      return dbf;
    });
    expect(wrong(spoiled)).toEqual(
      expect.arrayContaining([`${SHP}: acres, record by record`, `${SHP}: rates at points`]),
    );
  });

  it('finds a moved corner, in the shapes and in the GeoJSON', async () => {
    const { handoff } = await make();
    const shp = changed(handoff.files, SHP, (bytes) => {
      const view = new DataView(bytes.buffer);
      // Second position of the first record's first part: header 100 + 8, content 44 + 4 x parts + 16.
      const parts = view.getInt32(100 + 8 + 36, true);
      const at = 100 + 8 + 44 + 4 * parts + 16;
      view.setFloat64(at, view.getFloat64(at, true) + 2e-4, true);
      return bytes;
    });
    expect(wrong(shp)).toContain(`${SHP}: acres, record by record`);
    const json = changed(handoff.files, GEOJSON, (bytes) => {
      const document = JSON.parse(decodeText(bytes));
      document.features[0].geometry.coordinates[0][1][0] += 2e-4;
      return encodeUtf8(JSON.stringify(document));
    });
    expect(wrong(json)).toContain(`${GEOJSON}: acres, record by record`);
  });

  it('finds a part left out, though it asks for nothing', async () => {
    const { handoff } = await make();
    const json = changed(handoff.files, 'Hollow_Quarter_p2.geojson', (bytes) => {
      const document = JSON.parse(decodeText(bytes));
      const none = document.features.findIndex((one: { properties: { rate: number } }) => one.properties.rate === 0);
      document.features.splice(none, 1);
      return encodeUtf8(JSON.stringify(document));
    });
    const found = wrong(json).map((line) => line.replace('Hollow_Quarter_p2.geojson: ', ''));
    expect(found).toEqual(expect.arrayContaining(['records', 'acres', 'rates at points']));
    expect(found).not.toContain('pounds');
  });

  it('finds another unit, product or pass, and rings that are wound wrong or open', async () => {
    const { handoff } = await make();
    const text = (change: (text: string) => string) =>
      wrong(changed(handoff.files, GEOJSON, (bytes) => encodeUtf8(change(decodeText(bytes)))));
    expect(text((all) => all.replace('"unit":"lb/ac"', '"unit":"kg/ha"'))).toEqual([
      `${GEOJSON}: unit, product and pass`,
    ]);
    expect(text((all) => all.replace('"rateUnit":"lb/ac"', '"rateUnit":"kg/ha"'))).toEqual([
      `${GEOJSON}: unit, product and pass`,
    ]);
    expect(text((all) => all.replaceAll('"product":"0-0-60"', '"product":"0-0-62"'))).toEqual([
      `${GEOJSON}: unit, product and pass`,
    ]);
    const ring = (change: (ring: unknown[]) => void) =>
      text((all) => {
        const document = JSON.parse(all);
        change(document.features[0].geometry.coordinates[0]);
        return JSON.stringify(document);
      });
    expect(ring((one) => one.reverse())).toEqual([`${GEOJSON}: remarks on reading`]);
    expect(ring((one) => one.pop())).toContain(`${GEOJSON}: remarks on reading`);
  });

  it('finds a ring of the shapes wound the wrong way', async () => {
    const { handoff } = await make();
    const shp = changed(handoff.files, SHP, (bytes) => {
      const view = new DataView(bytes.buffer);
      // The first record's first part, from its last position to its first: content 44 + 4 x parts.
      const parts = view.getInt32(100 + 8 + 36, true);
      const points = view.getInt32(100 + 8 + 40, true);
      const from = 100 + 8 + 44 + 4 * parts;
      const count = parts > 1 ? view.getInt32(100 + 8 + 48, true) : points;
      const places = Array.from({ length: count }, (_, i) => bytes.slice(from + 16 * i, from + 16 * (i + 1)));
      for (const [i, place] of places.reverse().entries()) bytes.set(place, from + 16 * i);
      return bytes;
    });
    expect(wrong(shp)).toEqual([`${SHP}: remarks on reading`]);
  });

  it('finds a table of another pass beside the shapes, and a zip that is cut off', async () => {
    const { handoff } = await make();
    const other = bytesOf(handoff.files, DBF.replace('_p1', '_p2'));
    const stale = wrong(changed(handoff.files, DBF, () => other));
    expect(stale).toEqual(
      expect.arrayContaining([`${SHP}: pounds`, `${SHP}: unit, product and pass`, `${SHP}: rates at points`]),
    );
    expect(wrong(changed(handoff.files, ZIP, (zip) => zip.slice(0, -400)))).toContain('zip-truncated');
  });

  it('finds a value changed in the grid of the task data', async () => {
    const { handoff } = await make();
    const unpacked = unzipFiles(bytesOf(handoff.files, TASK), TASK);
    if (!unpacked.ok) throw new Error('no zip');
    const spoiled = unpacked.value.map((file) => {
      if (file !== unpacked.value.find(({ name }) => name.endsWith('.BIN'))) return file;
      const values = new DataView(file.bytes.buffer, file.bytes.byteOffset, file.bytes.byteLength);
      const cells = file.bytes.length / 4;
      // The first cell that has a rate, 20 cells in from the edge, gets 1 lb/ac more (112 mg/m2).
      let at = Math.floor(cells / 2) + 20;
      while (values.getInt32(at * 4, true) === 0) at++;
      values.setInt32(at * 4, values.getInt32(at * 4, true) + 112, true);
      return file;
    });
    const found = wrong(changed(handoff.files, TASK, () => zipFiles(spoiled)));
    expect(found).toContain(`${TASK}: pounds of 0-0-60, ${handoff.prescriptions[0]?.pass}`);
  });

  it('finds a grid of another pass', async () => {
    const { handoff } = await make(withHandoff({ files: { geojson: true, shapefile: false, loose: false } }));
    const unpacked = unzipFiles(bytesOf(handoff.files, TASK), TASK);
    if (!unpacked.ok) throw new Error('no zip');
    const [first, second] = unpacked.value.filter(({ name }) => name.endsWith('.BIN'));
    const swapped = unpacked.value.map((file) => {
      if (file === first) return { ...file, bytes: second?.bytes ?? file.bytes };
      return file === second ? { ...file, bytes: first?.bytes ?? file.bytes } : file;
    });
    const found = wrong(changed(handoff.files, TASK, () => zipFiles(swapped)));
    expect(found).toContain(`${TASK}: rates at points`);
  });
});

describe('a manifest of version 1', () => {
  it('still proves its folder', async () => {
    const { handoff } = await make();
    const read = readManifest(bytesOf(handoff.files, 'manifest.json'), 'manifest.json');
    if (!read.ok) throw new Error('no manifest');
    const { plan, planSha256, rateUnit, spreadable_ac, sets, files } = read.value;
    const first = {
      format: 'pearlash-manifest',
      version: 1,
      plan,
      planSha256,
      product: '0-0-60',
      rateUnit,
      spreadable_ac,
      passes: sets.map(({ channels: [channel], acres, records, geojson, shapefileZip, shapefileLoose }) => ({
        name: channel?.pass,
        acres,
        product_lb: channel?.planned_lb,
        product_tons: channel?.planned_tons,
        records,
        geojson,
        shapefileZip,
        shapefileLoose,
      })),
      files,
    };
    const old = changed(handoff.files, 'manifest.json', () => encodeUtf8(JSON.stringify(first)));
    const proof = proveFiles(old);
    expect(proof.problems).toEqual([]);
    expect(proof.proved).toBe(true);
    expect(proof.points).toBeNull();
    expect(proof.product_tons).toBeCloseTo(handoff.totals.product_tons, 3);
    const cut = changed(old, GEOJSON, (bytes) => encodeUtf8(decodeText(bytes).replace(/"rate":65/, '"rate":66')));
    expect(proveFiles(cut).proved).toBe(false);
  });
});
