import { leastStep_lbPerAc, type Machine, toMachine, usable_lbPerAc } from './machine.ts';
import { type PlacementLimit, placedProduct_lbPerAc, placedText, placementLimit, type SeedRow } from './placement.ts';
import type { HoldingClass, RatesSettings } from './settings.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

export type Pass = RatesSettings['passes'][number];

/** The caps of one pass, all in lb of product an acre, the smallest of them in use; 0 where that is under the least rate. */
export interface PassCap {
  readonly pass: Pass;
  readonly cap_lbPerAc: number;
  /** Which cap is the smallest, and in what it is told: `60 lb K2O`, `500 lb product`. */
  readonly text: string;
  readonly underLeast: boolean;
  /** Limit of a pass that is not broadcast. */
  readonly placed: PlacementLimit | null;
  /** Each kind of limit for itself, whatever the product: lb K2O, lb of product, lb N + K2O; Infinity where there is none. */
  readonly limits: { readonly k2o: number; readonly product: number; readonly nAndK2O: number };
}

/**
 * lb of a product, or of a mix, that some limits leave room for beside other lb K2O, product and N + K2O in the same pass: each kind of limit worked for itself, the
 * smallest counts; never below 0.
 */
export function roomFor(
  limits: PassCap['limits'],
  { n_pct, k2o_pct }: { readonly n_pct: number; readonly k2o_pct: number },
  beside: PassCap['limits'] = { k2o: 0, product: 0, nAndK2O: 0 },
): number {
  const over = (limit: number, taken: number, share_pct: number): number =>
    limit === Infinity ? Infinity : (limit - taken) / (share_pct / 100);
  return Math.max(
    0,
    Math.min(
      over(limits.k2o, beside.k2o, k2o_pct),
      over(limits.product, beside.product, 100),
      over(limits.nAndK2O, beside.nAndK2O, n_pct + k2o_pct),
    ),
  );
}

/**
 * The cap of each pass: the smallest of the holding class's (K2O, over the grade), the pass's own (product), the machine's most, and,
 * where it is not broadcast, what may lie beside the seed (N + K2O; nothing where no figure is known for the crop).
 * A cap under the machine's least rate leaves the pass out.
 */
export function passCaps(
  passes: readonly Pass[],
  holding: HoldingClass,
  product: { readonly n_pct: number; readonly k2o_pct: number },
  machine: Machine,
  row: SeedRow,
): readonly PassCap[] {
  return passes.map((pass) => {
    const held = holding.perPass_lbK2OPerAc === null ? Infinity : holding.perPass_lbK2OPerAc / (product.k2o_pct / 100);
    const placed = placementLimit(pass, row);
    const beside = placed ? placedProduct_lbPerAc(placed, product) : Infinity;
    const cap = Math.min(held, pass.most_lbPerAc, machine.most_lbPerAc, beside);
    const text =
      placed && cap === beside
        ? placedText(placed, beside)
        : cap === held
          ? `${typed(holding.perPass_lbK2OPerAc ?? 0)} lb K2O`
          : cap === pass.most_lbPerAc
            ? `${typed(cap)} lb product`
            : `${typed(cap)} lb product, the machine's most`;
    const underLeast = usable_lbPerAc(cap, machine) === 0;
    const limits = {
      k2o: holding.perPass_lbK2OPerAc ?? Infinity,
      product: Math.min(pass.most_lbPerAc, machine.most_lbPerAc),
      nAndK2O: placed ? (placed.most_lbNAndK2OPerAc ?? 0) : Infinity,
    };
    return { pass, cap_lbPerAc: underLeast ? 0 : cap, text, underLeast, placed, limits };
  });
}

export interface Split {
  /** lb of product an acre, one per pass, not rounded. */
  readonly parts_lbPerAc: readonly number[];
  /** What no pass could take. */
  readonly left_lbPerAc: number;
  /** Order in which the passes are rounded: the second takes up what rounding the first left. */
  readonly order: readonly number[];
}

/**
 * Shares a total (lb of product an acre) over the passes.
 *
 * The first pass takes what its cap holds and the next what exceeds it. On light ground a pass stays in season: half goes before
 * the season, as far as its cap holds, the rest in season, and what exceeds the cap there comes back to the first; a half under
 * the least rate is not split off, all of it goes in season. What no pass holds is left. Source: ours; light ground keeping
 * a pass in season is common practice.
 */
export function splitPasses(
  total_lbPerAc: number,
  caps: readonly PassCap[],
  light: boolean,
  least_lbPerAc: number,
): Split {
  const season = caps.findIndex((one) => one.pass.inSeason && one.cap_lbPerAc > 0);
  const other = caps.findIndex((_, index) => index !== season);
  const parts = caps.map(() => 0);
  if (light && season >= 0) {
    const seasonCap = caps[season]?.cap_lbPerAc ?? 0;
    const otherCap = caps[other]?.cap_lbPerAc ?? 0;
    const half = total_lbPerAc / 2;
    const before =
      otherCap > 0 && half >= least_lbPerAc ? Math.min(otherCap, Math.max(half, total_lbPerAc - seasonCap)) : 0;
    if (other >= 0) parts[other] = before;
    parts[season] = Math.min(seasonCap, total_lbPerAc - before);
    const order = other >= 0 ? [other, season] : [season];
    return { parts_lbPerAc: parts, left_lbPerAc: total_lbPerAc - sum(parts), order };
  }
  let rest = total_lbPerAc;
  caps.forEach((one, index) => {
    const part = Math.min(rest, one.cap_lbPerAc);
    parts[index] = part;
    rest -= part;
  });
  return { parts_lbPerAc: parts, left_lbPerAc: rest, order: caps.map((_, index) => index) };
}

