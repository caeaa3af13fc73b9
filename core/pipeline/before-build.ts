import { type Problem, stop } from '../base/problem.ts';
import { makeFieldGrid } from '../geo/lattice.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { LEAST_SAMPLES } from '../surfaces/groups.ts';
import type { SurfacesSettings } from '../surfaces/settings.ts';

/**
 * The stops that a run would come to right after its inputs are read, without working anything out: too few point samples for a surface
 * (`surfaces-few-samples`), and those of the lattice (`makeFieldGrid`). Whoever judges the inputs alone asks here, so that inputs that
 * pass can be built on. Cost: the cells of the field.
 */
export function stopsBeforeBuild(
  soil: SoilOut,
  ground: MultiPolygon,
  settings: Pick<SurfacesSettings, 'cell_m'>,
): readonly Problem[] {
  const grid = makeFieldGrid(ground, settings.cell_m);
  const stops = grid.problems.filter(({ severity }) => severity === 'stop');
  if (soil.kind === 'composites' || soil.samples.length >= LEAST_SAMPLES) return stops;
  const { length } = soil.samples;
  return [
    ...stops,
    stop(
      'surfaces-few-samples',
      `${length === 1 ? 'One sample is' : `${length} samples are`} too few for a surface; it takes ${LEAST_SAMPLES}.`,
      'Add samples, keep rows that were set aside, or give the values on zone polygons.',
    ),
  ];
}
