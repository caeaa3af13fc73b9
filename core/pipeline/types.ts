import type { Problem, Stage } from '../base/problem.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { HandoffOut } from '../handoff/types.ts';
import type { Plan } from '../plan/schema.ts';
import type { RatesOut } from '../rates/types.ts';
import type { SoilOut } from '../soil/types.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { ZonesOut } from '../zones/types.ts';

export interface SetbackOut {
  readonly id: string;
  readonly name: string;
  readonly distance_m: number;
  /** Inside the field. */
  readonly polygons: MultiPolygon;
  readonly acres: number;
}

export interface FieldOut {
  readonly boundary: MultiPolygon;
  /** Keep-outs and setbacks together, as far as they lie in the field. */
  readonly keepOut: MultiPolygon;
  /** What each setback takes from the field by itself, in the plan's order. */
  readonly setbacks: readonly SetbackOut[];
  /** Boundary less keep-out: what the rates and files cover. */
  readonly spreadable: MultiPolygon;
  readonly boundary_ac: number;
  readonly keepOut_ac: number;
  readonly spreadable_ac: number;
  /** What was understood: CRS, parts, holes, repairs. */
  readonly reading: readonly string[];
}

export interface StageState {
  readonly stage: Stage;
  /** waiting: a stage before it stopped; problem: something in it must be settled, though it may have a result. */
  readonly state: 'waiting' | 'fresh' | 'problem';
  /** SHA-256 of everything the stage was made from. */
  readonly key: string;
  readonly problems: readonly Problem[];
}

/** What the stages gave, as far as they came. */
export interface PlanOut {
  readonly stages: Readonly<Record<'field' | 'soil' | 'surfaces' | 'zones' | 'rates' | 'handoff', StageState>>;
  readonly field: FieldOut | null;
  readonly soil: SoilOut | null;
  readonly surfaces: SurfacesOut | null;
  readonly zones: ZonesOut | null;
  readonly rates: RatesOut | null;
  readonly handoff: HandoffOut | null;
  /** All stages' problems, in order. */
  readonly problems: readonly Problem[];
}

/** Bytes of the plan's inputs by their path. */
export type InputBytes = ReadonlyMap<string, Uint8Array>;

export interface RunRequest {
  readonly plan: Plan;
  readonly inputs: InputBytes;
}
