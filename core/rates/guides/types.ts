import type { SoilSettings } from '../../soil/settings.ts';
import type { Flag } from '../crop-figures.ts';
import type { RatesSettings } from '../settings.ts';
import type { ZoneReading } from '../types.ts';

/** How the K that a guide goes by is tested. */
export type Extraction = 'ammonium acetate' | 'Mehlich-3' | 'field-moist';

/** One figure or rule of a guide, where it was read, and how well it is known. */
export interface GuidePart {
  readonly what: string;
  readonly source: string;
  readonly flag: Flag;
}

/** Two ends of a figure; equal where there is one. */
export interface Span {
  readonly least: number;
  readonly most: number;
}

/** Classes of K, from least to most. */
export const LAB_CLASSES = ['low', 'medium', 'sufficient', 'high', 'excessive'] as const;
/** Class of K on the lab's own report, for a guide whose class limits are not known. */
export type LabClass = (typeof LAB_CLASSES)[number];

/** What a guide is asked with: one piece of ground and the plan's crop. */
export interface GuideInput {
  /** NaN where not known. */
  readonly reading: Pick<ZoneReading, 'k_ppm' | 'cec_meq' | 'ph'>;
  readonly extractant: SoilSettings['extractant'];
  readonly depth_in: number;
  /** Id in the crop list; null where none is told. */
  readonly crop: string | null;
  /** In the crop's own unit: bu/ac or ton/ac. */
  readonly yieldGoal: number | null;
  readonly harvest: RatesSettings['harvest'];
  /** lb K/ac that one ppm stands for, by the plan's convention: for guides that go by lb/ac. */
  readonly supply_factor: number;
  readonly labClass?: LabClass;
  /** Smectite to illite in the clay, where somebody had it measured. */
  readonly smectiteToIllite?: number;
}

/** A condition of a guide that the ground or the plan does not meet. */
export type Unmet = 'extractant' | 'depth' | 'crop' | 'k' | 'cec' | 'yieldGoal' | 'class' | 'validity';

/** What a guide says of the ground. */
export interface GuideAnswer {
  readonly ok: true;
  /** Its rate for the year; null where it gives no whole rate, and `how` says what it does give. */
  readonly k2o_lbPerAc: number | null;
  /** The sum in words and figures. */
  readonly how: string;
  /** The weakest flag among the figures behind this very answer. */
  readonly flag: Flag;
  /** True where this rate may become a plan's: the guide may set one, and nothing behind this answer is from memory. */
  readonly maySetRate: boolean;
  /** K test below which it expects a response, or up to which it builds; null where it names none. */
  readonly critical_ppm: Span | null;
  /** K test above which its rate is 0; null where it names none. */
  readonly noneAbove_ppm: number | null;
  readonly className: string | null;
  /** What the crop takes by the guide's own figure, where it gives that and no whole rate. */
  readonly removal_lbK2OPerAc: number | null;
  /** Build-up alone, where it gives that and no whole rate: all of it, and the years it is spread over (null: not told). */
  readonly buildUp: { readonly total_lbK2OPerAc: Span; readonly years: number | null } | null;
  /** What to mind with this answer, in sentences. */
  readonly cautions: readonly string[];
}

/** Why a guide says nothing of the ground: to be greyed with its reason. */
export interface GuideRefusal {
  readonly ok: false;
  /** One sentence for each condition that is not met. */
  readonly why: string;
  readonly unmet: readonly Unmet[];
}

/** What is known of a guide, plain data. */
export interface GuideFacts {
  readonly id: string;
  readonly name: string;
  /** Publication, in full. */
  readonly source: string;
  /** The weakest flag among its parts. */
  readonly flag: Flag;
  /** Every figure and rule of it, each with its own source. */
  readonly parts: readonly GuidePart[];
  /** Null where the lab's class stands for the test. */
  readonly extraction: { readonly is: Extraction; readonly source: string; readonly flag: Flag } | null;
  readonly depth: {
    readonly least_in: number;
    readonly most_in: number;
    readonly source: string;
    readonly flag: Flag;
  } | null;
  /** Ids of the crop list; null covers every crop. */
  readonly crops: readonly string[] | null;
  /** Where it holds, and what it does beyond that. */
  readonly validity: string;
  readonly outside: string;
  /** Id of the guide that took its place. */
  readonly supersededBy: string | null;
  /** False where it gives no rates, or none without a figure from memory. Where true, the answer's own `maySetRate` decides. */
  readonly maySetRate: boolean;
}

/** A published recommendation for K. `recommend` is pure. */
export interface Guide extends GuideFacts {
  recommend(input: GuideInput): GuideAnswer | GuideRefusal;
}
