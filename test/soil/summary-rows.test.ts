import { describe, expect, it } from 'vitest';
import { isSummaryName } from '../../core/soil/ids.ts';
import { readSoil } from '../../core/soil/read.ts';
import { soilSettingsSchema } from '../../core/soil/settings.ts';
import { deepFreeze } from '../freeze.ts';
import { box, table } from './tables.ts';

const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const LINES = [
  'Sample;Date;Lat;Long;K ppm;CEC',
  'a;2024-03-01;42.701;-94.235;182;20',
  'b;2024-03-01;42.702;-94.236;167;21',
];
const AVERAGE = 'Average;;42.7015;-94.2355;174;20.5';
const read = (lines: readonly string[], more: object = {}) =>
  readSoil({
    points: null,
    samples: table('lab', lines),
    boundary: FIELD,
    settings: deepFreeze(soilSettingsSchema.parse(more)),
  });

describe('rows that are summaries or checks', () => {
  it.each(
    'Average;Avg;AVG.;Mean;Std Dev;Std. Dev.;Min;Max;Total;Sum;Median;Mittelwert;moyenne;QC;QC-1;Blank;blank 2;Duplicate;Lab duplicate;check sample;Field avg.;Total acres;Summary;Écart-type'.split(
      ';',
    ),
  )('"%s" is one', (name) => {
    expect(isSummaryName(name)).toBe(true);
  });

  it.each(
    'Max 3;M-1;Mean Creek 4;Sumner 2;Total Farms NW;Minnow;Blanken 3;Check;Control;QCH-1;HQ-01;12;Avg7'.split(';'),
  )('"%s" may be a sample', (name) => {
    expect(isSummaryName(name)).toBe(false);
  });

  it('are set aside with their reason even where they have a place, and make no series of their own', () => {
    const out = read([...LINES, AVERAGE, 'Total acres;;;;156;']);
    if (!out.ok) throw new Error(JSON.stringify(out.problems));
    const { samples, rows, series, read: all, kept, setAside } = out.value;
    expect(samples.map(({ id }) => id)).toEqual(['a', 'b']);
    expect(rows.map(({ reasons }) => reasons.map(({ code }) => code))).toEqual([
      [],
      [],
      ['soil-summary-row'],
      ['soil-summary-row'],
    ]);
    expect([all, kept, setAside, series.length]).toEqual([4, 2, 2, 1]);
    expect(out.problems.map(({ code }) => code)).not.toContain('soil-date-missing');
  });

  it('are known by the first cell too, wherever the id stands', () => {
    const out = read(['Kind;Sample;Lat;Long;K ppm', 'soil;a;42.701;-94.235;182', 'Duplicate;a2;42.702;-94.236;167']);
    expect(out.ok && out.value.samples.map(({ id }) => id)).toEqual(['a']);
  });

  it('are kept by hand, and are no summary where nothing else stands in the file', () => {
    const decision = { file: 'lab.csv', row: 4, keep: true, why: 'a place called so' };
    const byHand = read([...LINES, AVERAGE.replace(';;', ';2024-03-01;')], { decisions: [decision] });
    expect(byHand.ok && byHand.value.samples.map(({ id }) => id)).toEqual(['a', 'b', 'Average']);
    const alone = read(['Sample;K ppm;CEC', 'Average;174;20.5']);
    expect(alone.ok && alone.value.samples.map(({ k_ppm }) => k_ppm)).toEqual([174]);
  });
});
