import type { Problem } from '../base/problem.ts';
import type { LngLat, MultiPolygon } from '../geo/types.ts';
import type { RatesSettings } from '../rates/settings.ts';
import { groundChecks } from './checks-ground.ts';
import { nameChecks } from './checks-names.ts';
import { placeChecks } from './checks-place.ts';
import { rateChecks } from './checks-rates.ts';
import { recordChecks } from './checks-records.ts';
import type { FileSet } from './sets.ts';
import type { HandoffSettings } from './settings.ts';
import type { CellsOut, CheckLine, LoadLine, Prescription } from './types.ts';

export { AREA_TOLERANCE } from './checks-ground.ts';

/** What is looked at before anything is written. */
export interface CheckInput {
  readonly planName: string;
  readonly prescriptions: readonly Prescription[];
  readonly sets: readonly FileSet[];
  readonly cells: CellsOut | null;
  readonly loads: readonly LoadLine[];
  readonly ground: MultiPolygon;
  /** Zones that are in no file. */
  readonly leftOut: MultiPolygon;
  readonly samples: readonly LngLat[];
  /** Product of all passes by the rates stage, lb. */
  readonly planned_lb: number;
  readonly machine: RatesSettings['machine'];
  readonly settings: Pick<HandoffSettings, 'limits' | 'rateUnit' | 'hopper_tons' | 'files'>;
}

/** Checks that were made, and what they found. */
export interface Checks {
  readonly lines: readonly CheckLine[];
  readonly problems: readonly Problem[];
}

/**
 * Everything that is checked before writing: the ground covered once and wholly, sound polygons, records and rates the controller takes, tons as
 * planned, the field in its place, plain names. Problems by the check that makes them. Cost: linear in the edges.
 */
export function checkHandoff(input: CheckInput): Checks {
  const ground = groundChecks(input);
  const all = [
    ground,
    recordChecks(input),
    rateChecks(input, ground.largestSteps),
    placeChecks(input),
    nameChecks(input),
  ];
  return { lines: all.flatMap(({ lines }) => lines), problems: all.flatMap(({ problems }) => problems) };
}
