import { caution, note, type Problem } from '../base/problem.ts';
import { type Groupable, groupRates } from '../rates/distinct.ts';
import type { ProductChoice } from '../rates/settings.ts';
import type { RatesOut } from '../rates/types.ts';
import { type Loads, totalsOf } from './pieces.ts';
import { rateOf } from './sets.ts';
import type { Piece, Prescription } from './types.ts';

/** What keeping cells to few rates came to. */
export interface FewRates {
  readonly prescriptions: readonly Prescription[];
  readonly problems: readonly Problem[];
}

/** Products with the K2O that is in them. */
type Graded = Loads & { readonly products: readonly Pick<ProductChoice, 'k2o_pct'>[] };

/**
 * Cells with no more different rates above 0 in a pass, product by product, than the controller takes, with the least acres x |change|. A cell may
 * rise to the rate of the zone that most of it lies in, and no further; a rate typed by hand is kept where the cell has it whole. What it changed is told,
 * since it goes before the limit on change from cell to cell: note `handoff-few-rates`. Where no choice holds all of this the pass
 * stays as it is: caution of the same code. Source: `groupRates`.
 */
export function withFewRates(
  prescriptions: readonly Prescription[],
  rates: RatesOut,
  most: number,
  loads: Graded,
): FewRates {
  const problems: Problem[] = [];
  const passNumber = new Map(rates.totals.byPass.map(({ name }, i) => [name, i]));
  const made = prescriptions.map((one) => {
    const pass = passNumber.get(one.pass) ?? 0;
    let { pieces } = one;
    for (const product of loads.products.keys()) {
      const { groups, keyOf } = gather(pieces, rates, pass, product);
      const grouped = groupRates(groups, most);
      if (grouped === null) {
        problems.push(notMet(one.pass, most));
        continue;
      }
      if (grouped.changed_lb === 0) continue;
      problems.push(putTogether(one.pass, most, grouped.changed_lb));
      pieces = pieces.map((piece) =>
        withRate(piece, product, grouped.rates.get(keyOf(piece)) ?? rateOf(piece, product), loads),
      );
    }
    return pieces === one.pieces ? one : { ...one, pieces, totals: totalsOf(pieces, loads) };
  });
  return { prescriptions: made, problems };
}

/** Cells that the grouping cannot tell apart count as one, so that its cost is that of the rates and not of the cells. */
function gather(pieces: readonly Piece[], rates: RatesOut, pass: number, product: number) {
  const zones = new Map(rates.zones.map((zone) => [zone.key, zone]));
  const about = (piece: Piece) => {
    const zone = zones.get(piece.zoneKey);
    const own = zone?.products[product]?.rates_lbPerAc[pass] ?? 0;
    const rate = rateOf(piece, product);
    const fixed = zone?.override != null && rate === own;
    return { rate, most: Math.max(rate, own), fixed };
  };
  const keyOf = (piece: Piece): string => {
    const { rate, most, fixed } = about(piece);
    return `${rate} ${most} ${fixed}`;
  };
  const groups = new Map<string, Groupable>();
  for (const piece of pieces) {
    const { rate, most, fixed } = about(piece);
    if (!(rate > 0)) continue;
    const key = keyOf(piece);
    const acres = (groups.get(key)?.acres ?? 0) + piece.acres;
    groups.set(key, { key, acres, rate_lbPerAc: rate, most_lbPerAc: most, fixed });
  }
  return { groups: [...groups.values()], keyOf };
}

/** K2O goes along with the products' rates, by each one's grade. */
function withRate(piece: Piece, product: number, rate: number, { products }: Graded): Piece {
  const before = rateOf(piece, product);
  if (rate === before) return piece;
  const grade_pct = products[product]?.k2o_pct ?? 0;
  return {
    ...piece,
    ...(product === 0 ? { rate_lbPerAc: rate } : { second_lbPerAc: rate }),
    k2o_lbPerAc: piece.k2o_lbPerAc + ((rate - before) * grade_pct) / 100,
  };
}

const putTogether = (pass: string, most: number, changed_lb: number): Problem =>
  note(
    'handoff-few-rates',
    `To keep to ${most} different ${most === 1 ? 'rate' : 'rates'} ${pass}, cells of nearly the same rate were put together: ${changed_lb.toFixed(0)} lb lie elsewhere, or on neither. It goes before the limit on change from cell to cell.`,
    'Raise the number of rates where the controller takes more.',
    { setting: 'rates.machine.distinctRates' },
  );

const notMet = (pass: string, most: number): Problem =>
  caution(
    'handoff-few-rates',
    `No choice of ${most} different ${most === 1 ? 'rate' : 'rates'} ${pass} keeps every cell at or under what its zone gets, so none are put together there: the controller has more rates to set than it takes.`,
    'Raise the number of rates, write zones as they lie, or type lower rates.',
    { setting: 'rates.machine.distinctRates' },
  );
