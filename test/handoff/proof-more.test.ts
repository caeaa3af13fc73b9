import { describe, expect, it } from 'vitest';
import { sha256Hex } from '../../core/base/hash.ts';
import { decodeText, encodeUtf8 } from '../../core/base/text.ts';
import { unzipFiles, zipFiles } from '../../core/formats/zip.ts';
import { listed, manifestFile } from '../../core/handoff/files.ts';
import { readManifest } from '../../core/handoff/manifest.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import type { Manifest, OutFile } from '../../core/handoff/types.ts';
import { bytesOf, changed, maker } from './shared.ts';

const make = maker();

function manifestOf(files: readonly OutFile[]): Manifest {
  const read = readManifest(bytesOf(files, 'manifest.json'), 'manifest.json');
  if (!read.ok) throw new Error('no manifest');
  return read.value;
}

/** The files with a manifest that lists their bytes as they are, changed further. */
function relisted(files: readonly OutFile[], change: (manifest: Manifest) => object = (one) => one): OutFile[] {
  const rest = files.filter(({ path }) => path !== 'manifest.json');
  const manifest = { ...manifestOf(files), files: rest.map(listed) };
  // What a person edits need not be of the type any more.
  return [...rest, { ...manifestFile(manifest), bytes: encodeUtf8(JSON.stringify(change(manifest))) }];
}

/** What the proof finds wrong: lines that do not hold, and the stops beside them. */
function wrong(files: readonly OutFile[]): string[] {
  const { lines, problems, proved } = proveFiles(files);
  const told = lines.filter(({ holds }) => !holds).map(({ file, what }) => `${file}: ${what}`);
  const stops = problems.filter(({ code, severity }) => severity === 'stop' && code !== 'proof-differs');
  expect(proved).toBe(told.length === 0 && problems.every(({ severity }) => severity !== 'stop'));
  return [...told, ...stops.map(({ code }) => code)];
}

const TASK = 'Hollow_Quarter_taskdata.zip';
const BEFORE = '0-0-60, before the season';

/** The task data with its XML changed. */
const taskXml = (files: readonly OutFile[], change: (xml: string) => string): readonly OutFile[] =>
  changed(files, TASK, (bytes) => {
    const parts = unzipFiles(bytes, TASK);
    if (!parts.ok) throw new Error('no zip');
    return zipFiles(
      parts.value.map((part) => {
        if (!part.name.endsWith('.XML')) return part;
        const before = decodeText(part.bytes);
        const after = change(before);
        expect(after).not.toBe(before);
        return { ...part, bytes: encodeUtf8(after) };
      }),
    );
  });

