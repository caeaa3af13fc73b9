import type { Problem } from '../base/problem.ts';

/**
 * One line of the account. `working` figures explain; only `carried` figures add up: their sum in line order is K2O this
 * year, before the product's grade and the machine. Lines 11 to 14 carry nothing.
 */
export interface LedgerLine {
  readonly n: number;
  readonly key:
    | 'supply'
    | 'targetPpm'
    | 'targetSaturation'
    | 'governs'
    | 'buildUp'
    | 'crop'
    | 'aboveRange'
    | 'credits'
    | 'cap'
    | 'passes'
    | 'product'
    | 'machine'
    | 'override'
    | 'money';
  readonly label: string;
  /** The sum in words and figures: `172 ppm x 2.00 = 345 lb K, x 1.2046`. */
  readonly how: string;
  readonly unit: 'lb K2O/ac' | 'lb/ac' | '$' | '$/ac' | '';
  /** Figure of the working column; null where the line does not apply (how says why). */
  readonly working: number | null;
  /** Change this line makes to K2O this year (lb K2O/ac); null where it only explains. */
  readonly carried: number | null;
  /** Source of the figure or rule: a citation, `common practice, no source`, or `from memory, ...`. */
  readonly source?: string;
}

/** The soil reading that stands for the zone. NaN where unknown. */
export interface ZoneReading {
  readonly k_ppm: number;
  readonly cec_meq: number;
  readonly kSat_pct: number;
  readonly ca_ppm: number;
  readonly mg_ppm: number;
  readonly caSat_pct: number;
  readonly mgSat_pct: number;
  readonly ph: number;
  readonly depth_in: number;
}

export interface PassRate {
  readonly name: string;
  readonly inSeason: boolean;
  readonly rate_lbPerAc: number;
  readonly k2o_lbPerAc: number;
}

export interface ZoneRate {
  readonly key: string;
  readonly letter: string;
  readonly acres: number;
  readonly reading: ZoneReading;
  readonly lines: readonly LedgerLine[];
  /** Product lb/ac that each reading alone would ask for, run through the whole ledger, and this plan's. */
  readonly answers: {
    readonly ppmAlone: number | null;
    readonly saturationAlone: number | null;
    readonly thisPlan: number | null;
  };
  readonly governing: 'ppm' | 'saturation' | 'none';
  readonly passes: readonly PassRate[];
  /** All passes; null when withheld. */
  readonly rate_lbPerAc: number | null;
  /** Before the machine's least rate and step. */
  readonly exact_lbPerAc: number | null;
  readonly k2o_lbPerAc: number | null;
  /** K2O that the caps left out this year, and what the machine's least rate left out by more than a step a pass. */
  readonly undone_lbK2OPerAc: number;
  readonly removalYearsAboveFloor: number | null;
  /** Acres of the zone that its reading leaves short of the governing target. */
  readonly short_ac: number;
  readonly cost_perAc: number | null;
  /** Extra yield worth per acre, low and high of a band; null where no price is told. */
  readonly return_perAc: { readonly low: number; readonly high: number; readonly source: string } | null;
  readonly override: {
    readonly rate_lbPerAc: number;
    readonly who: string;
    readonly when: string;
    readonly why: string;
  } | null;
  /** Present when no rate may be given; says why. Not repeated in `problems`. */
  readonly withheld: Problem | null;
  readonly problems: readonly Problem[];
}

export interface RateTotals {
  readonly acres: number;
  readonly product_lb: number;
  readonly product_tons: number;
  /** Before the machine's least rate and step. */
  readonly exact_lb: number;
  readonly k2o_lb: number;
  /** Over the zones that have a rate. */
  readonly undone_lbK2O: number;
  readonly cost: number;
  readonly byPass: readonly { readonly name: string; readonly acres: number; readonly product_lb: number }[];
  readonly withheld_ac: number;
}

export interface RatesOut {
  readonly zones: readonly ZoneRate[];
  readonly totals: RateTotals;
  /** Sentences that always stand beside the rates. */
  readonly cautions: readonly string[];
  /** What concerns the whole plan and no single zone; each zone's own problems stay with the zone. */
  readonly problems: readonly Problem[];
}
