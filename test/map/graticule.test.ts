import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Camera, unproject } from '../../renderer/map/camera.ts';
import { degreeText, graticule, scaleBar } from '../../renderer/map/graticule.ts';

const camera: Camera = { centre: [-94.2285, 42.7072], zoom: 15.2, width: 1000, height: 730 };
const named = { from: 76, to: 614 };

describe('graticule', () => {
  it('names degrees, minutes and seconds', () => {
    expect(degreeText(42 * 3600 + 42 * 60 + 30)).toBe('42°42′30″');
    expect(degreeText(-(33 * 3600 + 5))).toBe('33°00′05″ S');
  });

  it('puts crosses on whole seconds, ten apart at the scale of a quarter section', () => {
    const { crosses } = graticule(camera, () => false, named);
    expect(crosses.length).toBeGreaterThan(10);
    for (const at of crosses) {
      for (const degrees of unproject(camera, at))
        expect(Math.abs(degrees * 360 - Math.round(degrees * 360))).toBeLessThan(1e-4);
    }
  });

  it('leaves out what the field covers, and names latitudes only between captions and legend', () => {
    const all = graticule(camera, () => false, named);
    const east = graticule(camera, ([lng]) => lng < camera.centre[0], named);
    expect(east.crosses).toEqual(all.crosses.filter(([x]) => x >= 500));
    // 10 seconds are 309 m and some 220 px at this scale, so three of them stand between 76 and 614.
    expect(all.latitudes.map((one) => one.name)).toEqual(['42°42′20″', '42°42′30″', '42°42′40″']);
    for (const { y } of all.latitudes) expect(y > named.from && y < named.to).toBe(true);
  });
});

describe('scale bar', () => {
  it('is the longest round length that fits', () => {
    expect(scaleBar(1.27, 'US', 150)).toEqual({ length: 500, unit: 'ft', length_px: (500 * 0.3048) / 1.27 });
    expect(scaleBar(1.27, 'metric', 150)).toEqual({ length: 100, unit: 'm', length_px: 100 / 1.27 });
  });

  it('never passes its room', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 5000, noNaN: true }),
        fc.constantFrom('US' as const, 'metric' as const),
        (m, units) => {
          const bar = scaleBar(m, units, 150);
          expect(bar.length_px).toBeLessThanOrEqual(150);
          expect(bar.length_px).toBeGreaterThan(150 / 5.4);
        },
      ),
    );
  });
});
