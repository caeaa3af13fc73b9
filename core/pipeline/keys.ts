import { sha256Hex } from '../base/hash.ts';
import type { Plan } from '../plan/schema.ts';
import { hashesOf } from './inputs.ts';

export type KeyedStage = 'field' | 'soil' | 'surfaces' | 'zones' | 'rates' | 'handoff';

/**
 * A key per stage: SHA-256 of the full text of everything the stage is made from, the keys of the stages before it
 * among them. Two plans with the same key give the same result, whatever else differs.
 */
export function stageKeys(plan: Plan): Record<KeyedStage, string> {
  const key = (...parts: unknown[]): string => sha256Hex(JSON.stringify(parts));
  const field = key(
    'field',
    plan.field,
    hashesOf(plan, [...plan.field.boundaryFiles, ...plan.field.keepOutFiles, ...setbackFiles(plan)]),
    namesOf(plan),
  );
  const soil = key('soil', field, plan.soil, hashesOf(plan, [...plan.soil.pointFiles, ...plan.soil.sampleFiles]));
  const rasterFiles = plan.rasters.map((raster) => raster.file);
  const surfaces = key('surfaces', soil, plan.surfaces, plan.rasters, hashesOf(plan, rasterFiles));
  const zones = key('zones', surfaces, plan.zones, targetsOf(plan), hashesOf(plan, plan.zones.polygons.files));
  const rates = key('rates', zones, plan.rates, plan.ground);
  const handoff = key('handoff', rates, plan.handoff, plan.name, plan.version);
  return { field, soil, surfaces, zones, rates, handoff };
}

/** The rate settings that decide what a cell needs, and the classes of balance; the others leave the zones as they are. */
function targetsOf(plan: Plan): unknown {
  const { governs, calcareousReason, floor_ppm, floor_pct, rangeTop_pct, caution_pct } = plan.rates;
  return { governs, calcareousReason, floor_ppm, floor_pct, rangeTop_pct, caution_pct };
}

/** Files that setbacks are kept from. */
const setbackFiles = (plan: Plan): string[] =>
  plan.field.setbacks.flatMap(({ ground }) => (ground.from === 'files' ? ground.files : []));

/** Problems name the files, so their names belong to the key. */
const namesOf = (plan: Plan): string[] => plan.inputs.map((input) => `${input.path} ${input.name}`);
