import type { Problem } from '../base/problem.ts';
import type { GroundHistory } from '../soil/history.ts';

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
    | 'budget'
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

/** One year of the way ahead, when this plan is kept up: what goes on, what leaves, where the soil stands at its end. */
export interface PathYear {
  /** 1 is this season. */
  readonly year: number;
  readonly crop: string;
  /** Spread by this plan. */
  readonly applied_lbK2OPerAc: number;
  /** From credits, as far as the year asks for them. */
  readonly credited_lbK2OPerAc: number;
  readonly removed_lbK2OPerAc: number;
  /** Soil test at the end of the year: by stoichiometry, and with the field factors in print (least and most lb K2O per ppm). */
  readonly k_ppm: number;
  readonly kLow_ppm: number;
  readonly kHigh_ppm: number;
  readonly kSat_pct: number;
  readonly kSatLow_pct: number;
  readonly kSatHigh_pct: number;
}

/** What one product gives a zone. */
export interface ProductRate {
  readonly product: string;
  /** One a pass. */
  readonly rates_lbPerAc: readonly number[];
  readonly k2o_lbPerAc: number;
  readonly cost_perAc: number;
  /** lb/ac that come with it, over all passes. */
  readonly brings: {
    readonly n: number;
    readonly p2o5: number;
    readonly s: number;
    readonly mg: number;
    readonly cl: number;
  };
}

export interface PassRate {
  readonly name: string;
  readonly inSeason: boolean;
  readonly rate_lbPerAc: number;
  readonly k2o_lbPerAc: number;
}

/** What keeps back K2O that was asked for, lb K2O/ac; the parts make up `undone_lbK2OPerAc`. */
export interface LeftBy {
  /** Caps of the year and of the passes. */
  readonly caps_lbK2OPerAc: number;
  readonly budget_lbK2OPerAc: number;
  /** Least rate and step. */
  readonly machine_lbK2OPerAc: number;
  /** The controller's number of different rates. */
  readonly distinctRates_lbK2OPerAc: number;
  /** Ground turned off, held back or kept out. */
  readonly choice_lbK2OPerAc: number;
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
  /** One a product, the plan's first product first; empty when withheld. `passes` and `rate_lbPerAc` are all products together. */
  readonly products: readonly ProductRate[];
  /** Years ahead with this plan kept up; empty where a figure is missing. */
  readonly path: readonly PathYear[];
  /** Soil at the end of this season if nothing is put on, and after this plan: the banked removal years of each. */
  readonly next: {
    readonly none: { readonly k_ppm: number; readonly removalYears: number | null };
    readonly plan: { readonly k_ppm: number; readonly removalYears: number | null };
    /** K credited beyond what this year asks for: in neither figure, it counts next year. */
    readonly carriedOver_lbK2OPerAc: number;
  } | null;
  /** K credited that is more than this year asks for: it counts next year. */
  readonly carriedOver_lbK2OPerAc: number;
  /** What is known of the ground; where areas differ inside the zone, that of most of its acres. */
  readonly history: GroundHistory;
  /** All passes; null when withheld. */
  readonly rate_lbPerAc: number | null;
  /** Before the machine's least rate and step. */
  readonly exact_lbPerAc: number | null;
  readonly k2o_lbPerAc: number | null;
  /** K2O asked for after credits (lines 6 to 8) and not given, by caps, budget, choice, the machine's least rate and step, or the limit on different rates. */
  readonly undone_lbK2OPerAc: number;
  readonly leftBy: LeftBy;
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
  /** Of the zones that are not kept out. */
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
  /** Of zones whose role is to keep out: they are in no file, and count in nothing else here. */
  readonly keptOut_ac: number;
}

/** What one way of spending leaves: a rule of the budget at the plan's amount. */
export interface BudgetWay {
  readonly rule: 'all alike' | 'worst first' | 'equal marginal return';
  readonly tons: number;
  readonly cost: number;
  /** What the ledgers ask for before any cap, less what is given; typed rates leave nothing undone. */
  readonly undone_lbK2O: number;
  /** Acres of short zones that get less than without the budget. */
  readonly shortAcres: number;
  /** Return over cost by the response curve: in the middle of its doubt, by which the rule goes, and low and high; null where no curve or crop price is told. */
  readonly return_dollars: { readonly low: number; readonly middle: number; readonly high: number } | null;
  /** The best way there is returns no more than this over it, in the middle of the doubt; 0 where it is the best, or the rule does not go by return. */
  readonly gap_dollars: number;
  readonly zones: readonly {
    readonly key: string;
    readonly rate_lbPerAc: number;
    /** What the ledger gives without the budget. */
    readonly asked_lbPerAc: number;
    readonly undone_lbK2OPerAc: number;
  }[];
}

/** Another way to treat the field, in the same terms as the plan. */
export interface Alternative {
  readonly key: 'plan' | 'flat, same tons' | 'flat, field average' | 'removal only';
  readonly what: string;
  readonly tons: number;
  readonly cost: number;
  /** Acres (by cell) given more, or less, than the plan's own targets ask by more than a step, and how much. */
  readonly over_ac: number;
  readonly over_lbK2O: number;
  readonly under_ac: number;
  readonly under_lbK2O: number;
}

/** All at once and then skip, against the same dollars every year. */
export interface SpendingPath {
  readonly key: 'at once, then skip' | 'the same every year';
  readonly years: readonly {
    readonly year: number;
    readonly cost: number;
    readonly k_ppm: number;
    readonly short_ac: number;
    readonly returns: { readonly low: number; readonly high: number } | null;
  }[];
  readonly cost: number;
}

export interface RatesOut {
  readonly zones: readonly ZoneRate[];
  readonly totals: RateTotals;
  /** The three rules at the plan's amount; null where no budget is set. */
  readonly budget: readonly BudgetWay[] | null;
  readonly alternatives: readonly Alternative[];
  /** Null where a figure is missing; the reason is then in `problems`. */
  readonly spending: readonly SpendingPath[] | null;
  /** Sentences that always stand beside the rates. */
  readonly cautions: readonly string[];
  /** What concerns the whole plan and no single zone; each zone's own problems stay with the zone. */
  readonly problems: readonly Problem[];
}
