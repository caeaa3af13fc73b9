import { caution, fail, note, ok, type Problem, type Result } from '../base/problem.ts';
import { M2_PER_ACRE } from '../base/units.ts';
import { outlineLabels } from '../geo/outline.ts';
import { classifyCells, UNKNOWN_KEY } from './classify.ts';
import { compositeCells } from './composites.ts';
import { listZones, type ZonesInput } from './list.ts';
import { sieveLabels } from './sieve.kernel.ts';
import type { ZonesOut } from './types.ts';

export type { ZonesInput } from './list.ts';

/** Parts of the ground under this belong to the neighbour. */
const SLIVER_M2 = 1;

/**
 * The zones of a field: every cell with ground gets a class (`classifyCells`, or `compositeCells` as the settings say), parts
 * under `least_ac` join a neighbour (`sieveLabels`; composites stay as they were taken), and the labels are outlined up to the
 * true boundary (`outlineLabels`). So the zones share out the spreadable ground: their acres, those of their polygons, sum to it
 * to 1e-6. Ground without a reading is a zone of its own, key `unknown`, which neither gives nor takes ground.
 *
 * Labels count from 1 in class order, letters likewise; only zones that have ground are listed. Problems: those of the two classifiers; caution `zones-unknown-ground`, note `zones-small-part`.
 */
export function makeZones(input: ZonesInput): Result<ZonesOut> {
  const { surfaces, settings, ground } = input;
  const { lattice, cover_m2 } = surfaces.grid;
  const byClasses = settings.method === 'classes';
  const classified = byClasses ? classifyCells(surfaces, settings) : compositeCells(surfaces.grid, input.soil, ground);
  if (!classified.ok) return fail(...classified.problems);
  const problems: Problem[] = [...classified.problems];
  const { classes } = classified.value;

  // Parts under a square metre would be lost in the outline; composites are sieved to that only.
  const least_m2 = Math.max(SLIVER_M2, byClasses ? settings.least_ac * M2_PER_ACRE : 0);
  const sieved = sieveLabels(classified.value.labels, lattice.cols, cover_m2, least_m2, classes.length);
  if (sieved.lonely > 0 && byClasses && settings.least_ac > 0) {
    const parts = sieved.lonely === 1 ? '1 part' : `${sieved.lonely} parts`;
    const message = `${parts} under ${settings.least_ac} ac stayed: no other zone lies beside.`;
    problems.push(note('zones-small-part', message, 'Nothing to do, or leave that ground out of the boundary.'));
  }
  const slivers = { least_m2: SLIVER_M2, still: classes.length };
  const outlines = outlineLabels(sieved.labels, lattice, ground, settings.smooth, slivers);
  const { labels, zones } = listZones(input, sieved.labels, classes, outlines);

  const unknown = zones.find(({ key }) => key === UNKNOWN_KEY);
  if (unknown) {
    const message = `${unknown.acres.toFixed(1)} ac have no reading; they are zone ${unknown.letter}, and no rate is given there.`;
    const remedy = 'Add samples there, or take that ground out of the boundary.';
    problems.push(caution('zones-unknown-ground', message, remedy, { zone: unknown.letter }));
  }
  const spreadable_m2 = cover_m2.reduce((sum, cover) => sum + cover, 0);
  return ok(
    { labels, zones, sieved_ac: sieved.moved_m2 / M2_PER_ACRE, spreadable_ac: spreadable_m2 / M2_PER_ACRE },
    problems,
  );
}
