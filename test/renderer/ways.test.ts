import { describe, expect, it } from 'vitest';
import { type SurfacesSettings, surfacesSettingsSchema } from '../../core/surfaces/settings.ts';
import { wayOf } from '../../core/surfaces/ways.ts';
import { idFor } from '../../renderer/commands/rasters.ts';
import { hasOwnWay, patchWay, setOwnWay } from '../../renderer/store/ways.ts';
import { deepFreeze } from '../freeze.ts';

const common: SurfacesSettings = deepFreeze(surfacesSettingsSchema.parse({ power: 2, neighbours: 12, radius_m: 400 }));
const own: SurfacesSettings = deepFreeze({ ...common, ways: { ca_ppm: { power: 3, radius_m: null } } });

describe('ways of quantities', () => {
  it('follow the common settings but for what they say themselves; no limit is a radius too', () => {
    expect(wayOf(own, 'k_ppm')).toEqual({ power: 2, neighbours: 12, radius_m: 400 });
    expect(wayOf(own, 'ca_ppm')).toEqual({ power: 3, neighbours: 12, radius_m: null });
  });

  it('a change goes to the quantity alone where it has its own way, else to all', () => {
    const forAll = { ...common, ...patchWay(common, 'ca_ppm', { power: 1 }) };
    expect([wayOf(forAll, 'k_ppm').power, wayOf(forAll, 'ca_ppm').power]).toEqual([1, 1]);
    const forOne = { ...own, ...patchWay(own, 'ca_ppm', { power: 1 }) };
    expect([wayOf(forOne, 'k_ppm').power, wayOf(forOne, 'ca_ppm').power]).toEqual([2, 1]);
    expect(wayOf(forOne, 'ca_ppm').radius_m).toBeNull();
  });

  it('an own way starts where the common one is, and is let go of whole', () => {
    const alone = { ...common, ...setOwnWay(common, 'ph', true) };
    expect(hasOwnWay(alone, 'ph')).toBe(true);
    expect(wayOf(alone, 'ph')).toEqual(wayOf(common, 'ph'));
    expect({ ...alone, ...setOwnWay(alone, 'ph', false) }).toEqual(common);
  });
});

describe('ids of layers', () => {
  it('are made of the name, and told apart', () => {
    expect(idFor('Field elevation (m)', [])).toBe('field-elevation-m');
    expect(idFor('Elevation', [{ id: 'elevation' }, { id: 'elevation-2' }])).toBe('elevation-3');
    expect(idFor('ÄÖ', [])).toBe('layer');
    expect(idFor('x'.repeat(200), [{ id: 'x'.repeat(32) }])).toMatch(/^[a-z0-9-]{1,40}$/);
  });
});
