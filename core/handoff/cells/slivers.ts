import type { Border } from './rim.kernel.ts';

/** A neighbour in the sliver's own row is taken where it shares at least this part of the longest border. Ours. */
const OWN_ROW_SHARE = 0.5;

export interface Joined {
  /** The part that each part belongs to; its own number where it stands for itself. */
  readonly root: Int32Array;
  /** Parts that were joined to another. */
  readonly joined: readonly number[];
}

/**
 * Gives parts under `least_m2` to a neighbour, smallest first: the one they share most edge with, or the one of their own row with most
 * edge if that is at least half as long. So a sliver goes where the machine already drives, unless that would make a strip of slivers.
 * A corner alone joins nothing; a part without neighbours stays. What was joined can be joined on, until nothing small has a neighbour. Ours.
 */
export function joinSlivers(
  areas_m2: readonly number[],
  rows: readonly number[],
  borders: readonly Border[],
  least_m2: number,
): Joined {
  const root = Int32Array.from(areas_m2, (_, part) => part);
  const area_m2 = Float64Array.from(areas_m2);
  const beside: Map<number, number>[] = areas_m2.map(() => new Map());
  for (const { a, b, length_m } of borders) {
    beside[a]?.set(b, length_m);
    beside[b]?.set(a, length_m);
  }
  const joined: number[] = [];
  for (let changed = true; changed; ) {
    changed = false;
    const small = areas_m2
      .map((_, part) => part)
      .filter((part) => root[part] === part && (area_m2[part] ?? 0) < least_m2)
      .sort((a, b) => (area_m2[a] ?? 0) - (area_m2[b] ?? 0) || a - b);
    for (const part of small) {
      if ((area_m2[part] ?? 0) >= least_m2) continue;
      const host = hostOf(part, beside[part] ?? new Map(), rows);
      if (host < 0) continue;
      root[part] = host;
      joined.push(part);
      area_m2[host] = (area_m2[host] ?? 0) + (area_m2[part] ?? 0);
      const hosts = beside[host];
      hosts?.delete(part);
      for (const [other, length_m] of beside[part] ?? []) {
        beside[other]?.delete(part);
        if (other === host) continue;
        const sum_m = (hosts?.get(other) ?? 0) + length_m;
        hosts?.set(other, sum_m);
        beside[other]?.set(host, sum_m);
      }
      changed = true;
    }
  }
  for (let part = 0; part < root.length; part++) {
    let top = part;
    while (root[top] !== top) top = root[top] ?? top;
    root[part] = top;
  }
  return { root, joined };
}

function hostOf(part: number, beside: ReadonlyMap<number, number>, rows: readonly number[]): number {
  let host = -1;
  let most_m = 0;
  let own = -1;
  let ownMost_m = 0;
  for (const [other, length_m] of [...beside].sort(([a], [b]) => a - b)) {
    if (length_m > most_m) {
      most_m = length_m;
      host = other;
    }
    if (rows[other] === rows[part] && length_m > ownMost_m) {
      ownMost_m = length_m;
      own = other;
    }
  }
  return own >= 0 && ownMost_m >= OWN_ROW_SHARE * most_m ? own : host;
}