describe('task data whose listing was made to match', () => {
  it('is found with another rate outside, by default or without a position', async () => {
    const { handoff } = await make();
    const zone = (code: number) => new RegExp(`(<TZN A="${code}"[^>]*>\\s*<PDV A="0006" B=")0"`);
    const outside = wrong(relisted(taskXml(handoff.files, (xml) => xml.replace(zone(0), '$113450"'))));
    expect(outside).toEqual([`${TASK}: rate outside, ${BEFORE}`, `${TASK}: rate by default, ${BEFORE}`]);
    const lost = wrong(relisted(taskXml(handoff.files, (xml) => xml.replace(zone(254), '$116813"'))));
    expect(lost).toEqual([`${TASK}: rate without a position, ${BEFORE}`]);
  });

  it('is found with another product, or shown by another scale or unit', async () => {
    const { handoff } = await make();
    const product = wrong(relisted(taskXml(handoff.files, (xml) => xml.replace('B="0-0-60"', 'B="0-0-50"'))));
    expect(product).toContain(`${TASK}: product, ${BEFORE}`);
    for (const change of [
      (xml: string) => xml.replace(/(<VPN [^>]*C=")[^"]*"/, '$10.1"'),
      (xml: string) => xml.replace(/(<VPN [^>]*E=")[^"]*"/, '$1kg/ha"'),
      (xml: string) => xml.replace(/(<VPN [^>]*B=")[^"]*"/, '$15"'),
    ])
      expect(wrong(relisted(taskXml(handoff.files, change)))).toContain(`${TASK}: unit shown, ${BEFORE}`);
  });

  it('is found with the names of its tasks changed about', async () => {
    const { handoff } = await make();
    const about = taskXml(handoff.files, (xml) =>
      xml.replace(', pass 1', ', pass 0').replace(', pass 2', ', pass 1').replace(', pass 0', ', pass 2'),
    );
    expect(wrong(relisted(about))).toEqual([`${TASK}: names of the tasks`]);
  });

  it('is found with a rate in cells of the hole and outside', async () => {
    const { handoff } = await make();
    const spoiled = changed(handoff.files, TASK, (bytes) => {
      const parts = unzipFiles(bytes, TASK);
      if (!parts.ok) throw new Error('no zip');
      const grid = parts.value.find(({ name }) => name.endsWith('GRD00001.BIN'));
      const view = new DataView(grid?.bytes.buffer ?? new ArrayBuffer(0), grid?.bytes.byteOffset, grid?.bytes.length);
      view.setInt32(0, 13450, true);
      return zipFiles(parts.value);
    });
    expect(wrong(relisted(spoiled))).toEqual([`${TASK}: cells off the field, ${BEFORE}`]);
  });
});

describe('other files whose listing was made to match', () => {
  it('a raster of rates in the place of another, or with one cell changed, is found', async () => {
    const { handoff } = await make();
    const [first, second] = ['surfaces/rate_p1.tif', 'surfaces/rate_p2.tif'];
    const swapped = changed(handoff.files, first, () => bytesOf(handoff.files, second));
    expect(wrong(relisted(swapped))).toEqual(
      expect.arrayContaining([`${first}: sum of the cells`, `${first}: rates at points`]),
    );
    const cell = changed(handoff.files, first, (bytes) => {
      const view = new DataView(bytes.buffer);
      let at = bytes.length - 4;
      while (!(view.getFloat32(at) > 0)) at -= 4;
      view.setFloat32(at, view.getFloat32(at) + 1);
      return bytes;
    });
    expect(wrong(relisted(cell))).toEqual([`${first}: sum of the cells`]);
    const cut = changed(handoff.files, first, (bytes) => bytes.slice(0, -4));
    expect(wrong(relisted(cut))).toEqual([`${first}: raster`]);
    const moved = changed(handoff.files, first, (bytes) => {
      // The key of the coordinate system, 4326 = 0x10e6, becomes 4267.
      const at = bytes.findIndex((byte, i) => byte === 0x10 && bytes[i + 1] === 0xe6);
      bytes.set([0x10, 0xab], at);
      return bytes;
    });
    expect(wrong(relisted(moved))).toEqual([`${first}: raster`]);
  });

  it('a GeoJSON with a coordinate system of its own is found', async () => {
    const { handoff } = await make();
    const file = 'Hollow_Quarter_p1.geojson';
    const crs = changed(handoff.files, file, (bytes) =>
      encodeUtf8(
        JSON.stringify({
          ...JSON.parse(decodeText(bytes)),
          crs: { type: 'name', properties: { name: 'urn:ogc:def:crs:EPSG::26915' } },
        }),
      ),
    );
    expect(wrong(relisted(crs))).toEqual([`${file}: remarks on reading`]);
  });

  it('a column of K2O changed is found', async () => {
    const { handoff } = await make();
    const file = 'Hollow_Quarter_p1.geojson';
    const k2o = changed(handoff.files, file, (bytes) => {
      const document = JSON.parse(decodeText(bytes));
      document.features[0].properties.k2o_lb_per_ac += 0.5;
      return encodeUtf8(JSON.stringify(document));
    });
    expect(wrong(relisted(k2o))).toEqual([`${file}: k2o_lb_per_ac over the acres`]);
  });

  it('a zip of the other pass is told by what it holds', async () => {
    const { handoff } = await make();
    const [one, two] = ['Hollow_Quarter_p1.zip', 'Hollow_Quarter_p2.zip'];
    const swapped = changed(handoff.files, one, () => bytesOf(handoff.files, two));
    expect(proveFiles(relisted(swapped)).problems.map(({ message }) => message)).toEqual([
      'Hollow_Quarter_p1.zip does not hold Hollow_Quarter_p1.shp: it holds Hollow_Quarter_p2.shp.',
    ]);
  });

  it('a zip with another shapefile beside its own is found', async () => {
    const { handoff } = await make();
    const file = 'Hollow_Quarter_p1.zip';
    const more = changed(handoff.files, file, (bytes) => {
      const parts = unzipFiles(bytes, file);
      if (!parts.ok) throw new Error('no zip');
      const old = parts.value
        .filter(({ name }) => name.startsWith('Hollow'))
        .map((part) => ({ ...part, name: part.name.replace('Hollow_Quarter_p1', 'OLD') }));
      return zipFiles([...parts.value, ...old]);
    });
    expect(wrong(relisted(more))).toEqual([`${file}: remarks on reading`]);
  });

  it('pages and texts are compared by their hash alone, and that is told', async () => {
    const { handoff } = await make();
    const { byHashAlone } = proveFiles(handoff.files);
    expect(byHashAlone).toEqual(expect.arrayContaining(['columns.txt', 'zones.csv', 'surfaces/k_ppm.tif']));
    expect(byHashAlone.some((path) => /\.(zip|geojson|shp|dbf|prj)$|rate_/.test(path))).toBe(false);
  });
});

describe('a manifest that was edited', () => {
  it('is found with a pass dropped, its files still listed', async () => {
    const { handoff } = await make();
    const thin = relisted(handoff.files, (one) => ({ ...one, sets: one.sets.slice(0, 1) }));
    expect(wrong(thin).filter((one) => one === 'proof-manifest').length).toBeGreaterThan(3);
    expect(proveFiles(thin).problems.map(({ at }) => at?.file)).toEqual(
      expect.arrayContaining(['Hollow_Quarter_p2.geojson', 'Hollow_Quarter_p2.zip', 'manifest.json']),
    );
  });

  it('is found with a pass dropped and its files gone: the task data holds another number of passes', async () => {
    const { handoff } = await make();
    const rest = handoff.files.filter(({ path }) => !/Hollow_Quarter_p2/.test(path));
    expect(wrong(relisted(rest, (one) => ({ ...one, sets: one.sets.slice(0, 1) })))).toContain('proof-manifest');
  });

  it('is found with the task data or the rasters dropped while their files are listed', async () => {
    const { handoff } = await make();
    expect(wrong(relisted(handoff.files, (one) => ({ ...one, taskData: null })))).toEqual(['proof-manifest']);
    expect(wrong(relisted(handoff.files, (one) => ({ ...one, rasters: [] })))).toEqual([
      'proof-manifest',
      'proof-manifest',
    ]);
  });

  it('is found without points, with others, or with too few rates at them', async () => {
    const { handoff } = await make();
    const edited = (change: (one: Manifest) => object) => wrong(relisted(handoff.files, change));
    expect(edited((one) => ({ ...one, points: null }))).toContain('proof-manifest');
    expect(edited((one) => ({ ...one, points: { ...one.points, seed: 7 } }))).toContain('proof-manifest');
    expect(edited((one) => ({ ...one, points: { ...one.points, inner: null } }))).toContain('proof-manifest');
  });
});

describe('files that the plan did not write', () => {
  it('are each told, and those that a controller may load are counted', async () => {
    const { handoff } = await make();
    const file = (path: string): OutFile => ({ path, bytes: encodeUtf8('x'), what: '' });
    const proof = proveFiles([...handoff.files, file('OLD.shp'), file('shapefile/OLD.KML'), file('notes.docx')]);
    expect(proof.proved).toBe(true);
    expect(proof.strays).toBe(2);
    expect(proof.problems.map(({ code, severity, at }) => [severity, code, at?.file])).toEqual([
      ['caution', 'proof-stray', 'OLD.shp'],
      ['caution', 'proof-stray', 'shapefile/OLD.KML'],
      ['caution', 'proof-stray', 'notes.docx'],
    ]);
    expect(proveFiles(handoff.files).strays).toBe(0);
  });

  it('a printed page is held against the manifest, and one that it knows nothing of is foreign', async () => {
    const { handoff } = await make();
    const pdf: OutFile = { path: 'sheet.pdf', bytes: encodeUtf8('%PDF-1.7 one'), what: '' };
    const printed = { path: pdf.path, size: pdf.bytes.length, sha256: sha256Hex(pdf.bytes) };
    const files = [...relisted(handoff.files, (one) => ({ ...one, printed })), pdf];
    expect(proveFiles(files).problems).toEqual([]);
    expect(wrong(changed(files, 'sheet.pdf', () => encodeUtf8('%PDF-1.7 two')))).toEqual(['sheet.pdf: bytes']);
    const gone = proveFiles(files.filter(({ path }) => path !== 'sheet.pdf'));
    expect(gone.problems.map(({ code, severity }) => [code, severity])).toEqual([['proof-printed-missing', 'caution']]);
    const foreign = proveFiles([...handoff.files, pdf]);
    expect(foreign.proved).toBe(false);
    expect(foreign.problems.map(({ code }) => code)).toEqual(['proof-differs']);
  });
});
