import { caution, fail, note, ok, type Problem, type Result } from '../base/problem.ts';
import { M2_PER_ACRE, toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import { intersection } from '../geo/clip.ts';
import { outlineLabels } from '../geo/outline.ts';
import { layerValues } from '../layers/layer.ts';
import { balanceOf } from './balance.ts';
import { type Classified, classifyCells, NO_TARGET, UNCOVERED, UNKNOWN_KEY } from './classify.ts';
import { clusterCells } from './clusters.ts';
import { compositeCells, compositeKeys } from './composites.ts';
import { applyEdits } from './edits.ts';
import { varianceExplained } from './explained.ts';
import { listZones, type ZonesInput } from './list.ts';
import { openLabels } from './open.kernel.ts';
import { NO_POLYGON, polygonCells } from './polygons.ts';
import { withoutZone } from './roles.ts';
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
  [NO_POLYGON]: {
    has: 'lie under no polygon',
    remedy: 'Say which zone that ground goes to, or draw one there.',
  },
};

/** Parts of the ground under this belong to the neighbour. */
const SLIVER_M2 = 1;

/** Leftovers of changes by hand under this, or under `least_ac` where that is less, go to a neighbour. Ours: about a square of 45 m. */
const LEFTOVER_AC = 0.5;

/**
 * The zones of a field: every cell with ground gets a class (by limits of a layer, clusters, polygons or composites, as the settings say), parts
 * under `least_ac` join a neighbour (`sieveLabels`; polygons and composites stay as they were taken), parts narrower than `open_m` are opened away
 * (`openLabels`), changes by hand follow in their order (`applyEdits`), and the labels are outlined up to the true boundary (`outlineLabels`). The
 * raster of labels is the truth, so the zones always share out the spreadable ground: their acres, those of their polygons, sum to it
 * to 1e-6. Ground without a reading is a zone of its own, key `unknown`, which neither gives nor takes ground but by hand.
 *
 * Labels count from 1 in class order, letters likewise; only zones that have ground are listed. Problems: those of the classifiers and of `applyEdits`;
 * `zones-role-no-zone` and `zones-name-no-zone` (told of a key that no zone has; of a keep-out a stop), caution `zones-unknown-ground`, notes `zones-small-part`, `zones-edit-leftovers`, `zones-composite-acres`.
 */
export function makeZones(input: ZonesInput): Result<ZonesOut> {
  const { surfaces, settings, ground } = input;
  const { lattice, cover_m2 } = surfaces.grid;
  const made = settings.method === 'classes' || settings.method === 'clusters';
  const classified = classed(input);
  if (!classified.ok) return fail(...classified.problems);
  const problems: Problem[] = [...classified.problems];
  const unknownLabel = classified.value.classes.findIndex(({ key }) => key === UNKNOWN_KEY) + 1;

  // Parts under a square metre would be lost in the outline; what was drawn elsewhere is sieved to that only.
  const least_m2 = Math.max(SLIVER_M2, made ? settings.least_ac * M2_PER_ACRE : 0);
  const sieved = sieveLabels(classified.value.labels, lattice.cols, cover_m2, least_m2, unknownLabel, joinsBy(input));
  if (sieved.lonely > 0 && made && settings.least_ac > 0) {
    const parts = sieved.lonely === 1 ? '1 part' : `${sieved.lonely} parts`;
    const message = `${parts} under ${settings.least_ac} ac stayed: no other zone lies beside.`;
    problems.push(note('zones-small-part', message, 'Nothing to do, or leave that ground out of the boundary.'));
  }
  const opened =
    settings.open_m === null
      ? { labels: sieved.labels, moved_m2: 0 }
      : openLabels(
          sieved.labels,
          lattice.cols,
          cover_m2,
          settings.open_m / surfaces.grid.cell_m,
          classified.value.classes.length,
          unknownLabel,
        );
  const edited = applyEdits(
    { labels: opened.labels, classes: classified.value.classes },
    surfaces.grid,
    settings.edits,
    Math.min(settings.least_ac, LEFTOVER_AC) * M2_PER_ACRE,
  );
  problems.push(...edited.problems);
  if (edited.leftover_m2 > 0) {
    const acres = (edited.leftover_m2 / M2_PER_ACRE).toFixed(2);
    const message = `${acres} ac that changes by hand left over, in parts under ${LEFTOVER_AC} ac, went to a neighbour.`;
    problems.push(note('zones-edit-leftovers', message, 'Nothing to do, or paint that ground back.'));
  }
  const slivers = { least_m2: SLIVER_M2, still: unknownLabel };
  const outlines = outlineLabels(edited.labels, lattice, ground, settings.smooth, slivers);
  const { labels, zones } = listZones(input, edited.labels, edited.classes, outlines);

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
  if (settings.method === 'composites' && settings.edits.length === 0) problems.push(...otherAcres(input, zones));
  problems.push(...withoutZone(settings, zones));
  const spreadable_m2 = cover_m2.reduce((sum, cover) => sum + cover, 0);
  return ok(
    {
      labels,
      zones,
      sieved_ac: sieved.moved_m2 / M2_PER_ACRE,
      opened_ac: opened.moved_m2 / M2_PER_ACRE,
      polygonColumns: settings.method === 'polygons' ? (input.polygons?.columns ?? []) : [],
      breaks: classified.value.breaks ?? null,
      explained: varianceExplained(zones),
      balance: balanceOf(surfaces, input.targets),
      spreadable_ac: spreadable_m2 / M2_PER_ACRE,
    },
    problems,
  );
}

function classed({ surfaces, settings, soil, ground, targets, polygons }: ZonesInput): Result<Classified> {
  if (settings.method === 'classes') return classifyCells(surfaces, settings, targets);
  if (settings.method === 'clusters') return clusterCells(surfaces, settings);
  if (settings.method === 'polygons') return polygonCells(surfaces.grid, polygons, settings, ground);
  return compositeCells(surfaces.grid, soil, ground);
}

/** The layer whose means say which neighbour is nearest; null where the longest border decides. */
function joinsBy({ surfaces, settings }: ZonesInput): Float64Array | null {
  if (settings.joins === 'longest border') return null;
  const [first] = settings.clusters.layers;
  const layer = settings.method === 'clusters' ? first : settings.by.layer;
  return layer === undefined ? null : layerValues(surfaces, layer);
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
