import { caution, fail, note, ok, type Problem, type Result } from '../base/problem.ts';
import { M2_PER_ACRE, toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import { intersection } from '../geo/clip.ts';
import { outlineLabels } from '../geo/outline.ts';
import { classifyCells, NO_TARGET, UNCOVERED, UNKNOWN_KEY } from './classify.ts';
import { compositeCells, compositeKeys } from './composites.ts';
import { listZones, type ZonesInput } from './list.ts';
import { sieveLabels } from './sieve.kernel.ts';
import type { Zone, ZonesOut } from './types.ts';

export type { ZonesInput } from './list.ts';

/** What is said of ground without a class, by the words of its zone. */
const WHY_UNKNOWN: Readonly<Record<string, { readonly has: string; readonly remedy: string }>> = {
  [NO_TARGET]: {
    has: 'have K and CEC but no target: saturation may not govern where the CEC is overstated (soil pH above 7.3 with Mehlich-3)',
    remedy: 'Let ppm or the larger govern, give the reason under rates, or make zones by another layer.',
  },
  [UNCOVERED]: {
    has: 'lie under no composite',
    remedy: 'Draw the composites to the boundary, or set that ground apart as keep-out.',
  },
};

/** Parts of the ground under this belong to the neighbour. */
const SLIVER_M2 = 1;

/**
 * The zones of a field: every cell with ground gets a class (`classifyCells`, or `compositeCells` as the settings say), parts
 * under `least_ac` join a neighbour (`sieveLabels`; composites stay as they were taken), and the labels are outlined up to the
 * true boundary (`outlineLabels`). So the zones share out the spreadable ground: their acres, those of their polygons, sum to it
 * to 1e-6. Ground without a reading is a zone of its own, key `unknown`, which neither gives nor takes ground.
 *
 * Labels count from 1 in class order, letters likewise; only zones that have ground are listed. Problems: those of the two classifiers; caution `zones-unknown-ground`, notes `zones-small-part`, `zones-composite-acres`.
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
    const why = WHY_UNKNOWN[unknown.what] ?? {
      has: 'have no reading',
      remedy: 'Add samples there, or take that ground out of the boundary.',
    };
    const message = `${unknown.acres.toFixed(1)} ac ${why.has}; they are zone ${unknown.letter}, and no rate is given there.`;
    const { remedy } = why;
    problems.push(caution('zones-unknown-ground', message, remedy, { zone: unknown.letter }));
  }
  if (!byClasses) problems.push(...otherAcres(input, zones));
  const spreadable_m2 = cover_m2.reduce((sum, cover) => sum + cover, 0);
  return ok(
    { labels, zones, sieved_ac: sieved.moved_m2 / M2_PER_ACRE, spreadable_ac: spreadable_m2 / M2_PER_ACRE },
    problems,
  );
}

/** A composite whose zone is planned on more than 1 % more or less ground than its outline has inside the field, with both figures. */
function otherAcres({ soil, ground }: ZonesInput, zones: readonly Zone[]): readonly Problem[] {
  const composites = soil.samples.filter(({ polygons }) => polygons !== undefined);
  const keys = compositeKeys(composites);
  return composites.flatMap(({ id, polygons }, index) => {
    const key = keys[index];
    const zone = zones.find((one) => one.key === key);
    if (!zone) return [];
    const drawn_ac = toAcres(area_m2(intersection(polygons ?? [], ground)));
    if (Math.abs(zone.acres - drawn_ac) <= 0.01 * drawn_ac) return [];
    const message = `Composite ${id} is planned on ${zone.acres.toFixed(2)} ac; drawn, ${drawn_ac.toFixed(2)} ac of it lie in the field.`;
    const remedy =
      'Nothing to do if the ground between composites is meant to go with them; else correct the outlines.';
    return [note('zones-composite-acres', message, remedy, { zone: zone.letter })];
  });
}
