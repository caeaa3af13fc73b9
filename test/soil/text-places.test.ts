import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { makeSoil } from '../../core/pipeline/soil-stage.ts';
import { type StartInput, startPlan } from '../../core/plan/start.ts';
import { pairColumn, placedByText } from '../../core/soil/text-places.ts';
import { box, table } from './tables.ts';

const FIELD = box(-94.24, 42.7, -94.23, 42.708);
const file = (name: string, text: string) => ({ name, bytes: encodeUtf8(text) });
const boundary = file('field.geojson', JSON.stringify({ type: 'MultiPolygon', coordinates: FIELD }));
function soilOf(lines: readonly string[], extra: Partial<StartInput> = {}) {
  const out = startPlan({ name: 'F', boundary: [boundary], samples: [file('lab.csv', lines.join('\n'))], ...extra });
  if (!out.ok) throw new Error(JSON.stringify(out.problems));
  return makeSoil(out.value, FIELD);
}

describe('both coordinates in one column', () => {
  it.each([
    ['"42.703076, -94.235968"', '"42.704016, -94.234764"', 'latitude'],
    ['POINT (-94.235968 42.703076)', 'POINT Z (-94.234764 42.704016 310)', 'longitude'],
  ])('%s is read', (a, b, first) => {
    const soil = soilOf(['Sample,Location,K ppm,CEC', `a,${a},182,20`, `b,${b},167,21`]);
    expect(soil.ok && soil.value.samples.map(({ id, at }) => [id, at])).toEqual([
      ['a', [-94.235968, 42.703076]],
      ['b', [-94.234764, 42.704016]],
    ]);
    expect(soil.ok && soil.value.reading.join('\n')).toContain(`places are read from "Location", the ${first} first`);
  });

  it('is refused with what to do where nothing tells the order, and read once the heading does', () => {
    const rows = ['a;52.103, 5.301;182', 'b;52.104, 5.302;167'];
    const unknown = soilOf(['Sample;Place;K ppm', ...rows]);
    const stop = unknown.problems.find(({ code }) => code === 'soil-no-places');
    expect(stop?.message).toContain('"Place" of lab.csv holds both coordinates, as "52.103, 5.301"');
    expect(stop?.remedy).toContain('"Lat, Long"');
    expect(pairColumn(table('lab', ['Sample;Lat, Long;K ppm', ...rows]))?.at[0]).toEqual([5.301, 52.103]);
    expect(pairColumn(table('lab', ['Sample;Long/Lat;K ppm', ...rows]))?.at[0]).toEqual([52.103, 5.301]);
  });

  it('other tables stay as they are', () => {
    const plain = table('lab', ['Sample;Lat;Long;Note;K ppm', 'a;42.703;-94.235;1.5, 2.5;182']);
    expect(placedByText(plain)).toBe(plain);
    const whole = table('lab', ['Sample;Range;K ppm', 'a;0 6;182']);
    expect(placedByText(whole)).toBe(whole);
  });
});

describe('what cannot be placed', () => {
  it('is told the forms that are read', () => {
    const soil = soilOf([
      'Sample,Lat,Long,K ppm',
      'a,42:42:11,-94:14:10,182',
      'b,42.704,-94.235,167',
      'c,42.705,-94.236,160',
    ]);
    const found = soil.problems.find(({ code }) => code === 'soil-no-place');
    expect(found?.message).toBe('The row cannot be placed: its coordinates "42:42:11" and "-94:14:10" are no numbers.');
    expect(found?.remedy).toBe(
      'Type latitude and longitude as 42.7059 and -94.2241, as 42°42\'21"N, or as N 42 42 21.',
    );
    const typed = ['a,42.7059,-94.2341,182', `b,42°42'21"N,94°14'2"W,167`, 'c,N 42 42 21,W 94 14 2,160'];
    const read = soilOf(['Sample;Lat;Long;K ppm', ...typed.map((row) => row.replaceAll(',', ';'))]);
    expect(read.ok && read.value.samples.length).toBe(2);
    expect(read.problems.map(({ code }) => code)).not.toContain('soil-no-place');
  });

  it('one composite beside points is told how it stands for the whole field', () => {
    const points = file('points.csv', 'ID,Lat,Long\nHQ-01,42.703,-94.235\nHQ-02,42.704,-94.236');
    for (const header of ['Field,K ppm', 'Sample,K ppm']) {
      const soil = soilOf([header, 'Home quarter,171'], { points: [points] });
      expect(soil.problems.find(({ severity }) => severity === 'stop')?.remedy).toContain(
        'start-plan without --points',
      );
    }
    const alone = soilOf(['Field,K ppm', 'Home quarter,171']);
    expect(alone.ok && alone.value.reading.join()).toContain('stands for the whole field');
  });
});
