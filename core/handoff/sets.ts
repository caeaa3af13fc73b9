import { MOST_RATE_DECIMALS, RATE, RATE_DECIMALS, rateFactor, roundTo } from './figures.ts';
import type { FileNames } from './names.ts';
import type { HandoffSettings } from './settings.ts';
import type { Piece, Prescription } from './types.ts';

/** One rate column of a set: which product of which pass it is. */
export interface Channel {
  /** Of the set's passes, from 0. */
  readonly pass: number;
  readonly passName: string;
  /** Of the plan's products, from 0. */
  readonly product: number;
  readonly productName: string;
  readonly column: string;
  readonly property: string;
  readonly decimals: number;
  readonly planned_lb: number;
}

/** What goes into files of the same records: the passes with their pieces, and the rate columns made of them. */
export interface FileSet {
  readonly base: string;
  /** Numbers of the passes among the plan's prescriptions, from 0. */
  readonly numbers: readonly number[];
  readonly passes: readonly Prescription[];
  readonly channels: readonly Channel[];
}

/** Rate of a piece for one product of the plan, lb/ac. */
export const rateOf = (piece: Piece, product: number): number =>
  product === 0 ? piece.rate_lbPerAc : piece.second_lbPerAc;

/**
 * The sets of files: by pass or all passes in one, by product or all products in one, as the settings say. Rate columns are RATE, RATE_2 ... in
 * the order of passes and, within a pass, of products. Passes in one set must have the same records in the same order: throws otherwise.
 */
export function fileSets(
  prescriptions: readonly Prescription[],
  products: readonly string[],
  names: FileNames,
  settings: Pick<HandoffSettings, 'passes' | 'products' | 'rateUnit'>,
): FileSet[] {
  const apart = settings.passes === 'files' && prescriptions.length > 1;
  const split = settings.products === 'files' && products.length > 1;
  const passGroups = apart ? prescriptions.map((_, pass) => [pass]) : [prescriptions.map((_, pass) => pass)];
  const productGroups = split ? products.map((_, product) => [product]) : [products.map((_, product) => product)];
  return passGroups.flatMap((numbers) =>
    productGroups.map((of): FileSet => {
      const passes = numbers.flatMap((number) => prescriptions[number] ?? []);
      alike(passes);
      return {
        base: names.set(apart ? (numbers[0] ?? 0) : null, split ? (of[0] ?? 0) : null),
        numbers,
        passes,
        channels: channelsOf(passes, products, of, settings.rateUnit),
      };
    }),
  );
}

function channelsOf(
  passes: readonly Prescription[],
  products: readonly string[],
  of: readonly number[],
  unit: HandoffSettings['rateUnit'],
): Channel[] {
  return passes.flatMap((one, pass) =>
    of.map((product, place): Channel => {
      const n = pass * of.length + place + 1;
      return {
        pass,
        passName: one.pass,
        product,
        productName: products[product] ?? '',
        column: n === 1 ? RATE.name : `${RATE.name}_${n}`,
        property: n === 1 ? RATE.property : `${RATE.property}_${n}`,
        decimals: decimalsOf(one, product, unit),
        planned_lb: one.totals.byProduct[product]?.product_lb ?? 0,
      };
    }),
  );
}

/** Rates in lb/ac come in steps of the machine and are to be written as they are; in kg/ha they are rounded anyhow. */
const decimalsOf = ({ pieces }: Prescription, product: number, unit: HandoffSettings['rateUnit']): number =>
  rateFactor(unit) === 1 &&
  pieces.some((piece) => Math.abs(roundTo(rateOf(piece, product), RATE_DECIMALS) - rateOf(piece, product)) > 1e-6)
    ? MOST_RATE_DECIMALS
    : RATE_DECIMALS;

function alike(passes: readonly Prescription[]): void {
  const [first, ...others] = passes;
  for (const { pieces } of others) {
    const same =
      pieces.length === first?.pieces.length &&
      pieces.every(({ zoneKey, acres }, i) => zoneKey === first.pieces[i]?.zoneKey && acres === first.pieces[i]?.acres);
    if (!same) throw new Error('passes of one set of files have other records than one another');
  }
}
