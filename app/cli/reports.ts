import type { Problem } from '../../core/base/problem.ts';
import type { CheckLine, ProductTotal, Proof } from '../../core/handoff/types.ts';
import type { SoilChoices } from '../../core/plan/start.ts';
import type { LedgerLine, RatesOut, ZoneRate } from '../../core/rates/types.ts';
import type { SoilSettings } from '../../core/soil/settings.ts';
import type { LabDifference, NearMiss, SoilSeries } from '../../core/soil/types.ts';
import type { ToldColumn } from './column-option.ts';

/** What one piece of work is told. Paths are absolute. */
export type Job =
  /** `when`: date and time that stand on the page; the job's own where absent. `pdf`: the page is printed beside it. */
  | {
      readonly kind: 'build';
      readonly plan: string;
      readonly out: string;
      readonly when?: string;
      readonly pdf?: true;
    }
  | { readonly kind: 'check'; readonly plan: string }
  | { readonly kind: 'prove'; readonly folder: string }
  | BasisJob
  | StartJob;

export interface BasisJob {
  readonly kind: 'basis';
  readonly plan: string;
  /** Name of a basis that comes with the app, or a file; absent where the plan's own is to be written. */
  readonly take?: string;
  /** Name of the basis that is written. */
  readonly name?: string;
  /** A file for a basis; a folder or a packed file for a plan. */
  readonly out: string;
}

export interface StartJob {
  readonly kind: 'start-plan';
  readonly name: string;
  readonly boundary: readonly string[];
  readonly keepOut: readonly string[];
  readonly points: readonly string[];
  readonly samples: readonly string[];
  readonly crop?: string;
  readonly yieldGoal?: number;
  readonly governs?: 'larger' | 'ppm' | 'saturation';
  readonly crs?: string;
  readonly columns?: readonly ToldColumn[];
  readonly depth_in?: number;
  readonly extractant?: SoilSettings['extractant'];
  readonly soil?: Partial<SoilChoices>;
  /** Keeps the columns told for files with the same headers. */
  readonly remember?: true;
  /** Forgets what was kept for these headers before. */
  readonly forget?: true;
  /** A folder, or a file that ends in .pearlash. */
  readonly out: string;
}

/** What it answers: plain data, printed for people or as JSON. NaN is null there. */
interface Answer {
  readonly ok: boolean;
  readonly problems: readonly Problem[];
}

export interface InputsReport {
  readonly field: {
    readonly boundary_ac: number;
    readonly keepOut_ac: number;
    readonly spreadable_ac: number;
    readonly reading: readonly string[];
  } | null;
  readonly soil: {
    readonly read: number;
    readonly kept: number;
    readonly setAside: number;
    readonly reading: readonly string[];
    readonly series: readonly SoilSeries[];
    readonly differences: readonly LabDifference[];
    readonly nearMisses: readonly NearMiss[];
  } | null;
}

export interface ZoneReport {
  readonly zone: string;
  readonly key: string;
  readonly acres: number;
  readonly k_ppm: number;
  readonly kSat_pct: number;
  readonly cec_meq: number;
  readonly governing: 'ppm' | 'saturation' | 'none';
  readonly rate_lbPerAc: number | null;
  readonly passes: readonly { readonly name: string; readonly rate_lbPerAc: number }[];
  readonly k2o_lbPerAc: number | null;
  readonly undone_lbK2OPerAc: number;
  /** The same by what left it. */
  readonly leftBy: ZoneRate['leftBy'];
  readonly cost_perAc: number | null;
  /** Before the machine's least rate and step. */
  readonly exact_lbPerAc: number | null;
  /** Product lb/ac that each reading alone would ask for. */
  readonly answers: ZoneRate['answers'];
  readonly override: ZoneRate['override'];
  /** The account, line by line. */
  readonly lines: readonly LedgerLine[];
}

export interface BuildReport extends Answer, InputsReport {
  readonly kind: 'build';
  readonly plan: string;
  readonly name: string | null;
  readonly product: string | null;
  /** Which target governs, and whether a person said so. */
  readonly governs: string | null;
  /** Name of the published guide that sets the rates; null where none does. */
  readonly guide: string | null;
  readonly zones: readonly ZoneReport[];
  readonly cautions: readonly string[];
  readonly totals: {
    readonly acres: number;
    readonly product_lb: number;
    readonly product_tons: number;
    /** Product before the machine's least rate and step. */
    readonly exact_lb: number;
    /** Product that the zones ask after it: that of the files, unless records are cells. */
    readonly zones_lb: number;
    /** What cutting into cells changed: files less `zones_lb`, and by what; null where zones are written as they lie. */
    readonly cells: { readonly what: string; readonly change_lb: number } | null;
    /** In what the files spread, as all that follows. */
    readonly k2o_lb: number;
    readonly cost: number;
    readonly byPass: readonly { readonly name: string; readonly acres: number; readonly product_lb: number }[];
    /** The plan's first product first. */
    readonly byProduct: readonly ProductTotal[];
  } | null;
  /** The rules at the plan's budget; null where it has none. */
  readonly budget: RatesOut['budget'];
  /** The plan beside flat rates and removal alone, and all at once beside every year. */
  readonly alternatives: RatesOut['alternatives'];
  readonly spending: RatesOut['spending'];
  readonly checks: readonly CheckLine[];
  /** Folder that was written; null when nothing was. */
  readonly out: string | null;
  readonly files: readonly { readonly path: string; readonly size: number; readonly what: string }[];
  readonly proof: Proof | null;
}

export interface CheckReport extends Answer, InputsReport {
  readonly kind: 'check';
  readonly plan: string;
  readonly name: string | null;
}

export interface ProveReport extends Answer {
  readonly kind: 'prove';
  readonly folder: string;
  readonly proof: Proof | null;
}

export interface StartReport extends Answer {
  readonly kind: 'start-plan';
  readonly name: string;
  readonly out: string | null;
  readonly guesses: readonly string[];
}

export interface BasisReport extends Answer {
  readonly kind: 'basis';
  readonly plan: string;
  /** Its name. */
  readonly basis: string | null;
  /** Choices of the plan that taking it changed, by name. */
  readonly changed: readonly string[];
  readonly out: string | null;
}

export type Report = BuildReport | CheckReport | ProveReport | StartReport | BasisReport;

/** The answer of work that came to nothing. */
export function failedReport(job: Job, problems: readonly Problem[]): Report {
  const answer = { ok: false, problems } as const;
  const inputs = { field: null, soil: null } as const;
  switch (job.kind) {
    case 'build':
      return {
        ...answer,
        ...inputs,
        kind: job.kind,
        plan: job.plan,
        name: null,
        product: null,
        governs: null,
        guide: null,
        zones: [],
        cautions: [],
        totals: null,
        budget: null,
        alternatives: [],
        spending: null,
        checks: [],
        out: null,
        files: [],
        proof: null,
      };
    case 'check':
      return { ...answer, ...inputs, kind: job.kind, plan: job.plan, name: null };
    case 'prove':
      return { ...answer, kind: job.kind, folder: job.folder, proof: null };
    case 'start-plan':
      return { ...answer, kind: job.kind, name: job.name, out: null, guesses: [] };
    case 'basis':
      return { ...answer, kind: job.kind, plan: job.plan, basis: null, changed: [], out: null };
  }
}

export const isStopped = (problems: readonly Problem[]): boolean =>
  problems.some((problem) => problem.severity === 'stop');
