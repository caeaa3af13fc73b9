import type { BasisChoices } from '../../core/rates/basis.ts';
import { GUIDES } from '../../core/rates/guides/list.ts';
import type { HoldingClass, ProductChoice, SecondProduct } from '../../core/rates/settings.ts';
import { money, quantity, shortNumber, type UnitSystem } from '../ui/format.ts';

/** A choice of a basis as people say it: its name, and its value in a few words. */
interface Words<T> {
  readonly name: string;
  readonly says: (value: T, units: UnitSystem) => string;
}

export const GOVERNING = {
  larger: 'both floors, the larger',
  ppm: 'the ppm floor',
  saturation: 'the saturation floor',
} as const;

const pct = (value: number): string => `${shortNumber(value)} %`;

type AllWords = { readonly [K in keyof BasisChoices]: Words<BasisChoices[K]> };

export const BASIS_WORDS: AllWords = {
  follows: {
    name: 'Rates by',
    says: (id) => (id === null ? 'the ledger’s own lines' : (GUIDES.find((guide) => guide.id === id)?.name ?? id)),
  },
  governs: { name: 'Governs', says: (governs) => GOVERNING[governs] },
  floor_ppm: { name: 'Floor by ppm', says: (value) => `${shortNumber(value)} ppm` },
  floor_pct: { name: 'Floor by saturation', says: pct },
  rangeTop_pct: { name: 'Top of the range', says: pct },
  zeroAt_pct: { name: 'Crop line down to 0 at', says: pct },
  note_pct: { name: 'Note from', says: pct },
  caution_pct: { name: 'Caution from', says: pct },
  strong_pct: { name: 'Strong caution from', says: pct },
  buildUp_years: { name: 'Years to the target', says: (years) => (years === 1 ? '1, all up front' : String(years)) },
  reading: { name: 'A zone’s reading', says: (reading) => reading },
  holding: { name: 'What the ground holds', says: (classes, units) => classes.map(holdingIn(units)).join('; ') },
  passes: {
    name: 'Passes',
    says: (passes, units) =>
      passes.map((pass) => `${pass.name} to ${quantity(pass.most_lbPerAc, 'rate', units)}`).join('; '),
  },
  product: { name: 'Product', says: productWords },
  second: { name: 'Second product', says: secondWords },
  machine: {
    name: 'Machine',
    says: (machine, units) =>
      `${shortNumber(machine.least_lbPerAc)} to ${quantity(machine.most_lbPerAc, 'rate', units)} by ${shortNumber(machine.step_lbPerAc)}`,
  },
  charge_perAcPerPass: { name: 'Charge a pass', says: (value, units) => quantity(value, 'moneyPerArea', units) },
};

const holdingIn =
  (units: UnitSystem) =>
  ({ name, perYear_lbK2OPerAc: cap }: HoldingClass): string =>
    `${name} ${cap === null ? 'no cap' : quantity(cap, 'k2o', units, 0)}`;

export function productWords({ name, price_perTon, blend }: ProductChoice, units: UnitSystem): string {
  const parts = blend.length === 0 ? '' : `, a blend of ${blend.length}`;
  return `${name}${parts}, ${money(price_perTon)}${units === 'US' ? '' : ' a short'}${units === 'US' ? '/ton' : ' ton'}`;
}

export function secondWords(second: SecondProduct | null): string {
  if (!second) return 'none';
  const { gives, product } = second;
  if (gives.by === 'share of K2O') return `${product.name}, ${shortNumber(gives.share_pct)} % of the K₂O`;
  return gives.by === 'sulfur'
    ? `${product.name}, for ${shortNumber(gives.s_lbPerAc)} lb of S an acre`
    : `${product.name}, for ${shortNumber(gives.mg_lbPerAc)} lb of Mg an acre`;
}

/** One choice in words, whatever its kind. */
export function choiceWords<K extends keyof BasisChoices>(key: K, value: BasisChoices[K], units: UnitSystem): string {
  const words: AllWords[K] = BASIS_WORDS[key];
  return words.says(value, units);
}
