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
  /** True for ground that is better left without than raised: where no rate under its own is kept it gets 0, which is no rate to set. */
  readonly mayLeave?: boolean;
}

/** Rates of a pass with no more different ones than the controller takes. */
export interface Grouped {
  readonly rates: ReadonlyMap<string, number>;
  /** Sum of acres x |change|, lb. */
  readonly changed_lb: number;
}

const HAIR = 1e-9;

/** The loss of all zones up to a kept rate, and the index of the kept rate before it; -1 where it is the first. */
interface Kept {
  readonly lost: number;
  readonly before: number;
}

/**
 * Puts zones of nearly the same rate together until a pass has at most `most` different rates above 0, with the least acres x |change|.
 *
 * Exact over all choices of present rates that are kept: every zone takes the nearest kept rate that it may have (of two as near the lower),
 * which lies beside its own, so the choice is found by dynamic programming over the rates in order; of equal choices the one with fewer rates. No zone
 * passes its most, and a fixed rate is kept. Ground that `mayLeave` gets 0 where every kept rate is above its own. Null where no choice holds
 * all of this. Cost: about the cube of the different rates. Source: ours; ordered values cut into groups by dynamic
 * programming as in Fisher 1958, Journal of the American Statistical Association 53:789-798, there for squares.
 */
export function groupRates(zones: readonly Groupable[], most: number): Grouped | null {
  const rates = [...new Set(zones.map((zone) => zone.rate_lbPerAc))].sort((a, b) => a - b);
  if (rates.length <= most)
    return { rates: new Map(zones.map((zone) => [zone.key, zone.rate_lbPerAc])), changed_lb: 0 };

  const inOrder = [...zones].sort((a, b) => a.rate_lbPerAc - b.rate_lbPerAc);
  /** What a zone between two kept rates gets, those that are not there being undefined; null where it may have neither. */
  const given = (zone: Groupable, below: number | undefined, above: number | undefined): number | null => {
    if (zone.fixed) return null;
    const up = above !== undefined && above <= zone.most_lbPerAc + HAIR ? above : null;
    const down = below ?? (zone.mayLeave ? 0 : null);
    if (up === null || down === null) return up ?? down;
    return up - zone.rate_lbPerAc < zone.rate_lbPerAc - down - HAIR ? up : down;
  };
  const between = (from: number, to: number): number => {
    const [below, above] = [rates[from], rates[to]];
    let lost = 0;
    for (const zone of inOrder) {
      if (zone.rate_lbPerAc <= (below ?? -Infinity)) continue;
      if (zone.rate_lbPerAc >= (above ?? Infinity)) break;
      const rate = given(zone, below, above);
      if (rate === null) return Infinity;
      lost += zone.acres * Math.abs(zone.rate_lbPerAc - rate);
    }
    return lost;
  };
  const gaps = rates.map((_, to) => Array.from({ length: to }, (__, from) => between(from, to)));
  const table: Kept[][] = [rates.map((_, to) => ({ lost: between(-1, to), before: -1 }))];
  for (let count = 2; count <= most; count++) {
    table.push(
      rates.map((_, to) => {
        let least: Kept = { lost: Infinity, before: -1 };
        for (let before = count - 2; before < to; before++) {
          const lost = (table[count - 2]?.[before]?.lost ?? Infinity) + (gaps[to]?.[before] ?? Infinity);
          if (lost < least.lost - HAIR) least = { lost, before };
        }
        return least;
      }),
    );
  }
  let best = { lost: Infinity, count: 0, last: -1 };
  table.forEach((row, at) => {
    row.forEach((kept, last) => {
      const lost = kept.lost + between(last, rates.length);
      if (lost < best.lost - HAIR) best = { lost, count: at + 1, last };
    });
  });
  if (best.count === 0) return null;
  const keep: number[] = [];
  for (let { count, last } = best; count > 0; count--) {
    keep.unshift(rates[last] ?? Number.NaN);
    last = table[count - 1]?.[last]?.before ?? -1;
  }
  const out = new Map<string, number>();
  for (const zone of zones) {
    const own = zone.rate_lbPerAc;
    const rate = keep.includes(own)
      ? own
      : given(
          zone,
          keep.findLast((one) => one < own),
          keep.find((one) => one > own),
        );
    if (rate === null) throw new Error('a choice of rates left a zone without one');
    out.set(zone.key, rate);
  }
  return { rates: out, changed_lb: best.lost };
}
