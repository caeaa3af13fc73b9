import { expect, it } from 'vitest';
import { M2_PER_ACRE } from '../../core/base/units.ts';
import { readPrescription } from '../../core/handoff/back/read.ts';
import { openedOnMap } from '../../renderer/map/opened.ts';
import { paintDifference } from '../../renderer/map/painted.ts';
import { colourOf, DIFFERENCE_RAMP, RAMPS } from '../../renderer/map/ramps.ts';
import { openedRateAt } from '../../renderer/store/opened.ts';
import { deepFreeze } from '../freeze.ts';
import { geoJson, square } from '../handoff/back/files.ts';

const read = readPrescription(
  [
    geoJson([
      { polygons: square(-93, 42), values: { rate: 0, unit: 'lb/ac' } },
      { polygons: square(-92.999, 42), values: { rate: 220, unit: 'lb/ac' } },
      { polygons: square(-92.998, 42), values: { rate: 230, unit: 'lb/ac' } },
      { polygons: square(-92.997, 42), values: { rate: null, unit: 'lb/ac' } },
    ]),
  ],
  {},
);
if (!read.ok) throw new Error('not read');
const opened = deepFreeze(read.value);

it('draws a file by the colours of its rates, and ground without a rate apart', () => {
  const map = openedOnMap(opened, null);
  expect(map.fills.features.map(({ properties }) => properties.colour)).toEqual(['#FFFFFF', '#fec44f']);
  expect(map.unrated.features.length).toBe(1);
  expect(map.labels.map(({ rate_lbPerAc }) => rate_lbPerAc)).toEqual([0, 220, 230]);
  const { classes, zero, unknown } = map.areas;
  const all_m2 = classes.reduce((sum, one) => sum + one, zero + unknown);
  expect(all_m2 / M2_PER_ACRE).toBeCloseTo(opened.acres, 9);
  expect(unknown / M2_PER_ACRE).toBeCloseTo(opened.unrated_ac, 9);
});

it('classes a rate as it was before it went to kg/ha and back', () => {
  // 50 lb/ac is 56.0426 kg/ha (definitions of pound and acre); its file has 56.04, which is 49.998 lb/ac.
  const metric = readPrescription([geoJson([{ polygons: square(-93, 42), values: { rate: 56.04, unit: 'kg/ha' } }])]);
  if (!metric.ok) throw new Error('not read');
  expect(metric.value.rates[0]?.rate_lbPerAc).toBeLessThan(50);
  expect(openedOnMap(metric.value, null).fills.features[0]?.properties.colour).toBe(colourOf(RAMPS.rate, 50));
});

it('hatches ground of the plan that no record has', () => {
  const picture = paintDifference({
    lattice: { west_deg: -93, south_deg: 42, dLng_deg: 0.001, dLat_deg: 0.001, cols: 3, rows: 1 },
    difference_lbPerAc: Float32Array.of(-104, 0, Number.NaN),
    ground_m2: Float64Array.of(9000, 9000, 0),
  });
  // A pixel a point, each in its own colour: none between them.
  const pixels = [0, 1, 2].map((x) => [...picture.rgba.slice(x * 4, x * 4 + 4)]);
  const ink = (rate: number): number[] => [
    ...[1, 3, 5].map((at) => Number.parseInt((colourOf(DIFFERENCE_RAMP, rate) ?? '').slice(at, at + 2), 16)),
    255,
  ];
  expect(pixels).toEqual([ink(-104), ink(0), [0, 0, 0, 0]]);
  const map = openedOnMap(opened, { picture, planOnly: square(-92.9, 42) });
  expect(map.less).toBe(picture);
  expect(map.unrated.features[0]?.geometry.coordinates.length).toBe(2);
});

it('reads the rate of a place from the file itself', () => {
  expect(openedRateAt(opened, [-92.9985, 42.0005])).toBe(220);
  expect(openedRateAt(opened, [-92.9965, 42.0005])).toBeNaN();
  expect(openedRateAt(opened, [-92.5, 42.0005])).toBeNull();
});