/**
 * The parts as the machine can spread them. What rounding one pass leaves goes on to the next, where the next spreads at all, so that
 * the total lands on the nearest step; neither a pass's cap nor the year's is passed (`yearCap_lbPerAc`, product). Where the rest
 * in the second pass is under the least rate, the first gives up as much as the second lacks (520 lb under a cap of 500: 470 + 50),
 * if that comes nearer to the total.
 */
export function roundPasses(
  split: Split,
  caps: readonly PassCap[],
  yearCap_lbPerAc: number,
  machine: Machine,
): readonly number[] {
  const rates = split.parts_lbPerAc.map(() => 0);
  let owed = 0;
  let spread = 0;
  for (const index of split.order) {
    const part = split.parts_lbPerAc[index] ?? 0;
    if (!(part > 0)) continue;
    const cap = Math.min(caps[index]?.cap_lbPerAc ?? 0, yearCap_lbPerAc - spread);
    const rate = toMachine(part + owed, cap, machine);
    rates[index] = rate;
    owed += part - rate;
    spread += rate;
  }
  return sparedForLeast(split, rates, caps, yearCap_lbPerAc, machine) ?? rates;
}

/** The passes with the second at the least rate, at the cost of the first; null where that is not asked for, not possible or no nearer. */
function sparedForLeast(
  split: Split,
  rates_lbPerAc: readonly number[],
  caps: readonly PassCap[],
  yearCap_lbPerAc: number,
  machine: Machine,
): readonly number[] | null {
  const [first, second] = split.order;
  if (first === undefined || second === undefined) return null;
  const wanted = sum(split.parts_lbPerAc);
  const least = leastStep_lbPerAc(machine);
  const rest = split.parts_lbPerAc[second] ?? 0;
  if (!(rest > 0 && (split.parts_lbPerAc[first] ?? 0) > 0)) return null;
  if ((rates_lbPerAc[second] ?? 0) > least || (caps[second]?.cap_lbPerAc ?? 0) < least) return null;
  const spared = toMachine(wanted - least, Math.min(caps[first]?.cap_lbPerAc ?? 0, yearCap_lbPerAc - least), machine);
  if (spared === 0) return null;
  const other = rates_lbPerAc.map((rate, index) => (index === first ? spared : index === second ? least : rate));
  const off = (rates: readonly number[]): number => Math.abs(sum(rates) - wanted);
  return off(other) < off(rates_lbPerAc) - 1e-6 ? other : null;
}

const sum = (values: readonly number[]): number => values.reduce((all, one) => all + one, 0);

/** Line 10: how the K2O goes over the passes, and what none of them holds; all of it where the zone is turned off. */
export function passesLine(
  split: Split | null,
  caps: readonly PassCap[],
  grade_pct: number,
  light: boolean,
  machine: Machine,
  off = false,
): LedgerLine {
  const how: string[] = [];
  let left = Number.NaN;
  if (off && split) {
    left = split.left_lbPerAc * (grade_pct / 100);
    how.push(`nothing is spread in this zone, by choice: ${figure(left, 1)} lb K2O left undone`);
  } else if (!split) how.push('not known without K2O this year');
  else {
    left = split.left_lbPerAc * (grade_pct / 100);
    const named = caps.map(
      (one, index) => `${one.pass.name} ${figure(((split.parts_lbPerAc[index] ?? 0) * grade_pct) / 100, 1)}`,
    );
    how.push(`${named.join(', ')} lb K2O`);
    if (left > 0) how.push(`${figure(left, 1)} left undone`);
  }
  how.push(`caps: ${caps.map((one) => capText(one, machine)).join(', ')}`);
  if (light) how.push(lightText(caps));
  return {
    n: 10,
    key: 'passes',
    label: 'Passes',
    how: how.join('; '),
    unit: 'lb K2O/ac',
    working: null,
    carried: known(0 - left),
    source: sourceOf(caps, light),
  };
}

/** Where the caps in use come from: a place beside the seed has its own source, the others are common practice. */
function sourceOf(caps: readonly PassCap[], light: boolean): string {
  const beside = [
    ...new Set(caps.flatMap(({ placed, text }) => (placed && text.startsWith(placed.text) ? [placed.source] : []))),
  ];
  const common = caps.some(({ placed, text }) => !(placed && text.startsWith(placed.text)));
  const sources = [...beside, ...(common ? ['common practice, no source'] : [])].join('; ');
  if (light)
    return `caps: ${sources}; K leaches from sandy ground of little organic matter, so it is split: nevegetable.org`;
  return beside.length > 0 ? `caps: ${sources}` : sources;
}

function capText(cap: PassCap, machine: Machine): string {
  if (!cap.underLeast) return `${cap.pass.name} ${cap.text}`;
  if (cap.placed && cap.placed.most_lbNAndK2OPerAc === null) return `${cap.pass.name} not used, ${cap.text}`;
  return `${cap.pass.name} not used, ${cap.text} is under the least rate of ${typed(leastStep_lbPerAc(machine))} lb`;
}

/** Nothing in any pass: all of it is left. */
export const nothingSpread = (total_lbPerAc: number, caps: readonly PassCap[]): Split => ({
  parts_lbPerAc: caps.map(() => 0),
  left_lbPerAc: total_lbPerAc,
  order: caps.map((_, index) => index),
});

/** True where the plan has a pass in season that can spread. */
export const hasSeasonPass = (caps: readonly PassCap[]): boolean =>
  caps.some((one) => one.pass.inSeason && !one.underLeast);

function lightText(caps: readonly PassCap[]): string {
  if (!hasSeasonPass(caps)) return 'light ground should keep a pass in season, and the plan has none that can spread';
  return caps.length === 1
    ? 'light ground keeps a pass in season, the only one of the plan'
    : 'light ground keeps a pass in season';
}
