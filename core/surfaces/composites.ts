import { caution, type Problem } from '../base/problem.ts';
import { M2_PER_ACRE } from '../base/units.ts';
import { burnPolygons } from '../geo/burn.ts';
import type { FieldGrid } from '../geo/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { derive } from './derive.ts';
import { MEASURED, MEASURED_LAYERS } from './measured.ts';
import type { LayerId, SurfacesOut } from './types.ts';

/**
 * Surfaces of zone composites: each value constant over its polygons, nothing across them. A cell has the composite that shares most
 * ground with it; NaN under none (`surfaces-uncovered`; the zones tell the acres, so that one figure stands). No error can be told, since nothing is predicted.
 */
export function compositeSurfaces(
  soil: SoilOut,
  grid: FieldGrid,
): { readonly value: SurfacesOut; readonly problems: readonly Problem[] } {
  const { lattice, cover_m2 } = grid;
  const wanted = (cell: number): boolean => (cover_m2[cell] ?? 0) > 0;
  const under = burnPolygons(
    lattice,
    soil.samples.map((sample) => sample.polygons ?? []),
    wanted,
  );
  const layers: Partial<Record<LayerId, Float64Array>> = {};
  for (const layer of MEASURED_LAYERS) {
    const values = soil.samples.map(MEASURED[layer]);
    if (values.every(Number.isNaN)) continue;
    layers[layer] = Float64Array.from(under, (number) => values[number - 1] ?? Number.NaN);
  }
  derive(layers, soil.factors);
  let bare_m2 = 0;
  const nearest_m = Float32Array.from(under, (number, cell) => {
    if (number > 0) return 0;
    if (!wanted(cell)) return Number.NaN;
    bare_m2 += cover_m2[cell] ?? 0;
    return Number.POSITIVE_INFINITY;
  });
  const far_ac = bare_m2 / M2_PER_ACRE;
  const problems =
    far_ac < 0.005
      ? []
      : [
          caution(
            'surfaces-uncovered',
            'Part of the field lies under no zone of the soil test; the zones tell how many acres.',
            'Draw the zones to the boundary, or set this ground apart as keep-out; no rate is given there.',
          ),
        ];
  return {
    value: {
      grid,
      layers,
      errors: {},
      nearest_m,
      far_ac,
      method: `zone composites, constant in each of ${soil.samples.length}`,
    },
    problems,
  };
}
