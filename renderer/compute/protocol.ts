import type { Problem, Result, Stage } from '../../core/base/problem.ts';
import type { CrsInfo, Dataset, NamedBytes } from '../../core/formats/types.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import type { Against, BackComparison } from '../../core/handoff/back/compare.ts';
import type { Looked, Told } from '../../core/handoff/back/types.ts';
import type { OutFile, Proof } from '../../core/handoff/types.ts';
import type { Correlation } from '../../core/layers/correlation.ts';
import type { Histogram, LayerStats } from '../../core/layers/statistics.ts';
import type { PlanOut, StageState } from '../../core/pipeline/types.ts';
import type { Plan, PlanInput } from '../../core/plan/schema.ts';
import type { RememberedMapping } from '../../core/soil/mapping-memory.ts';
import type { ColumnGuess } from '../../core/soil/types.ts';
import type { MeasuredId, SurfacesSettings } from '../../core/surfaces/settings.ts';
import type { AnyLayerId, LayerId } from '../../core/surfaces/types.ts';
import type { PaintedLayer, PaintedValues } from '../map/painted.ts';
import type { MapShapes } from '../map/shapes.ts';
import type { Spread } from '../store/layer-spread.ts';
import type { NamedArea } from './areas.ts';

/** What the window asks of its worker: one type from a message's name to what goes out and what comes back. */
export interface Calls {
  /** Which of the files is what. */
  sort: { request: { files: readonly NamedBytes[]; crs: string | null }; response: Result<SortedFiles> };
  start: { request: StartRequest; response: Result<Started> };
  /** Polygons of some files as areas of the last run's field. */
  areas: { request: { files: readonly NamedBytes[]; crs: string | null }; response: Result<readonly NamedArea[]> };
  /** The columns of a table that the plan reads, as they were guessed. */
  columns: {
    request: {
      files: readonly NamedBytes[];
      crs: string | null;
      role: 'points' | 'samples';
      /** Which of several tables of lab values, as the plan tells it. */
      sampleTable: string | null;
      year: number | null;
    };
    response: Result<TableColumns>;
  };
  /** The plan's inputs beyond those that the worker holds, and the plan. */
  run: { request: { plan: Plan; fresh: readonly InputFile[] }; response: RunReply };
  /** A prescription out of some files. The worker keeps it for the comparison. */
  openPrescription: { request: { files: readonly NamedBytes[]; told: Told }; response: Looked };
  /** The opened prescription less the last run's; null where one of them is not there. */
  compareOpened: { request: { against: Against | null }; response: OpenedAgainst | null };
  prove: { request: { files: readonly InputFile[] }; response: Proof };
  /** The last run's files with the page and the proof, to be written again; null where its handoff is not the one of `key`. */
  finish: {
    request: { key: string; proof: Proof; when: string };
    response: readonly OutFile[] | null;
  };
  pack: { request: { plan: Plan; fresh: readonly InputFile[] }; response: Uint8Array };
  unpack: { request: { name: string; bytes: Uint8Array }; response: Result<OpenedFile> };
  /** Checks a plan's text and its inputs, as a host handed them out. */
  open: { request: { planText: string; inputs: readonly InputFile[]; name: string }; response: Result<OpenedFile> };
  text: { request: { plan: Plan }; response: string };
  /** A layer of the last run as a picture; null where it is not among them. */
  paint: { request: { layer: AnyLayerId }; response: PaintedLayer | null };
  /** A coarse surface of one quantity with other settings, over the cells of the last run; null where there is none to try. */
  preview: {
    request: { settings: SurfacesSettings; layer: MeasuredId };
    response: PaintedLayer | null;
  };
  /** What a layer of the last run holds over the ground; null where it is not among them. */
  statistics: { request: { layer: AnyLayerId }; response: LayerStatistics | null };
  /** Two layers of the last run against one another. */
  correlation: { request: { a: AnyLayerId; b: AnyLayerId }; response: LayerPair | null };
  /** Whether a raster can be read over the plan's field, and what it holds. */
  raster: {
    request: { file: NamedBytes; band: number; crs: string | null };
    response: Result<RasterFile>;
  };
}
export type CallName = keyof Calls;
export type RequestOf<N extends CallName> = Calls[N]['request'];
export type ResponseOf<N extends CallName> = Calls[N]['response'];

