import type { Problem } from '../base/problem.ts';
import type { LngLat, MultiPolygon } from '../geo/types.ts';
import type { ColumnRole, ColumnUse, SoilSettings } from './settings.ts';

/** A guess about one column, with what made it doubtful. */
export interface ColumnGuess extends ColumnUse {
  /** Why it was guessed so: `header "MG PPM"`. */
  readonly because: string;
  /** Present where a person should confirm. */
  readonly doubt?: string;
  /** What an unused column would be once a person tells what its doubt asks for. */
  readonly held?: ColumnRole;
}

export interface Saturation {
  readonly k_pct: number;
  readonly ca_pct: number;
  readonly mg_pct: number;
  readonly na_pct: number;
  readonly h_pct: number;
}

/** A kept sample: every value in one unit. NaN means not measured. */
export interface SoilSample {
  readonly id: string;
  readonly file: string;
  readonly row: number;
  /** Place of a point sample, or the widest spot of a zone composite. */
  readonly at: LngLat;
  /** Present on a zone composite: the ground the value stands for. */
  readonly polygons?: MultiPolygon;
  readonly k_ppm: number;
  readonly ca_ppm: number;
  readonly mg_ppm: number;
  readonly na_ppm: number;
  readonly ph: number;
  readonly bufferPh: number;
  readonly organicMatter_pct: number;
  readonly cec_meq: number;
  readonly cecFrom: 'lab' | 'summation' | 'none';
  /** Exchangeable acidity, from the lab, by the buffer form, or as what is left of the lab's CEC. */
  readonly h_meq: number;
  readonly saturation: Saturation;
  readonly depth_in: number;
  /** Year of the test; null where the file does not tell. */
  readonly year: number | null;
  /** Values that a rule put in the place of a limit, such as 2.5 for <5; absent where all were measured. */
  readonly byRule?: readonly RuledValue[];
}

/** A value that may be told only as a limit. */
export type RuledValue = 'k_ppm' | 'ca_ppm' | 'mg_ppm' | 'na_ppm' | 'ph' | 'cec_meq';

/** One row of an input, kept or set aside. */
export interface SoilRow {
  readonly file: string;
  readonly row: number;
  readonly id: string;
  /** Cells as the file has them, in the table's column order. */
  readonly cells: readonly string[];
  readonly at: LngLat | null;
  readonly kept: boolean;
  /** Why it was set aside; what to watch where it was kept. */
  readonly reasons: readonly Problem[];
  /** Columns whose cell is the matter. */
  readonly badColumns: readonly string[];
}

/** Tests of one year and depth in a file that may hold several. */
export interface SoilSeries {
  readonly year: number | null;
  /** As the file tells it: `0-6 in`; null where no column says. */
  readonly depthTold: string | null;
  readonly depth_in: number;
  readonly rows: number;
  /** The one that the samples come from. */
  readonly used: boolean;
}

/** What the lab says and what follows from its own figures, where the two differ by more than the tolerance. */
export interface LabDifference {
  readonly id: string;
  readonly row: number;
  readonly what:
    | 'K saturation'
    | 'Ca saturation'
    | 'Mg saturation'
    | 'Na saturation'
    | 'H saturation'
    | 'CEC'
    | 'sum of saturations';
  readonly unit: '%' | 'meq/100 g';
  readonly lab: number;
  readonly workedOut: number;
  /** Likely cause in a clause: `the lab seems to use rounded factors`. */
  readonly cause: string;
}

/** A sample id that found no lab row, or a lab row that found no point, with the ids that look most alike. */
export interface NearMiss {
  readonly id: string;
  readonly row: number;
  readonly from: 'lab' | 'points';
  readonly alike: readonly string[];
}

export interface SoilOut {
  readonly samples: readonly SoilSample[];
  /** Rows of the lab file, in its order. */
  readonly rows: readonly SoilRow[];
  /** Rows of the points' file that no lab row could use, set aside. */
  readonly pointRows: readonly SoilRow[];
  readonly columns: readonly string[];
  readonly kind: 'points' | 'composites';
  /** Set of factors from meq to ppm that every saturation was made with. */
  readonly factors: SoilSettings['factors'];
  /** Rows of the lab file: read = kept + setAside. Kept rows at one place are one sample. */
  readonly read: number;
  readonly kept: number;
  readonly setAside: number;
  readonly series: readonly SoilSeries[];
  readonly differences: readonly LabDifference[];
  readonly nearMisses: readonly NearMiss[];
  /** Of the K that the samples hold: the lab's, or what it was converted to. */
  readonly extractant: SoilSettings['extractant'];
  /** What was understood, in sentences: files, decimal mark, depth, CEC rule, acidity form, factor set. */
  readonly reading: readonly string[];
}
