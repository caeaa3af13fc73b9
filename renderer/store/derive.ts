import { type Problem, STAGES, type Stage } from '../../core/base/problem.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { LayerId } from '../../core/surfaces/types.ts';
import { layerSpread } from './layer-spread.ts';
import type { ProofState, ResultsState } from './results.ts';

/** How a stage stands against the plan as it is now. */
export type StageStanding = 'fresh' | 'working' | 'stale' | 'problem' | 'wait';
type Made = (typeof STAGES)[number];

/** The parts of the plan that each stage is made from, beyond those of the stages before it. */
const OWN_PARTS: Record<Made, (plan: Plan) => readonly unknown[]> = {
  field: (plan) => [plan.inputs, plan.field],
  soil: (plan) => [plan.soil],
  // Rates come in here: the need layer and the zones follow the floors.
  surfaces: (plan) => [plan.surfaces, plan.rasters],
  zones: (plan) => [plan.zones, plan.rates],
  rates: (plan) => [plan.ground],
  handoff: (plan) => [plan.handoff, plan.name],
};

/** The first stage whose making the two plans differ in; null when they are made alike. */
export function firstChanged(before: Plan, now: Plan): Made | null {
  if (before === now) return null;
  for (const stage of STAGES) {
    const [a, b] = [OWN_PARTS[stage](before), OWN_PARTS[stage](now)];
    if (a.some((part, i) => part !== b[i])) return stage;
  }
  return null;
}

/** Standing of every stage on the course. */
export function standings(
  plan: Plan | null,
  results: Pick<ResultsState, 'out' | 'outFor' | 'work' | 'cancelled'>,
): Readonly<Record<Made, StageStanding>> {
  const { out, outFor, work } = results;
  const changed = plan && outFor ? firstChanged(outFor, plan) : null;
  const at = work && work !== 'waiting' ? STAGES.indexOf(work.stage as Made) : -1;
  const standing = (stage: Made, index: number): StageStanding => {
    if (!plan) return 'wait';
    if (index === at) return 'working';
    // Stages before the one under way are made, and come with the rest.
    if (!out) return index < at ? 'fresh' : 'wait';
    if (changed !== null && index >= STAGES.indexOf(changed))
      return out.stages[stage].state === 'waiting' ? 'wait' : 'stale';
    const { state } = out.stages[stage];
    return state === 'fresh' ? 'fresh' : state === 'problem' ? 'problem' : 'wait';
  };
  return {
    field: standing('field', 0),
    soil: standing('soil', 1),
    surfaces: standing('surfaces', 2),
    zones: standing('zones', 3),
    rates: standing('rates', 4),
    handoff: standing('handoff', 5),
  };
}

/** True when every result belongs to the plan as it is now. */
export const isFresh = (plan: Plan | null, results: Pick<ResultsState, 'out' | 'outFor'>): boolean =>
  plan !== null && results.out !== null && results.outFor !== null && firstChanged(results.outFor, plan) === null;

/** The proof that holds for what the plan gives now; null when anything is stale or was written from another state. */
export function validProof(
  plan: Plan | null,
  results: Pick<ResultsState, 'out' | 'outFor' | 'proof'>,
): ProofState | null {
  const { proof, out } = results;
  if (!proof || !out || !isFresh(plan, results)) return null;
  return proof.key === out.stages.handoff.key ? proof : null;
}

const ORDER = { stop: 0, caution: 1, note: 2 } as const;

/** Every problem there is: troubles outside the stages first, then by severity, each in the stages' order. */
export function allProblems(results: Pick<ResultsState, 'out' | 'notices' | 'proof'>): readonly Problem[] {
  const made = results.out?.problems ?? [];
  const proof = results.proof?.proof.problems ?? [];
  return [...results.notices, ...gathered([...made, ...proof])].sort((a, b) => ORDER[a.severity] - ORDER[b.severity]);
}

/** The same words about several zones become one problem that names them all: `zone A, B, C`. */
export function gathered(problems: readonly Problem[]): readonly Problem[] {
  const found = new Map<string, Problem>();
  for (const problem of problems) {
    const { zone, ...place } = problem.at ?? {};
    const key = JSON.stringify([problem.code, problem.severity, problem.stage, problem.message, problem.remedy, place]);
    const first = zone === undefined ? undefined : found.get(key);
    const zones = first?.at?.zone;
    if (first && zones !== undefined) found.set(key, { ...first, at: { ...first.at, zone: `${zones}, ${zone}` } });
    else found.set(zone === undefined ? `${key} ${found.size}` : key, problem);
  }
  return [...found.values()];
}

export function countProblems(problems: readonly Problem[]): { stop: number; caution: number; note: number } {
  const count = { stop: 0, caution: 0, note: 0 };
  for (const problem of problems) count[problem.severity]++;
  return count;
}

/** The field's mean of a layer, each cell weighted by its ground; NaN where no cell has a value. */
export function fieldMean(out: PlanOut, layer: LayerId): number {
  const values = out.surfaces?.layers[layer];
  return values && out.surfaces ? layerSpread(values, out.surfaces.grid.cover_m2).mean : Number.NaN;
}

/** The layer a stage shows when none was chosen. */
export const stageLayer = (stage: Stage | null): 'samples' | 'k_ppm' | 'rate' | 'written' =>
  stage === 'handoff'
    ? 'written'
    : stage === 'rates' || stage === null
      ? 'rate'
      : stage === 'surfaces' || stage === 'zones'
        ? 'k_ppm'
        : 'samples';

/** How many files an export has: those made by now, and the page for people that is made once they are read back. */
export const exportCount = (plan: Plan | null, out: Pick<PlanOut, 'handoff'>): number =>
  (out.handoff?.files.length ?? 0) + (out.handoff && plan?.handoff.files.sheet ? 1 : 0);
