import { fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { M2_PER_ACRE } from '../base/units.ts';
import { burnPolygons } from '../geo/burn.ts';
import { intersection, union } from '../geo/clip.ts';
import { coverCells } from '../geo/cover.kernel.ts';
import type { FieldGrid, MultiPolygon } from '../geo/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { type Classified, UNCOVERED, UNKNOWN_KEY, type ZoneClass } from './classify.ts';

/**
 * Zones as the composite samples were taken: a cell belongs to the polygon that covers most of it.
 *
 * The key is `s` and the sample's id, made safe; the name is the id. Ground that no polygon reaches is `unknown`, and so is a
 * cell beside it of which the polygons leave more than half bare. Elsewhere a cell counts as covered though only a part of it
 * is, so outlines that end some metres inside the boundary, or gaps thinner than a cell, leave no rim without a rate; the
 * acres that got a reading that way are told. Stop: `zones-no-composites`. Notes: `zones-composite-gap`,
 * `zones-composite-outside`.
 */
export function compositeCells(grid: FieldGrid, soil: SoilOut, ground: MultiPolygon): Result<Classified> {
  const composites = soil.samples.filter((sample) => sample.polygons !== undefined);
  if (composites.length === 0) {
    const message = 'The samples are points: there are no zone composites to take as zones.';
    return fail(stop('zones-no-composites', message, 'Make zones by classes.', { setting: 'zones.method' }));
  }
  const problems: Problem[] = [];
  const shapes = composites.map((sample) => intersection(sample.polygons ?? [], ground));
  const burnt = burnPolygons(grid.lattice, shapes, (cell) => coverOf(grid, cell) > 0);
  const outside = composites.filter((_, index) => !burnt.includes(index + 1)).map((sample) => sample.id);
  if (outside.length > 0) {
    const message = `No ground of this field lies under composite ${outside.join(', ')}.`;
    problems.push(note('zones-composite-outside', message, 'Check that it belongs to this field.'));
  }

  const covered_m2 = coverCells(grid.lattice, union(shapes.flat(), [])).cover_m2;
  const unknown = composites.length + 1;
  let gap_m2 = 0;
  const labels = burnt.map((number, cell) => {
    const bare_m2 = coverOf(grid, cell) - (covered_m2[cell] ?? 0);
    if (coverOf(grid, cell) <= 0) return 0;
    if (number === 0) return unknown;
    if (bare_m2 > coverOf(grid, cell) / 2 && isBesideBare(grid, burnt, cell)) return unknown;
    gap_m2 += Math.max(0, bare_m2);
    return number;
  });
  const gap_ac = gap_m2 / M2_PER_ACRE;
  if (gap_ac > 0.05) {
    const message = `${gap_ac.toFixed(1)} ac lie under no composite but less than a cell from one, and take its reading.`;
    problems.push(
      note('zones-composite-gap', message, 'Check that the composites reach the boundary and one another.'),
    );
  }
  return ok({ labels, classes: classList(composites) }, problems);
}

const coverOf = (grid: FieldGrid, cell: number): number => grid.cover_m2[cell] ?? 0;

/** Whether one of the eight cells around is ground that no shape reaches. */
function isBesideBare(grid: FieldGrid, burnt: Int16Array, cell: number): boolean {
  const { cols } = grid.lattice;
  // Ground never lies in the outermost cells, so the neighbours of one with ground are all on the lattice.
  return [-cols - 1, -cols, -cols + 1, -1, 1, cols - 1, cols, cols + 1].some(
    (step) => burnt[cell + step] === 0 && coverOf(grid, cell + step) > 0,
  );
}

/** Keys of the composites' zones, in their order: `s` and the id, made safe and told apart. */
export function compositeKeys(composites: SoilOut['samples']): readonly string[] {
  const taken = new Set<string>();
  return composites.map((sample, index) => {
    const safe = `s${sample.id.replace(/[^A-Za-z0-9_-]+/g, '_')}`;
    const key = safe === 's' || taken.has(safe) ? `${safe}~${index + 1}` : safe;
    taken.add(key);
    return key;
  });
}

function classList(composites: SoilOut['samples']): readonly ZoneClass[] {
  const keys = compositeKeys(composites);
  const classes = composites.map((sample, index): ZoneClass => {
    const key = keys[index] ?? `s~${index + 1}`;
    return { key, name: sample.id || `composite ${index + 1}`, what: `composite sample ${sample.id || index + 1}` };
  });
  return [...classes, { key: UNKNOWN_KEY, name: UNCOVERED, what: UNCOVERED }];
}
