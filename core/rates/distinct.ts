/** One zone's rate in a pass, as the grouping sees it. */
export interface Groupable {
  readonly key: string;
  readonly acres: number;
  /** Above 0. */
  readonly rate_lbPerAc: number;
  /** Most that the zone may get in this pass. */
  readonly most_lbPerAc: number;
  /** True for a rate that may not be changed, such as one typed by hand. */
  readonly fixed: boolean;
}

/** Rates of a pass with no more different ones than the controller takes. */
export interface Grouped {
  readonly rates: ReadonlyMap<string, number>;
  /** Sum of acres x |change|, lb. */
  readonly changed_lb: number;
}

const HAIR = 1e-9;

/** The rate that a group of neighbours takes, and the acres x |change| that costs. */
interface Group {
  readonly rate: number;
  readonly lost: number;
}
/** Least loss of the rates up to and with an index in so many groups, and how the last of them is cut. */
interface Cut extends Group {
  readonly from: number;
}

/**
 * Puts zones of nearly the same rate together until a pass has at most `most` different rates above 0, with the least acres x |change|.
 *
 * Exact over all groupings of neighbouring rates: the different rates in order are cut into at most `most` groups by dynamic programming, each group
 * taking that one of its own rates which changes least (of equals the lowest; of equal groupings the one with fewer groups, then
 * whose last group begins lowest). No zone passes its most and no fixed rate moves. Null where fixed rates alone are more than
 * `most`, so that nothing fits. Cost: about the cube of the different rates. Source: ours; ordered values cut into groups by dynamic
 * programming as in Fisher 1958, Journal of the American Statistical Association 53:789-798, there for squares.
 */
export function groupRates(zones: readonly Groupable[], most: number): Grouped | null {
  const rates = [...new Set(zones.map((zone) => zone.rate_lbPerAc))].sort((a, b) => a - b);
  const members = rates.map((rate) => zones.filter((zone) => zone.rate_lbPerAc === rate));
  if (rates.length <= most)
    return { rates: new Map(zones.map((zone) => [zone.key, zone.rate_lbPerAc])), changed_lb: 0 };

  const known = new Map<number, Group | null>();
  const group = (from: number, to: number): Group | null => {
    const at = from * rates.length + to;
    const before = known.get(at);
    if (before !== undefined) return before;
    const found = best(from, to);
    known.set(at, found);
    return found;
  };
  const best = (from: number, to: number): Group | null => {
    const inside = members.slice(from, to + 1).flat();
    const held = Math.min(...inside.map((zone) => zone.most_lbPerAc));
    let least: Group | null = null;
    for (const rate of rates.slice(from, to + 1)) {
      if (rate > held + HAIR || inside.some((zone) => zone.fixed && zone.rate_lbPerAc !== rate)) continue;
      const lost = inside.reduce((all, zone) => all + zone.acres * Math.abs(zone.rate_lbPerAc - rate), 0);
      if (least === null || lost < least.lost - HAIR) least = { rate, lost };
    }
    return least;
  };
  const table: (Cut | null)[][] = [];
  for (let count = 1; count <= most; count++) {
    const row: (Cut | null)[] = rates.map((_, to) => {
      let least: Cut | null = null;
      for (let from = count - 1; from <= to; from++) {
        const before = count === 1 ? (from === 0 ? 0 : null) : (table[count - 2]?.[from - 1]?.lost ?? null);
        if (before === null) continue;
        const last = group(from, to);
        if (last === null) continue;
        const lost = before + last.lost;
        if (least === null || lost < least.lost - HAIR) least = { lost, from, rate: last.rate };
      }
      return least;
    });
    table.push(row);
  }
  const last = rates.length - 1;
  let count = 0;
  for (let tried = 1; tried <= most; tried++) {
    const lost = table[tried - 1]?.[last]?.lost;
    const least = count === 0 ? Infinity : (table[count - 1]?.[last]?.lost ?? Infinity);
    if (lost !== undefined && lost < least - HAIR) count = tried;
  }
  if (count === 0) return null;
  const changed_lb = table[count - 1]?.[last]?.lost ?? 0;
  const out = new Map<string, number>();
  for (let to = last; count > 0; count--) {
    const cut = table[count - 1]?.[to];
    if (!cut) throw new Error('a grouping lost its way back');
    for (const zone of members.slice(cut.from, to + 1).flat()) out.set(zone.key, cut.rate);
    to = cut.from - 1;
  }
  return { rates: out, changed_lb };
}
