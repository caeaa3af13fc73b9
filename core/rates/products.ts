import { K2O_PER_K } from '../base/units.ts';
import type { RatesSettings } from './settings.ts';

export type Salt = RatesSettings['product']['salt'];

/** What a potassium salt is, and the most K2O that chemistry lets it hold. */
export interface SaltFacts {
  readonly name: string;
  readonly formula: string;
  /** % K2O of the pure salt: no honest grade lies above. */
  readonly mostK2O_pct: number;
  /** Chloride in the salt as sold, %. */
  readonly cl_pct: number;
  /** Where that figure comes from; null where there is none to give. */
  readonly clSource: string | null;
  /** Osmotic effect beside sodium nitrate = 100; null where no figure was found. */
  readonly saltIndex: number | null;
  readonly source: string;
}

/** Standard atomic weights (IUPAC 2021), g/mol. */
const ATOM = { K: 39.0983, Cl: 35.45, S: 32.06, O: 15.999, N: 14.007, Mg: 24.305 } as const;
const SULFATE = ATOM.S + 4 * ATOM.O;
const k2oShare_pct = (kAtoms: number, molar_g: number): number => ((kAtoms * ATOM.K * K2O_PER_K) / molar_g) * 100;
/** Chloride of pure potassium chloride, %: 47.55. No potassium salt in the list holds more. */
export const MOST_CL_PCT = (ATOM.Cl / (ATOM.K + ATOM.Cl)) * 100;
const INDEX_SOURCE = 'salt index seen second-hand; highest grade from atomic weights';

/** By salt. `mostK2O_pct` = K atoms x K x 1.2046 / molar mass: 63.18, 54.06, 46.58 and 22.70 %. */
export const SALTS = {
  chloride: {
    name: 'potassium chloride',
    formula: 'KCl',
    mostK2O_pct: k2oShare_pct(1, ATOM.K + ATOM.Cl),
    cl_pct: 45,
    saltIndex: 116,
    clSource: '45 % chloride: South Dakota State University',
    source: INDEX_SOURCE,
  },
  sulfate: {
    name: 'potassium sulfate',
    formula: 'K2SO4',
    mostK2O_pct: k2oShare_pct(2, 2 * ATOM.K + SULFATE),
    cl_pct: 0,
    clSource: null,
    saltIndex: 43,
    source: INDEX_SOURCE,
  },
  nitrate: {
    name: 'potassium nitrate',
    formula: 'KNO3',
    mostK2O_pct: k2oShare_pct(1, ATOM.K + ATOM.N + 3 * ATOM.O),
    cl_pct: 0,
    clSource: null,
    saltIndex: 70,
    source: INDEX_SOURCE,
  },
  langbeinite: {
    name: 'langbeinite (potassium magnesium sulfate)',
    formula: 'K2Mg2(SO4)3',
    mostK2O_pct: k2oShare_pct(2, 2 * ATOM.K + 2 * ATOM.Mg + 3 * SULFATE),
    cl_pct: 0,
    clSource: null,
    saltIndex: null,
    source: 'highest grade from atomic weights',
  },
} as const satisfies Record<Salt, SaltFacts>;

/** A common dry product. No price and no bulk density: both vary, so they are asked. */
export interface Product {
  readonly name: string;
  readonly n_pct: number;
  readonly p2o5_pct: number;
  readonly k2o_pct: number;
  readonly s_pct: number;
  readonly mg_pct: number;
  readonly salt: Salt;
  /** What else it carries, in words; empty for nothing named. */
  readonly carries: string;
  readonly source: string;
}

const GRADES = 'grade: Mississippi State University Extension; Cornell Cooperative Extension';

/** A straight product of potassium and what its salt brings. */
const straight = (
  name: string,
  [n_pct, k2o_pct]: readonly [number, number],
  salt: Salt,
  more: Partial<Product> = {},
): Product => ({ name, n_pct, p2o5_pct: 0, k2o_pct, s_pct: 0, mg_pct: 0, salt, carries: '', source: GRADES, ...more });

/** Common dry potassium products, by grade (N-P2O5-K2O). Where S is printed as a span the lower end is listed, so that none is promised. */
export const PRODUCTS: readonly Product[] = [
  straight('0-0-60', [0, 60], 'chloride'),
  straight('0-0-62', [0, 62], 'chloride'),
  straight('0-0-50', [0, 50], 'sulfate', { s_pct: 17, carries: '17 to 18 % S' }),
  straight('0-0-22', [0, 22], 'langbeinite', { s_pct: 22, mg_pct: 11, carries: '11 % Mg, 22 % S' }),
  straight('13-0-44', [13, 44], 'nitrate'),
];

/** What is said to who looks for a liquid. */
export const LIQUIDS_OUT =
  'Liquids are out of scope: rates are worked out for dry products and blends of them, in pounds of product an acre.';
