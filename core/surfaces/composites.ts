import { caution, type Problem } from '../base/problem.ts';
import { burnPolygons } from '../geo/burn.ts';
import type { FieldGrid } from '../geo/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { acresWhere } from './coverage.ts';
import { derive } from './derive.ts';
import { MEASURED, measuredIds } from './measured.ts';
import type { SurfacesSettings } from './settings.ts';
import type { LayerId, SurfacesOut } from './types.ts';

/**
 * Surfaces of zone composites: each value constant over its polygons, nothing across them; one composite may be the whole field. A cell has the
 * composite that shares most ground with it; NaN under none (`surfaces-uncovered`; the zones tell the acres, so that one figure stands). No error
 * can be told, since nothing is predicted: errors, scans and residuals are empty, and no ground is outside the samples.
 */
export function compositeSurfaces(
  soil: SoilOut,
  grid: FieldGrid,
  settings: Pick<SurfacesSettings, 'saturation'>,
): { readonly value: SurfacesOut; readonly problems: readonly Problem[] } {
  const { lattice, cover_m2 } = grid;
  const wanted = (cell: number): boolean => (cover_m2[cell] ?? 0) > 0;
  const { samples } = soil;
  const under = burnPolygons(
    lattice,
    samples.map((sample) => sample.polygons ?? []),
    wanted,
  );
  const layers: Partial<Record<LayerId, Float64Array>> = {};
  for (const layer of measuredIds(settings)) {
    const values = samples.map(MEASURED[layer]);
    if (values.every(Number.isNaN)) continue;
    layers[layer] = Float64Array.from(under, (number) => values[number - 1] ?? Number.NaN);
  }
  derive(layers, soil.factors);
  const nearest_m = Float32Array.from(under, (number, cell) =>
    number > 0 ? 0 : wanted(cell) ? Number.POSITIVE_INFINITY : Number.NaN,
  );
  const far_ac = acresWhere(grid, (cell) => under[cell] === 0);
  const value: SurfacesOut = {
    grid,
    layers,
    own: [],
    errors: {},
    scans: {},
    residuals: {},
    density: {
      samples: samples.length,
      acresPerSample: acresWhere(grid, () => true) / samples.length,
      farthest: null,
    },
    nearest_m,
    far_ac,
    outsideHull: new Uint8Array(cover_m2.length),
    outsideHull_ac: 0,
    method:
      samples.length === 1
        ? 'one composite, constant in its ground'
        : `zone composites, constant in each of ${samples.length}`,
    methods: {},
  };
  return { value, problems: far_ac < 0.005 ? [] : [uncovered()] };
}

const uncovered = (): Problem =>
  caution(
    'surfaces-uncovered',
    'Part of the field lies under no zone of the soil test; the zones tell how many acres.',
    'Draw the zones to the boundary, or set this ground apart as keep-out; no rate is given there.',
  );
