import type { Draft, LabDraft } from './drafts.ts';
import { looseId } from './ids.ts';
import type { SoilSettings } from './settings.ts';
import type { NearMiss } from './types.ts';

/** Ids offered for one that found no partner. */
const OFFERED = 3;
/** Pairs of ids compared letter by letter; beyond it only equal numbers are looked for. */
const MOST_PAIRS = 4_000_000;

/**
 * Ids of the lab that found no point, and of points that no row names, each with up to three of the other side that look alike, nearest
 * first. `rows` are those in use. Only ids without a partner are offered, and nothing is joined.
 *
 * Alike are: the same id but for case, spaces, dashes and leading zeros, and then nothing else; the same number behind another prefix (`HQ-07` and `7`), two letters exchanged, and one letter more, less or other
 * (optimal string alignment, Boytsov 2011), two in ids of eight letters and more. An id that is but for case and zeros that of a row with a point
 * is offered nothing: it is that sample once more (`joinPoints` says so).
 */
export function nearMissesOf(rows: readonly LabDraft[], points: readonly Draft[]): readonly NearMiss[] {
  // An id that another row has but for case or zeros is no misspelt other one.
  const joined = new Set(rows.flatMap((row) => (row.point === null ? [] : [looseId(points[row.point]?.id ?? '')])));
  const lab = lost(rows.filter((row) => row.point === null && row.id !== '' && !joined.has(looseId(row.id))));
  const named = new Set(rows.flatMap((row) => (row.point === null ? [] : [row.point])));
  const unnamed = lost(
    points.filter((point, index) => !named.has(index) && point.id !== '' && point.decision?.keep !== false),
  );
  const byLetters = lab.length * unnamed.length <= MOST_PAIRS;
  const of = (one: Lost, others: readonly Lost[], from: NearMiss['from']): NearMiss => ({
    id: one.id,
    row: one.row,
    from,
    alike: alikeOf(one, others, byLetters),
  });
  return [...lab.map((one) => of(one, unnamed, 'lab')), ...unnamed.map((one) => of(one, lab, 'points'))].filter(
    (miss) => miss.alike.length > 0,
  );
}

/**
 * Pairs to join by `soil.sameIds`, where each of the two is the only one that looks like the other: what a person may take over in one go.
 */
export function pairsOf(misses: readonly NearMiss[]): SoilSettings['sameIds'] {
  const points = new Map(misses.filter((miss) => miss.from === 'points').map((miss) => [miss.id, miss.alike]));
  return misses.flatMap(({ id, from, alike }) => {
    const [point] = alike;
    const back = point === undefined ? [] : (points.get(point) ?? []);
    return from === 'lab' && point !== undefined && alike.length === 1 && back.length === 1 && back[0] === id
      ? [{ lab: id, point }]
      : [];
  });
}

interface Lost {
  readonly id: string;
  readonly row: number;
  readonly loose: string;
  readonly number: string;
}

function lost(drafts: readonly Draft[]): readonly Lost[] {
  const once = new Map<string, Draft>();
  for (const draft of drafts) if (!once.has(draft.id)) once.set(draft.id, draft);
  return [...once.values()].map((draft): Lost => {
    const loose = looseId(draft.id);
    return { id: draft.id, row: draft.record.row, loose, number: /\d+$/.exec(loose)?.[0] ?? '' };
  });
}

function alikeOf(one: Lost, others: readonly Lost[], byLetters: boolean): readonly string[] {
  const near: { id: string; rank: number }[] = [];
  for (const other of others) {
    if (one.loose === other.loose) near.push({ id: other.id, rank: 0 });
    // One of the two has a prefix that the other leaves out or writes differently.
    else if (one.number !== '' && one.number === other.number) near.push({ id: other.id, rank: 1 });
    else if (byLetters) {
      const most = Math.min(one.loose.length, other.loose.length) >= 8 ? 2 : 1;
      if (Math.min(one.loose.length, other.loose.length) < 2 || Math.abs(one.loose.length - other.loose.length) > most)
        continue;
      const apart = distance(one.loose, other.loose);
      if (apart <= most) near.push({ id: other.id, rank: apart });
    }
  }
  const same = near.filter(({ rank }) => rank === 0);
  return (same.length > 0 ? same : near)
    .sort((a, b) => a.rank - b.rank || (a.id < b.id ? -1 : 1))
    .slice(0, OFFERED)
    .map(({ id }) => id);
}

/**
 * Letters to change, put in, take out or exchange with their neighbour to turn one text into the other: optimal string alignment
 * distance. Cost: product of the lengths.
 */
export function distance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        least = Math.min(least, (before[j - 2] ?? 0) + 1);
      row.push(least);
    }
    before = last;
    last = row;
  }
  return last[b.length] ?? 0;
}