export interface InputFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}
export interface SortedFiles {
  readonly boundary: readonly NamedBytes[];
  readonly keepOut: readonly NamedBytes[];
  readonly points: readonly NamedBytes[];
  readonly samples: readonly NamedBytes[];
}
export interface StartRequest {
  readonly name: string;
  readonly boundary: readonly NamedBytes[];
  readonly keepOut: readonly NamedBytes[];
  readonly points: readonly NamedBytes[];
  readonly samples: readonly NamedBytes[];
  readonly crop: string | null;
  readonly yieldGoal: number | null;
  readonly governs: 'larger' | 'ppm' | 'saturation' | null;
  readonly crs: string | null;
  /** What was set for files with the same headers before. */
  readonly remembered: readonly RememberedMapping[];
}
export interface Started {
  readonly plan: Plan;
  readonly inputs: readonly InputFile[];
  /** Every guess that was made, in words. */
  readonly guesses: readonly string[];
}
export interface OpenedFile {
  readonly plan: Plan;
  readonly inputs: readonly InputFile[];
}
/** An opened prescription against the plan's, and the difference as a picture. */
export interface OpenedAgainst {
  readonly comparison: Omit<BackComparison, 'difference_lbPerAc' | 'points'>;
  /** Spreadable ground that no record of the file has; empty where the file's outline is not known. */
  readonly planOnly: MultiPolygon;
  readonly picture: PaintedValues;
}
/** A raster that can be brought in, as an input of the plan. */
export interface RasterFile {
  readonly input: PlanInput;
  readonly bands: number;
  /** Of the band that was looked at, empty where the file gives none. */
  readonly unit: string;
  readonly reading: readonly string[];
}
export interface LayerStatistics {
  readonly stats: LayerStats;
  readonly histogram: Histogram;
}
export interface LayerPair {
  readonly correlation: Correlation;
  /** Some of the cells that have both: values of the first and of the second, in turn. */
  readonly points: Float64Array;
  /** Equal spans of the first layer: their ground, and the second's mean there. */
  readonly spans: readonly PairSpan[];
}
export interface PairSpan {
  readonly from: number;
  readonly to: number;
  readonly acres: number;
  /** NaN where there is no ground. */
  readonly mean: number;
}
export interface TableColumns {
  readonly name: string;
  readonly format: Dataset['format'];
  readonly columns: readonly string[];
  readonly guesses: readonly ColumnGuess[];
  readonly records: number;
  readonly decimal: '.' | ',';
  readonly reading: readonly string[];
  readonly crs: CrsInfo | null;
  /** What this table is called among those of its files. */
  readonly table: string;
  /** Tables of lab values in the same files, this one among them, with their rows. */
  readonly labTables: readonly { readonly table: string; readonly rows: number }[];
}

type StageName = keyof PlanOut['stages'];
type StageValue<S extends StageName> = PlanOut[S];

/** One stage of a run: its state, and its value only where it differs from the one sent last. */
export type StageReply = {
  readonly [S in StageName]: { readonly state: StageState; readonly value: StageValue<S> | 'as before' };
};
export type RunReply =
  | {
      readonly done: true;
      readonly stages: StageReply;
      readonly problems: readonly Problem[];
      readonly shapes: MapShapes | 'as before';
      /** Least, mean and most of the surfaces' layers, so that nobody counts the cells again. */
      readonly spreads: Readonly<Partial<Record<LayerId, Spread>>>;
    }
  | { readonly done: false };

/** To the worker. */
export type ToWorker =
  | { [N in CallName]: { readonly id: number; readonly name: N; readonly request: RequestOf<N> } }[CallName]
  | { readonly id: number; readonly cancel: true };

/** From the worker. */
export type FromWorker =
  | { readonly id: number; readonly response: ResponseOf<CallName> }
  | { readonly id: number; readonly progress: Progress }
  | { readonly id: number; readonly crash: string };

export interface Progress {
  readonly stage: Stage;
  readonly done: number;
  readonly total: number;
}
