import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Camera, fitBox, lngPerPx, project, unproject } from '../../renderer/map/camera.ts';

const camera: Camera = { centre: [-94.22, 42.7], zoom: 15, width: 1000, height: 700 };

describe('the map camera', () => {
  it('has the whole world on 512 px at zoom 0, and its centre in the middle of the view', () => {
    const world: Camera = { centre: [0, 0], zoom: 0, width: 512, height: 512 };
    expect(project(world, [180, 0])[0]).toBeCloseTo(512, 9);
    expect(project(world, [-180, 0])[0]).toBeCloseTo(0, 9);
    expect(project(camera, camera.centre)).toEqual([500, 350]);
  });

  it('ends the Mercator square at 85.051129 degrees', () => {
    // atan(sinh(pi)); Snyder, USGS PP 1395, eq. 7-4 at y = pi.
    expect(
      project({ ...camera, centre: [0, 0], zoom: 0, width: 512, height: 512 }, [0, 85.0511287798066])[1],
    ).toBeCloseTo(0, 7);
  });

  it('finds every place again', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -30, max: 1030, noNaN: true }),
        fc.double({ min: -30, max: 730, noNaN: true }),
        fc.double({ min: 3, max: 20, noNaN: true }),
        (x, y, zoom) => {
          const view = { ...camera, zoom };
          const back = project(view, unproject(view, [x, y]));
          expect(back[0]).toBeCloseTo(x, 3);
          expect(back[1]).toBeCloseTo(y, 3);
        },
      ),
    );
  });

  it('fits a box inside its margins, touching two of them', () => {
    const margins = { top: 62, bottom: 92, left: 44, right: 56 };
    fc.assert(
      fc.property(
        fc.double({ min: 0.001, max: 0.05, noNaN: true }),
        fc.double({ min: 0.001, max: 0.05, noNaN: true }),
        fc.integer({ min: 300, max: 2000 }),
        fc.integer({ min: 300, max: 1200 }),
        (w, h, width, height) => {
          const box = { west: -94.2, south: 42.7, east: -94.2 + w, north: 42.7 + h };
          const view: Camera = { ...fitBox(box, width, height, margins), width, height };
          const [left, top] = project(view, [box.west, box.north]);
          const [right, bottom] = project(view, [box.east, box.south]);
          const gaps = [left - 44, top - 62, width - 56 - right, height - 92 - bottom];
          expect(Math.min(...gaps)).toBeGreaterThan(-1e-3);
          expect(gaps[0]).toBeCloseTo(gaps[2] ?? Number.NaN, 2);
          expect(gaps[1]).toBeCloseTo(gaps[3] ?? Number.NaN, 2);
          expect(Math.min(gaps[0] ?? 1, gaps[1] ?? 1)).toBeLessThan(1e-2);
        },
      ),
    );
  });

  it('halves the degrees of a pixel with every level', () => {
    expect(lngPerPx({ ...camera, zoom: 16 }) * 2).toBe(lngPerPx(camera));
    expect(lngPerPx({ ...camera, zoom: 0 })).toBe(360 / 512);
  });
});
