/** What is timed: tasks, and for each the ways to do it, ours first. */
import type { Request, ToolName } from './outside.ts';
import {
  ours,
  oursOthers,
  oursPlain,
  plainAll,
  plainNearest,
  plainOthers,
  treeNearest,
  turfAll,
  type Way,
} from './ways.ts';
import { COUNTS, NEAREST, POWERS, tightRadius_m, type Workload, type WorkloadName } from './workloads.ts';

export type TaskName = 'nearest' | 'all' | 'others';
/** Names that a fresh process finds its way by. */
export const WAYS = {
  oursNearest: ours(NEAREST),
  oursAll: ours(0),
  oursOthers,
  oursPlainNearest: oursPlain(NEAREST),
  oursPlainAll: oursPlain(0),
  plainNearest,
  plainAll,
  plainOthers,
  treeNearest,
  turfAll,
} as const satisfies Record<string, Way>;
export type WayName = keyof typeof WAYS;

export interface Reference {
  readonly name: string;
  /** Largest relative difference from the truth that passes. */
  readonly limit: number;
  /** Fields where it is not run, for its time. */
  readonly not?: readonly WorkloadName[];
  /** In Node, or in another program. */
  readonly way?: WayName;
  readonly tool?: ToolName;
  readonly request?: (work: Workload) => Request;
}

const EXACT = 1e-12;
export const TASKS: readonly {
  readonly task: TaskName;
  readonly title: string;
  readonly not: readonly WorkloadName[];
  readonly ways: readonly [Reference, ...Reference[]];
}[] = [
  {
    task: 'nearest',
    title: `${NEAREST} nearest, power 2`,
    not: [],
    ways: [
      { name: 'ours', limit: EXACT, way: 'oursNearest' },
      { name: 'ours, TypeScript alone', limit: EXACT, way: 'oursPlainNearest' },
      { name: 'textbook loop', limit: EXACT, way: 'plainNearest', not: ['Y'] },
      { name: 'kdbush, growing radius', limit: EXACT, way: 'treeNearest' },
      { name: 'scipy cKDTree', limit: EXACT, tool: 'scipy', request: () => ({ k: NEAREST }) },
      {
        name: 'gdal_grid invdistnn, least radius',
        limit: EXACT,
        tool: 'gdal',
        request: (work) => ({ k: NEAREST, radius_m: tightRadius_m(work) }),
      },
      { name: 'gstat idw, nmax', limit: EXACT, tool: 'gstat', request: () => ({ k: NEAREST }), not: ['Y'] },
    ],
  },
  {
    task: 'all',
    title: 'all samples, power 2',
    not: ['Y'],
    ways: [
      { name: 'ours', limit: EXACT, way: 'oursAll' },
      { name: 'ours, TypeScript alone', limit: EXACT, way: 'oursPlainAll' },
      { name: 'textbook loop', limit: EXACT, way: 'plainAll' },
      { name: 'turf.interpolate', limit: 1e-6, way: 'turfAll', not: ['M', 'L'] },
      { name: 'gdal_grid invdist, double', limit: EXACT, tool: 'gdal', request: () => ({ double: true }) },
      { name: 'gdal_grid invdist, its float32 way', limit: 1e-3, tool: 'gdal', request: () => ({ double: false }) },
      { name: 'gstat idw', limit: EXACT, tool: 'gstat', request: () => ({}), not: ['L'] },
    ],
  },
  {
    task: 'others',
    title: `leave-one-out, ${POWERS.length} powers x ${COUNTS.length} neighbour counts`,
    not: ['Y'],
    ways: [
      { name: 'ours', limit: EXACT, way: 'oursOthers' },
      { name: 'textbook, one sort a sample', limit: EXACT, way: 'plainOthers' },
      { name: 'scipy, vectorised', limit: EXACT, tool: 'scipy', request: () => ({ powers: POWERS, counts: COUNTS }) },
    ],
  },
];

/** What must hold, as ratios of warm medians within one run. */
export const TARGETS: readonly {
  readonly work: WorkloadName;
  readonly task: TaskName;
  readonly reference: string;
  readonly least: number;
}[] = [
  { work: 'M', task: 'nearest', reference: 'gdal_grid invdistnn, least radius', least: 20 },
  { work: 'M', task: 'nearest', reference: 'scipy cKDTree', least: 5 },
  { work: 'M', task: 'all', reference: 'gdal_grid invdist, double', least: 1 },
  { work: 'Y', task: 'nearest', reference: 'scipy cKDTree', least: 3 },
  { work: 'L', task: 'others', reference: 'scipy, vectorised', least: 4 },
];
