import { describe, expect, it } from 'vitest';
import { groupFiles, nameFrom, partsOf } from '../../renderer/store/intake.ts';

const file = (name: string, size = 10) => ({ name, bytes: new Uint8Array(size) });

describe('groups of dropped files', () => {
  it('takes the parts of a loose shapefile together', () => {
    const groups = groupFiles([file('North.shp', 100), file('north.dbf'), file('lab.csv'), file('North.PRJ')]);
    expect(groups).toEqual([
      { label: 'North.shp with .dbf .PRJ', names: ['North.shp', 'north.dbf', 'North.PRJ'], size: 120 },
      { label: 'lab.csv', names: ['lab.csv'], size: 10 },
    ]);
  });

  it('loses no file', () => {
    const files = ['a.shp', 'a.shx', 'b.zip', 'c.geojson', 'a.csv', 'A.dbf'].map((name) => file(name));
    const names = groupFiles(files).flatMap((group) => group.names);
    expect(names.sort()).toEqual(files.map((one) => one.name).sort());
  });
});

describe('what a file is for', () => {
  const roles = { 'book.xlsx': 'several', 'lab.csv': 'samples', 'notes.txt': 'unused' } as const;
  const parts = { 'book.xlsx': ['points', 'samples'] } as const;
  it.each([
    ['book.xlsx', ['points', 'samples']],
    ['lab.csv', ['samples']],
    ['notes.txt', []],
    ['unheard.of', []],
  ])('%s', (name, expected) => expect(partsOf({ roles, parts }, name)).toEqual(expected));
});

describe('name of a plan', () => {
  it.each([
    ['north_40_boundary.zip', 'North 40'],
    ['boundary.zip', 'New field'],
    ['Müller-Acker.geojson', 'Müller Acker'],
    [undefined, 'New field'],
  ])('out of %s', (name, expected) => expect(nameFrom(name)).toBe(expected));
});
