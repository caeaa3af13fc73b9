import { caution, type Problem } from '../base/problem.ts';
import { M2_PER_ACRE } from '../base/units.ts';
import { cleanPolygons } from '../geo/clean.ts';
import { coverCells } from '../geo/cover.kernel.ts';
import type { FieldGrid } from '../geo/types.ts';
import { type GroundHistory, type GroundSettings, historyIn } from '../soil/history.ts';
import type { ZonesOut } from '../zones/types.ts';

/** What is known of one zone's ground, and how much of it each drawn area covers. */
export interface ZoneGround {
  readonly history: GroundHistory;
  /** Quantities that another part of the zone has otherwise, with the acres of that part. */
  readonly mixed: readonly { readonly what: keyof GroundHistory; readonly ac: number }[];
  /** True where no area is drawn at all: the field's word holds everywhere. */
  readonly fieldWide: boolean;
  /** Share of the zone's ground in each drawn area, 0 to 1, by area id. */
  readonly shares: ReadonlyMap<string, number>;
}

const QUANTITIES = [
  'manure',
  'water',
  'texture',
  'grazed',
  'slope_pct',
  'sampledOn',
  'spreading',
] as const satisfies readonly (keyof GroundHistory)[];

/** Part of a cell that an area must cover for its word to count there. */
const MOST_OF_A_CELL = 0.5;

/**
 * History of each zone by its label, from the field's word and that of drawn areas.
 *
 * A cell has the history of the last area in the list that covers half of its ground or more, else the field's; a zone has, quantity
 * by quantity, what stands on most of its acres (of equals what comes first in cell order). `shares` are areas of ground, not counts of
 * cells, each at most 1. An area whose outline cannot be used is left out with the caution `rates-area-unusable`.
 * Cost: areas x cells. Source: ours.
 */
export function historyOfZones(
  zones: Pick<ZonesOut, 'zones' | 'labels'>,
  grid: FieldGrid,
  ground: GroundSettings,
): { readonly byLabel: ReadonlyMap<number, ZoneGround>; readonly problems: readonly Problem[] } {
  if (ground.areas.length === 0) {
    const common: ZoneGround = { history: ground.history, mixed: [], fieldWide: true, shares: new Map() };
    return { byLabel: new Map(zones.zones.map((zone) => [zone.label, common])), problems: [] };
  }
  const problems: Problem[] = [];
  const { labels } = zones;
  const { cover_m2 } = grid;
  const most = labels.reduce((all, one) => Math.max(all, one), 0) + 1;
  /** Which history each cell has: 0 the field's, else the number of the area in the list from 1. */
  const of = new Uint16Array(labels.length);
  const shared_m2 = new Map<string, Float64Array>();
  ground.areas.forEach((area, index) => {
    const sound = cleanPolygons(area.polygons, { setting: 'ground.areas' });
    if (!sound.ok) {
      problems.push(unusable(area.name, sound.problems));
      return;
    }
    const shared = new Float64Array(most);
    const cover = coverCells(grid.lattice, sound.value).cover_m2;
    for (let cell = 0; cell < labels.length; cell++) {
      const own = cover_m2[cell] ?? 0;
      const under = Math.min(own, cover[cell] ?? 0);
      if (under <= 0) continue;
      if (under >= own * MOST_OF_A_CELL) of[cell] = index + 1;
      const label = labels[cell] ?? 0;
      shared[label] = (shared[label] ?? 0) + under;
    }
    shared_m2.set(area.id, shared);
  });
  const histories = [ground.history, ...ground.areas.map((area) => historyIn(ground.history, area.history))];
  const area_m2 = areasByLabel(labels, of, cover_m2);
  const byLabel = new Map(
    zones.zones.map(({ label }): [number, ZoneGround] => {
      const own = area_m2.get(label) ?? new Map<number, number>();
      const whole_m2 = [...own.values()].reduce((all, one) => all + one, 0);
      const shares = new Map(
        [...shared_m2].map(([id, shared]) => [id, whole_m2 > 0 ? Math.min(1, (shared[label] ?? 0) / whole_m2) : 0]),
      );
      return [label, { ...mostOf(histories, own), fieldWide: false, shares }];
    }),
  );
  return { byLabel, problems };
}

/** Ground of each label by the history that its cells have. */
function areasByLabel(
  labels: Int16Array,
  of: Uint16Array,
  cover_m2: Float64Array,
): ReadonlyMap<number, ReadonlyMap<number, number>> {
  const byLabel = new Map<number, Map<number, number>>();
  for (let cell = 0; cell < labels.length; cell++) {
    const label = labels[cell] ?? 0;
    if (label === 0) continue;
    const areas = byLabel.get(label) ?? new Map<number, number>();
    areas.set(of[cell] ?? 0, (areas.get(of[cell] ?? 0) ?? 0) + (cover_m2[cell] ?? 0));
    byLabel.set(label, areas);
  }
  return byLabel;
}

/** Quantity by quantity what stands on most of the ground. */
function mostOf(
  histories: readonly GroundHistory[],
  area_m2: ReadonlyMap<number, number>,
): Pick<ZoneGround, 'history' | 'mixed'> {
  const mixed: { what: keyof GroundHistory; ac: number }[] = [];
  const pick = <Q extends keyof GroundHistory>(what: Q): GroundHistory[Q] => {
    const areas = new Map<GroundHistory[Q], number>();
    for (const [index, area] of area_m2) {
      const history = histories[index];
      if (history) areas.set(history[what], (areas.get(history[what]) ?? 0) + area);
    }
    const [most, ...others] = [...areas].sort((a, b) => b[1] - a[1]);
    const rest = others.reduce((all, [, area]) => all + area, 0);
    if (rest > 0) mixed.push({ what, ac: rest / M2_PER_ACRE });
    return most ? most[0] : (histories[0] ?? fieldOnly())[what];
  };
  const history: GroundHistory = {
    manure: pick('manure'),
    water: pick('water'),
    texture: pick('texture'),
    grazed: pick('grazed'),
    slope_pct: pick('slope_pct'),
    sampledOn: pick('sampledOn'),
    spreading: pick('spreading'),
  };
  return { history, mixed: mixed.sort((a, b) => QUANTITIES.indexOf(a.what) - QUANTITIES.indexOf(b.what)) };
}

function fieldOnly(): never {
  throw new Error('the field has no history');
}

const unusable = (name: string, why: readonly Problem[]): Problem => ({
  ...caution(
    'rates-area-unusable',
    `The drawn area "${name}" cannot be used: ${why.find((one) => one.severity === 'stop')?.message ?? 'its outline encloses no ground.'}`,
    'Draw it again, or take it out.',
    { setting: 'ground.areas' },
  ),
  stage: 'rates',
});

/** Share of a zone where something named by zones and drawn areas counts, 0 to 1; overlapping areas count once at most. */
export function shareWhere(
  where: { readonly zoneKeys: readonly string[]; readonly areaIds: readonly string[] } | null,
  zoneKey: string,
  shares: ReadonlyMap<string, number>,
): number {
  if (where === null || where.zoneKeys.includes(zoneKey)) return 1;
  const sum = where.areaIds.reduce((all, id) => all + (shares.get(id) ?? 0), 0);
  return Math.min(1, sum);
}
