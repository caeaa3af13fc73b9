import { sha256Hex } from '../base/hash.ts';
import { breathe, type RunHooks } from '../base/hooks.ts';
import { fail, ok, type Problem, type Result, STAGES } from '../base/problem.ts';
import { makeHandoff } from '../handoff/make.ts';
import type { HandoffOut } from '../handoff/types.ts';
import { planText } from '../plan/open.ts';
import { makeRates } from '../rates/make.ts';
import { needPerCell } from '../rates/need.ts';
import { sampledDepth } from '../rates/reading.ts';
import type { RatesOut } from '../rates/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { makeSurfaces } from '../surfaces/make.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import { makeZones } from '../zones/make.ts';
import type { ZonesOut } from '../zones/types.ts';
import { makeField } from './field-stage.ts';
import { type KeyedStage, stageKeys } from './keys.ts';
import { readableOutliers } from './outliers.ts';
import { withRasters } from './rasters.ts';
import { makeSoil } from './soil-stage.ts';
import type { FieldOut, PlanOut, RunRequest, StageState } from './types.ts';
import { readZonePolygons } from './zone-files.ts';

/** What each stage gave last, by the key of everything it was made from. */
export interface Memo {
  readonly field: Slot<FieldOut>;
  readonly soil: Slot<SoilOut>;
  readonly surfaces: Slot<SurfacesOut>;
  readonly zones: Slot<ZonesStage>;
  readonly rates: Slot<RatesOut>;
  readonly handoff: Slot<HandoffOut>;
}
interface Slot<T> {
  last: { readonly key: string; readonly result: Result<T> } | null;
}
/** The zones come with the surfaces they were made on: those measured, and the K2O need that the targets give. */
interface ZonesStage {
  readonly zones: ZonesOut;
  readonly surfaces: SurfacesOut;
}

/** A memo with nothing in it. One per open plan; it keeps one result a stage, so its memory is bounded. */
export function createMemo(): Memo {
  const slot = () => ({ last: null });
  return { field: slot(), soil: slot(), surfaces: slot(), zones: slot(), rates: slot(), handoff: slot() };
}

/**
 * Runs the stages in order as far as they go. A stage whose key is the memo's is not made again; one that stops leaves
 * those after it waiting. Throws Cancelled when a hook refuses to go on; the memo then keeps what was finished.
 */
export async function runPlan(request: RunRequest, hooks: RunHooks = {}, memo: Memo = createMemo()): Promise<PlanOut> {
  const keys = stageKeys(request.plan);
  const { plan } = request;
  const states = new Map<KeyedStage, StageState>();

  const run = async <T>(
    stage: KeyedStage,
    ready: boolean,
    make: () => Result<T> | Promise<Result<T>>,
  ): Promise<T | null> => {
    if (!ready) {
      states.set(stage, { stage, state: 'waiting', key: keys[stage], problems: [] });
      return null;
    }
    const slot = memo[stage] as unknown as Slot<T>; // the map from stage to its result type is the Memo interface
    let result = slot.last?.key === keys[stage] ? slot.last.result : null;
    if (!result) {
      await breathe(hooks, stage, 0, 1);
      result = await make();
      slot.last = { key: keys[stage], result };
    }
    const problems = onceEach(result.problems).map(
      (problem): Problem => ({ ...problem, stage: problem.stage ?? stage }),
    );
    const settled = result.ok && !problems.some((problem) => problem.severity === 'stop');
    states.set(stage, { stage, state: settled ? 'fresh' : 'problem', key: keys[stage], problems });
    hooks.progress?.(stage, 1, 1);
    return result.ok ? result.value : null;
  };

  const field = await run('field', true, () => makeField(request));
  const soil = await run('soil', field !== null, () => makeSoil(request, given(field).boundary));
  const surfaces = await run('surfaces', soil !== null, async () => {
    const input = { soil: given(soil), ground: given(field).spreadable, settings: plan.surfaces };
    const made = readableOutliers(await makeSurfaces(input, hooks), given(soil));
    return withRasters(made, request, hooks);
  });
  const zoned = await run('zones', surfaces !== null, () =>
    zonesOf(request, given(field), given(soil), given(surfaces)),
  );
  const rates = await run('rates', zoned !== null, () => {
    const made = makeRates({
      zones: given(zoned).zones,
      surfaces: given(zoned).surfaces,
      samples: given(soil),
      soil: plan.soil,
      rates: plan.rates,
      ground: plan.ground,
    });
    return ok(made, [
      ...made.problems,
      ...made.zones.flatMap((zone) => [...(zone.withheld ? [zone.withheld] : []), ...zone.problems]),
    ]);
  });
  // A stop of the zones leaves them to be seen and mended, and nothing is written by them meanwhile.
  const settled = states.get('zones')?.state === 'fresh';
  const handoff = await run('handoff', rates !== null && settled, () =>
    makeHandoff({
      planName: plan.name,
      planSha256: sha256Hex(planText(plan)),
      ground: given(field).spreadable,
      boundary: given(field).boundary,
      keepOut: given(field).keepOut,
      spreadable_ac: given(field).spreadable_ac,
      samples: given(soil).samples.map(({ at }) => at),
      surfaces: given(zoned).surfaces,
      zones: given(zoned).zones,
      rates: given(rates),
      ratesSettings: plan.rates,
      settings: plan.handoff,
    }),
  );

  const stages = Object.fromEntries(states) as Record<KeyedStage, StageState>; // run() has set every one of them
  return {
    stages,
    field,
    soil,
    surfaces: zoned?.surfaces ?? surfaces,
    zones: zoned?.zones ?? null,
    rates,
    handoff,
    problems: STAGES.flatMap((stage) => stages[stage].problems),
  };
}

function zonesOf(request: RunRequest, field: FieldOut, soil: SoilOut, measured: SurfacesOut): Result<ZonesStage> {
  const { plan } = request;
  const { depth_in } = sampledDepth(soil, plan.soil);
  const k2oNeed_lbPerAc = needPerCell(measured, plan.soil, plan.rates, depth_in);
  const surfaces: SurfacesOut = { ...measured, layers: { ...measured.layers, k2oNeed_lbPerAc } };
  const polygons = readZonePolygons(request);
  if (!polygons.ok) return polygons;
  const zones = makeZones({
    surfaces,
    soil,
    ground: field.spreadable,
    settings: plan.zones,
    targets: {
      floor_ppm: plan.rates.floor_ppm,
      floor_pct: plan.rates.floor_pct,
      rangeTop_pct: plan.rates.rangeTop_pct,
      farAbove_pct: plan.rates.caution_pct,
    },
    polygons: polygons.value,
    far_m: plan.surfaces.far_m,
  });
  const problems = [...polygons.problems, ...zones.problems];
  return zones.ok ? ok({ zones: zones.value, surfaces }, problems) : fail(...problems);
}

/** The value of a stage that has run; asking earlier is the program's mistake. */
function given<T>(value: T | null): T {
  if (value === null) throw new Error('a stage was asked before those it needs');
  return value;
}

/** The same word of the same place once: what concerns the whole plan comes up with every zone. */
function onceEach(problems: readonly Problem[]): Problem[] {
  const seen = new Set<string>();
  return problems.filter((problem) => {
    const key = JSON.stringify([problem.code, problem.message, problem.at ?? null]);
    return seen.size < seen.add(key).size;
  });
}
