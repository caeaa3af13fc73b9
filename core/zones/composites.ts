import { caution, fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { M2_PER_ACRE, toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import { burnPolygons } from '../geo/burn.ts';
import { difference, intersection, union } from '../geo/clip.ts';
import type { FieldGrid, MultiPolygon } from '../geo/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { type Classified, UNKNOWN_KEY, UNKNOWN_NAME, type ZoneClass } from './classify.ts';

/**
 * Zones as the composite samples were taken: a cell belongs to the polygon that covers most of it.
 *
 * The key is `s` and the sample's id, made safe; the name is the id. Ground that no polygon reaches is `unknown`. A cell that a
 * polygon covers in part is its own, so outlines that end some metres inside the boundary leave no rim; the acres that got a
 * reading that way are told. Stop: `zones-no-composites`. Caution: `zones-composite-gap`. Note: `zones-composite-outside`.
 */
export function compositeCells(grid: FieldGrid, soil: SoilOut, ground: MultiPolygon): Result<Classified> {
  const composites = soil.samples.filter((sample) => sample.polygons !== undefined);
  if (composites.length === 0) {
    const message = 'The samples are points: there are no zone composites to take as zones.';
    return fail(stop('zones-no-composites', message, 'Make zones by classes.', { setting: 'zones.method' }));
  }
  const problems: Problem[] = [];
  const shapes = composites.map((sample) => intersection(sample.polygons ?? [], ground));
  const labels = burnPolygons(grid.lattice, shapes, (cell) => (grid.cover_m2[cell] ?? 0) > 0);
  const unknown = composites.length + 1;
  let unknown_m2 = 0;
  labels.forEach((label, cell) => {
    const cover_m2 = grid.cover_m2[cell] ?? 0;
    if (label !== 0 || cover_m2 <= 0) return;
    labels[cell] = unknown;
    unknown_m2 += cover_m2;
  });

  const outside = composites.filter((_, index) => !labels.includes(index + 1)).map((sample) => sample.id);
  if (outside.length > 0) {
    const one = outside.length === 1;
    const message = `${one ? 'Composite' : 'Composites'} ${outside.join(', ')} ${one ? 'has' : 'have'} no ground on this field.`;
    problems.push(note('zones-composite-outside', message, 'Check that they belong to this field.'));
  }
  const gap_ac = toAcres(area_m2(difference(ground, union(shapes.flat(), [])))) - unknown_m2 / M2_PER_ACRE;
  if (gap_ac > 0.05) {
    problems.push(
      caution(
        'zones-composite-gap',
        `${gap_ac.toFixed(1)} ac lie under no composite but less than a cell from one, and take its reading.`,
        'Check that the outlines of the composites reach the boundary.',
      ),
    );
  }
  return ok({ labels, classes: classList(composites) }, problems);
}

function classList(composites: SoilOut['samples']): readonly ZoneClass[] {
  const taken = new Set<string>();
  const classes = composites.map((sample, index): ZoneClass => {
    const safe = `s${sample.id.replace(/[^A-Za-z0-9_-]+/g, '_')}`;
    const key = safe === 's' || taken.has(safe) ? `${safe}~${index + 1}` : safe;
    taken.add(key);
    return { key, name: sample.id || `composite ${index + 1}`, what: `composite sample ${sample.id || index + 1}` };
  });
  return [...classes, { key: UNKNOWN_KEY, name: UNKNOWN_NAME, what: UNKNOWN_NAME }];
}
