import { describe, expect, it } from 'vitest';
import type { Dataset } from '../../core/formats/types.ts';
import { dayOrders, readDay } from '../../core/soil/day.ts';
import { depthInId } from '../../core/soil/ids.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import { deepFreeze } from '../freeze.ts';
import { box, point, shapes, table } from './tables.ts';

const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const POINTS = shapes(
  'points',
  ['ID'],
  [
    [point(-94.235, 42.701), 'HQ-01'],
    [point(-94.236, 42.702), 'HQ-02'],
  ],
);
const read = (samples: Dataset, more: object = {}) =>
  readSoil({ points: POINTS, samples, boundary: FIELD, settings: deepFreeze(soilSettingsSchema.parse(more)) });
const remedyOf = (samples: Dataset) =>
  read(samples).problems.find(({ code }) => code === 'soil-duplicate')?.remedy ?? '';

describe('rows of one sample id', () => {
  it('the later of two days in one year is used, and the other says so', () => {
    const lab = table('lab', [
      'Sample;Date;K ppm',
      'HQ-01;03/04/2024;91',
      'HQ-01;28/10/2024;182',
      'HQ-02;28/10/2024;90',
      'HQ-02;03/04/2024;80',
    ]);
    const out = read(lab);
    if (!out.ok) throw new Error(JSON.stringify(out.problems));
    expect(out.value.samples.map(({ id, k_ppm }) => [id, k_ppm])).toEqual([
      ['HQ-01', 182],
      ['HQ-02', 90],
    ]);
    expect(out.problems.find(({ code }) => code === 'soil-earlier-date')?.message).toBe(
      'The test is of 03/04/2024; row 3 is of the same sample on 28/10/2024, later in the year, and is used.',
    );
    const decisions = [{ file: 'lab.csv', row: 2, keep: true, why: 'the right one' }];
    const byHand = read(lab, { decisions });
    expect(byHand.ok && byHand.value.samples[0]?.k_ppm).toBe(91);
  });

  it('two days that could be read both ways decide nothing', () => {
    const lab = table('lab', [
      'Sample;Date;K ppm',
      'HQ-01;03/04/2024;91',
      'HQ-01;04/03/2024;182',
      'HQ-02;03/04/2024;90',
    ]);
    expect(read(lab).problems.filter(({ code }) => code === 'soil-duplicate')).toHaveLength(2);
  });

  it('days are read in each order that a whole column allows', () => {
    expect(dayOrders(['28/10/2024', '03/04/2024'])).toEqual(['day first']);
    expect(dayOrders(['3/4/2024', null])).toEqual(['day first', 'month first']);
    expect(
      ['2024-03-04', '20240304', '4 Mar 2024', 'Mar 4, 24', 45355, '4.3.2024'].map((c) => readDay(c, 'month first')),
    ).toEqual(Array.from({ length: 6 }, () => 20_240_304));
    expect(['Fall 2021', '2024', 'soon', null].map((cell) => readDay(cell, 'day first'))).toEqual([
      null,
      null,
      null,
      null,
    ]);
  });

  it('a column that tells them apart is named with the option that says what it is', () => {
    const rows = ['HQ-01;Fall 2021;91', 'HQ-01;Spring 2024;182', 'HQ-02;Fall 2021;80', 'HQ-02;Spring 2024;90'];
    expect(remedyOf(table('lab', ['Sample;Season;K ppm', ...rows]))).toContain('--column "Season=date"');
    const told = read(table('lab', ['Sample;Season;K ppm', ...rows]), {
      sampleColumns: [
        { column: 'Sample', is: 'sampleId', unit: 'none' },
        { column: 'Season', is: 'date', unit: 'none' },
        { column: 'K ppm', is: 'k', unit: 'ppm' },
      ],
    });
    expect(told.ok && told.value.samples.map(({ k_ppm }) => k_ppm)).toEqual([182, 90]);
    const named = rows.map((row) => row.replace('Fall 2021', 'Ap').replace('Spring 2024', 'B'));
    expect(remedyOf(table('lab', ['Sample;Horizon;K ppm', ...named]))).toContain(
      '"Horizon" tells them apart: leave the rows',
    );
    const plain = rows.map((row) => row.replace('Fall 2021', 'x').replace('Spring 2024', 'x'));
    expect(remedyOf(table('lab', ['Sample;Season;K ppm', ...plain]))).toContain('keep the right row by hand');
  });

  it('ids that differ by a depth at one place are not averaged', () => {
    const place = '42.701;-94.235';
    const lab = table('lab', [
      'Sample;Lat;Long;K ppm',
      `A 0-6;${place};182`,
      `A 6-12;${place};91`,
      'B 0-6;42.702;-94.236;90',
    ]);
    const settings = deepFreeze(soilSettingsSchema.parse({}));
    const out = readSoil({ points: null, samples: lab, boundary: FIELD, settings });
    expect(out.ok && out.value.samples.map(({ id }) => id)).toEqual(['B 0-6']);
    expect(out.problems.filter(({ code }) => code === 'soil-depth-in-id')).toHaveLength(2);
  });

  it('ids that end in a depth are told what to do with it', () => {
    expect(['HQ-01 0-6', '12 (6-12 in)', 'HQ-01', 'A 12-6', 'HQ 01-02', '2021-0-6'].map((id) => depthInId(id))).toEqual(
      [{ id: 'HQ-01', depth: '0-6' }, { id: '12', depth: '6-12 in' }, null, null, null, null],
    );
    const out = read(table('lab', ['Sample;K ppm', 'HQ-01 0-6;182', 'HQ-01 6-12;91', 'HQ-02 0-6;90', 'HQ-02 6-12;45']));
    expect(out.problems.find(({ code }) => code === 'soil-no-join')?.remedy).toBe(
      'The depth stands in the id, as in "HQ-01 0-6": put it in a column of its own, called Depth (0-6), and leave "HQ-01" as the id.',
    );
  });
});
