import { describe, expect, it } from 'vitest';
import { readFiles } from '../../core/formats/read.ts';
import { zipFiles } from '../../core/formats/zip.ts';
import { fixture } from '../fixtures/fixtures.ts';
import { deepFreeze } from '../freeze.ts';
import { codes, readOne, textFile, value } from './helpers.ts';

const lab = textFile('lab.csv', 'id,K\nA1,120\n');
const point = textFile('points.geojson', '{"type":"Point","coordinates":[-93.6,42]}');

describe('the door', () => {
  it('takes several formats at once, in the order of the files', () => {
    const read = value(readFiles(deepFreeze([lab, ...fixture('shp/padhdr'), point, ...fixture('zip/one.zip')])));
    expect(read.map((dataset) => [dataset.format, dataset.name, dataset.files[0]])).toEqual([
      ['csv', 'lab', 'lab.csv'],
      ['shapefile', 'padhdr', 'padhdr.shp'],
      ['geojson', 'points', 'points.geojson'],
      ['shapefile', 'poly_utf8', 'one.zip'],
    ]);
  });

  it('puts loose parts together without regard to case, and names them all', () => {
    const files = fixture('shp/padhdr').map((file) => ({ ...file, name: file.name.toUpperCase() }));
    const read = readOne(files.map((file) => (file.name.endsWith('.SHP') ? { ...file, name: 'Padhdr.Shp' } : file)));
    expect(read.name).toBe('Padhdr');
    expect(new Set(read.files)).toEqual(new Set(['Padhdr.Shp', 'PADHDR.DBF', 'PADHDR.PRJ', 'PADHDR.SHX']));
    expect(read.files[0]).toBe('Padhdr.Shp');
  });

  it('two shapefiles stay two', () => {
    const read = value(readFiles([...fixture('shp/padhdr'), ...fixture('shp/longhdr')]));
    expect(read.map((dataset) => dataset.name).sort()).toEqual(['longhdr', 'padhdr']);
  });

  it('indexes and metadata beside a shapefile are told, and no trouble', () => {
    const read = readOne([
      ...fixture('shp/padhdr'),
      textFile('padhdr.shp.xml', '# metadata'),
      textFile('padhdr.sbn', 'x'),
    ]);
    expect(codes(read)).toEqual([]);
    expect(read.reading).toContain('not needed and not read: padhdr.shp.xml, padhdr.sbn');
  });

  it('zips and loose parts of one name do not mix', () => {
    const dbf = fixture('shp/padhdr').filter((file) => file.name.endsWith('.dbf'));
    const rest = fixture('shp/padhdr').filter((file) => !file.name.endsWith('.dbf'));
    const result = readFiles([{ name: 'a.zip', bytes: zipFiles(rest) }, ...dbf]);
    expect(codes(result)).toEqual(['stop file-part-alone', 'caution shp-no-dbf'].reverse());
  });
});

describe('what is not read', () => {
  it.each([
    ['tif/wgs84_f32.tif', 'file-raster'],
    ['tiles/z0-z1.pmtiles', 'file-tiles'],
    ['isoxml/TASKDATA.XML', 'file-task-data'],
  ])('%s: %s', (path, code) => {
    const result = readFiles(fixture(path));
    expect(codes(result)).toEqual([`stop ${code}`]);
    expect(result.problems[0]?.at?.file).toBe(fixture(path)[0]?.name);
    expect(result.problems[0]?.remedy).toContain('GeoJSON');
  });

  it.each([
    ['a raster under another name', 'lab.csv', 'II*\0aaaa', 'file-raster'],
    ['a PDF', 'lab.pdf', '%PDF-1.4', 'file-document'],
    ['a web page', 'lab.csv', '<!DOCTYPE html><html></html>', 'file-document'],
    ['a map of another kind', 'a.kml', '<?xml version="1.0"?><kml></kml>', 'file-other-map'],
    ['a packed archive', 'a.7z', 'x', 'file-archive'],
    ['an older workbook by its ending', 'lab.xls', 'x', 'file-workbook'],
    ['a workbook by its ending alone', 'lab.xlsx', 'x', 'xlsx-kind'],
    ['an ending nobody knows', 'lab.qqq', 'x', 'file-unknown'],
    ['no ending', 'lab', 'x', 'file-unknown'],
    ['nothing in it', 'lab.csv', '', 'file-empty'],
    ['a .dbf alone', 'lab.dbf', 'x', 'file-part-alone'],
    ['XML', 'a.xml', '<a/>', 'file-xml'],
  ])('%s', (_, name, text, code) => {
    const result = readFiles([textFile(name, text)]);
    expect(codes(result)).toEqual([`stop ${code}`]);
    expect(result.problems[0]?.at?.file).toBe(name);
    expect(result.problems[0]?.remedy).not.toBe('');
  });

  it('a workbook of another kind is known by its content, whatever it is called', () => {
    const workbook = zipFiles([textFile('[Content_Types].xml', '<a/>'), textFile('xl/workbook.bin', 'a')]);
    expect(codes(readFiles([{ name: 'lab.csv', bytes: workbook }]))).toEqual(['stop file-workbook']);
  });

  it('a zip in a zip, and a zip with nothing in it', () => {
    const inner = { name: 'inner.zip', bytes: zipFiles([lab]) };
    expect(codes(readFiles([{ name: 'a.zip', bytes: zipFiles([inner]) }]))).toEqual(['stop file-archive']);
    expect(codes(readFiles([{ name: 'a.zip', bytes: zipFiles([]) }]))).toEqual(['stop zip-nothing']);
  });

  it('no file at all', () => {
    expect(codes(readFiles([]))).toEqual(['stop file-none']);
  });
});

describe('good files beside bad ones', () => {
  it('come through: a kind that is not read is a caution then', () => {
    const read = readOne([lab, ...fixture('tif/wgs84_f32.tif'), textFile('letter.txt', 'Dear all\n')]);
    expect(codes(read)).toEqual(['caution file-raster', 'caution csv-one-column']);
  });

  it('come through: a file that was meant to be read and is broken stays a stop', () => {
    const result = readFiles([lab, ...fixture('shp/truncated')]);
    expect(value(result).map((dataset) => dataset.name)).toEqual(['lab']);
    expect(codes(result)).toEqual(['stop shp-truncated']);
  });

  it('one name twice is read once, and told', () => {
    expect(codes(readOne([lab, { ...lab, name: 'LAB.csv' }]))).toEqual(['caution file-twice']);
  });
});
