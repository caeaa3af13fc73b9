import { caution, type Problem } from '../base/problem.ts';
import { cleanPolygons } from '../geo/clean.ts';
import { coverCells } from '../geo/cover.kernel.ts';
import type { FieldGrid, LngLat, MultiPolygon } from '../geo/types.ts';
import { UNKNOWN_KEY, type ZoneClass } from './classify.ts';
import { cutCells, joinLeftovers, paintCells } from './edits.kernel.ts';
import { HAND_KEY, type ZoneEdit } from './settings.ts';

/** Labels and what they are, as they are changed. */
export interface Edited {
  readonly labels: Int16Array;
  readonly classes: readonly ZoneClass[];
  readonly problems: readonly Problem[];
  /** Square metres of leftovers that went to a neighbour. */
  readonly leftover_m2: number;
}

/** Key of the zone that a draw or a cut makes. */
export const handKey = (id: string): string => `${HAND_KEY}${id}`;

/**
 * Changes by hand, one after the other, on the raster of labels: so zones stay a partition whatever is done. Cells without ground are never
 * changed; a cell belongs to a drawn polygon that covers half of it or more. An edit that names a zone which is not there, or that would change
 * nothing, is left out with a caution that says so, and nothing else is lost: it may come back with other settings. What a drawn zone or a brush
 * leaves of another zone goes to a neighbour where it was parted from that zone and is under `leftover_m2` (`joinLeftovers`): no sliver stays beside
 * a line drawn by hand. A cut means both its sides, however small.
 *
 * Problems: `zones-edit-lost` (its zone is not there), `zones-edit-nothing` (it changed no cell), `zones-cut-short` (the line does not go right across),
 * and those of cleaning a polygon. Cost: cells about the line, or under the polygon's box; a cut looks at all cells.
 */
export function applyEdits(
  start: { readonly labels: Int16Array; readonly classes: readonly ZoneClass[] },
  grid: FieldGrid,
  edits: readonly ZoneEdit[],
  leftover_m2: number,
): Edited {
  const labels = start.labels.slice();
  const classes = [...start.classes];
  const problems: Problem[] = [];
  const still = labelOf(classes, UNKNOWN_KEY);
  let moved_m2 = 0;
  edits.forEach((edit, index) => {
    const before = edit.does === 'draw' || edit.does === 'paint' ? labels.slice() : null;
    const problem = applyEdit(edit, labels, classes, grid);
    if (before) moved_m2 += joinLeftovers(before, labels, grid.lattice.cols, grid.cover_m2, leftover_m2, still);
    problems.push(...problem.map((one) => ({ ...one, at: { ...one.at, setting: `zones.edits.${index}` } })));
  });
  return { labels, classes, problems, leftover_m2: moved_m2 };
}

function applyEdit(edit: ZoneEdit, labels: Int16Array, classes: ZoneClass[], grid: FieldGrid): readonly Problem[] {
  if (edit.does === 'draw') return draw(edit, labels, classes, grid);
  if (edit.does === 'cut') return cut(edit, labels, classes, grid);
  if (edit.does === 'join') return join(edit, labels, classes);
  const into = labelOf(classes, edit.into);
  if (into === 0) return [lost('paint', edit.into)];
  const { lattice, frame } = grid;
  const changed = paintCells(labels, lattice.cols, cellsOf(edit.line, grid), {
    into,
    half_m: edit.width_m / 2,
    cellX_m: lattice.dLng_deg * frame.mPerDegLng,
    cellY_m: lattice.dLat_deg * frame.mPerDegLat,
  });
  return changed === 0 ? [nothing('The brush changed no cell.')] : [];
}

type Of<D extends ZoneEdit['does']> = Extract<ZoneEdit, { does: D }>;

function draw(edit: Of<'draw'>, labels: Int16Array, classes: ZoneClass[], grid: FieldGrid): readonly Problem[] {
  const cleaned = cleanPolygons([edit.rings], {});
  if (!cleaned.ok) return cleaned.problems.map((problem): Problem => ({ ...problem, severity: 'caution' }));
  const { lattice, cover_m2 } = grid;
  const share = coverCells(lattice, cleaned.value satisfies MultiPolygon).cover_m2;
  const name = `drawn ${edit.id}`;
  const own = labelFor(classes, { key: handKey(edit.id), name: 'drawn by hand', what: name });
  let changed = 0;
  for (let cell = 0; cell < labels.length; cell++) {
    if (labels[cell] === 0 || (share[cell] ?? 0) < (cover_m2[cell] ?? 0) / 2 || (share[cell] ?? 0) === 0) continue;
    if (labels[cell] === own) continue;
    labels[cell] = own;
    changed++;
  }
  return changed === 0 ? [nothing('The drawn zone covers half of no cell of the field.')] : [];
}

function cut(edit: Of<'cut'>, labels: Int16Array, classes: ZoneClass[], grid: FieldGrid): readonly Problem[] {
  const zone = labelOf(classes, edit.zone);
  if (zone === 0) return [lost('cut', edit.zone)];
  const parent = classes[zone - 1];
  const next = classes.length + 1;
  const pieces = cutCells(labels, grid.lattice.cols, grid.cover_m2, cellsOf(edit.line, grid), zone, next);
  if (pieces === 0)
    return [
      caution(
        'zones-cut-short',
        'The line does not divide the zone, so nothing was cut.',
        'Draw it right across the zone, from edge to edge.',
      ),
    ];
  const name = parent ? `part of ${parent.name}` : 'cut off';
  classes.push({ key: handKey(edit.id), name, what: parent ? `cut off ${parent.what}` : name });
  return [];
}

function join(edit: Of<'join'>, labels: Int16Array, classes: readonly ZoneClass[]): readonly Problem[] {
  const into = labelOf(classes, edit.into);
  if (into === 0) return [lost('join', edit.into)];
  const problems: Problem[] = [];
  const from = new Set<number>();
  for (const key of edit.zones) {
    const label = labelOf(classes, key);
    if (label === 0) problems.push(lost('join', key));
    else if (label !== into) from.add(label);
  }
  let changed = 0;
  for (let cell = 0; cell < labels.length; cell++) {
    if (!from.has(labels[cell] ?? 0)) continue;
    labels[cell] = into;
    changed++;
  }
  return changed === 0 && problems.length === 0 ? [nothing('The zones joined hold no ground of their own.')] : problems;
}

const labelOf = (classes: readonly ZoneClass[], key: string): number => classes.findIndex((one) => one.key === key) + 1;

/** The label of a class, which is put at the end of the list where it is new. */
function labelFor(classes: ZoneClass[], one: ZoneClass): number {
  const known = labelOf(classes, one.key);
  return known > 0 ? known : classes.push(one);
}

/** Positions in cells from the lattice's south-west corner. */
const cellsOf = (line: readonly (readonly [number, number])[], { lattice }: FieldGrid): Float64Array =>
  Float64Array.from(
    line.flatMap(([lng, lat]: LngLat) => [
      (lng - lattice.west_deg) / lattice.dLng_deg,
      (lat - lattice.south_deg) / lattice.dLat_deg,
    ]),
  );

const lost = (what: string, key: string): Problem =>
  caution(
    'zones-edit-lost',
    `A ${what} by hand names zone ${key === UNKNOWN_KEY ? 'without a class' : key}, which is not there now; it was left out.`,
    'Take the edit back, or bring back the settings it was made with.',
  );

const nothing = (message: string): Problem =>
  caution('zones-edit-nothing', message, 'Take the edit back, or draw it on the field.');
