import { caution, type Problem } from '../base/problem.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { Zone, ZonesOut } from '../zones/types.ts';
import { cropOf } from './crops.ts';
import type { RatesSettings, ZoneChoices } from './settings.ts';
import { counted, figure, typed } from './text.ts';

/** Part of a zone that a yield layer must cover to set its goal. Ours. */
const COVERED_SHARE = 0.5;

/** The plan as it stands for one zone. */
export interface ZonePlan {
  /** The plan with the zone's own choices put in its place. */
  readonly plan: RatesSettings;
  /** True: nothing is spread there, by choice. */
  readonly off: boolean;
  /** What the zone does otherwise, in words; empty where it is as the plan. */
  readonly own: string;
  /** Where the yield goal comes from, in words; empty for the plan's own. */
  readonly goalFrom: string;
}

/**
 * The plan with a zone's own choices: yield goal (its own, else the yield layer's, else the plan's), what governs, floors, top of the range,
 * build-up years, reading. Everything downstream reads the result as if it were the whole plan.
 */
export function planOfZone(plan: RatesSettings, zoneKey: string, layerGoal: number | null): ZonePlan {
  const choices: ZoneChoices = plan.zones[zoneKey] ?? {};
  const { yieldGoal, governs, floor_ppm, floor_pct, rangeTop_pct, buildUp_years, reading, off } = choices;
  const goal = yieldGoal ?? layerGoal;
  return {
    plan: {
      ...plan,
      yieldGoal: goal ?? plan.yieldGoal,
      governs: governs ?? plan.governs,
      governsTold: plan.governsTold || governs !== undefined,
      floor_ppm: floor_ppm ?? plan.floor_ppm,
      floor_pct: floor_pct ?? plan.floor_pct,
      rangeTop_pct: rangeTop_pct ?? plan.rangeTop_pct,
      buildUp_years: buildUp_years ?? plan.buildUp_years,
      reading: reading ?? plan.reading,
    },
    off: off === true,
    own: ownText(choices),
    goalFrom:
      yieldGoal !== undefined
        ? "the zone's own goal"
        : layerGoal !== null
          ? `the goal is the mean of ${plan.yieldLayer?.layer ?? ''}${plan.yieldLayer?.factor === 1 ? '' : ` x ${typed(plan.yieldLayer?.factor ?? 1)}`}`
          : '',
  };
}

function ownText(own: ZoneChoices): string {
  const parts: string[] = [];
  if (own.governs !== undefined) parts.push(`${own.governs} governs`);
  if (own.floor_ppm !== undefined) parts.push(`floor ${typed(own.floor_ppm)} ppm`);
  if (own.floor_pct !== undefined) parts.push(`floor ${typed(own.floor_pct)} %`);
  if (own.rangeTop_pct !== undefined) parts.push(`range to ${typed(own.rangeTop_pct)} %`);
  if (own.buildUp_years !== undefined) parts.push(`build-up over ${counted(own.buildUp_years, 'year')}`);
  if (own.reading !== undefined) parts.push(`read by the ${own.reading}`);
  return parts.length === 0 ? '' : `for this zone alone: ${parts.join(', ')}`;
}

/**
 * Yield goal of each zone, by label, as the mean of the plan's yield layer over its ground x the factor. A zone without one (the layer covers
 * less than half of it, or its mean is not above 0) has none here and goes by the plan's goal, with `rates-yield-layer-thin`; a
 * layer that is not there gives `rates-yield-layer-missing`, one in another unit than the crop's and without a factor `rates-yield-layer-unit`. Linear in the cells.
 */
export function goalsByLayer(
  plan: Pick<RatesSettings, 'yieldLayer' | 'zones' | 'yieldGoal' | 'crop'>,
  zones: Pick<ZonesOut, 'zones' | 'labels'>,
  surfaces: Pick<SurfacesOut, 'own' | 'grid'>,
): { readonly byLabel: ReadonlyMap<number, number>; readonly problems: readonly Problem[] } {
  const byLabel = new Map<number, number>();
  if (!plan.yieldLayer) return { byLabel, problems: [] };
  const { layer: id, factor } = plan.yieldLayer;
  const setting = 'rates.yieldLayer';
  const layer = surfaces.own.find((one) => one.id === id);
  const then = plan.yieldGoal === null ? 'no yield goal is known' : `the goal of ${typed(plan.yieldGoal)} counts`;
  if (!layer) {
    const message = `The yield goal shall come from the layer ${id}, and there is none of that id: ${then}.`;
    const remedy = 'Bring the layer in again, or choose another.';
    return {
      byLabel,
      problems: [{ ...caution('rates-yield-layer-missing', message, remedy, { setting }), stage: 'rates' }],
    };
  }
  const problems: Problem[] = [];
  const unit = plan.crop === null ? undefined : cropOf(plan.crop)?.yieldUnit;
  if (factor === 1 && unit !== undefined && layer.unit !== '' && plainUnit(layer.unit) !== plainUnit(unit))
    problems.push({
      ...caution(
        'rates-yield-layer-unit',
        `${layer.name} is in ${layer.unit}, and a yield goal of this crop counts in ${unit}: its figures are taken as they stand.`,
        `Give the factor from ${layer.unit} to ${unit}, or put the unit of the layer right.`,
        { setting },
      ),
      stage: 'rates',
    });
  for (const zone of zones.zones) {
    if (plan.zones[zone.key]?.yieldGoal !== undefined) continue;
    const { mean, share } = meanOver(zone, zones.labels, layer.values, surfaces.grid.cover_m2);
    if (share >= COVERED_SHARE && mean > 0) byLabel.set(zone.label, mean * factor);
    else
      problems.push({
        ...caution(
          'rates-yield-layer-thin',
          `${layer.name} ${share < COVERED_SHARE ? `covers ${figure(share * 100)} % of zone ${zone.letter}` : `has no yield above 0 in zone ${zone.letter}`}: ${then} there.`,
          "Type the zone's yield goal, or bring a layer that covers it.",
          { zone: zone.letter, setting },
        ),
        stage: 'rates',
      });
  }
  return { byLabel, problems };
}

/** A unit of yield as people write it: `bu/ac`, `BU/acre`, `bushels per acre`. */
const plainUnit = (unit: string): string =>
  unit
    .toLowerCase()
    .replace(/\s+per\s+|\s*\/\s*/, '/')
    .replace(/^bushels?/, 'bu')
    .replace(/^(short )?tons?/, 'ton')
    .replace(/\/acres?$/, '/ac')
    .trim();

function meanOver(
  zone: Pick<Zone, 'label'>,
  labels: Int16Array,
  values: Float64Array,
  cover_m2: Float64Array,
): { readonly mean: number; readonly share: number } {
  let sum = 0;
  let known_m2 = 0;
  let whole_m2 = 0;
  for (let cell = 0; cell < labels.length; cell++) {
    if (labels[cell] !== zone.label) continue;
    const own = cover_m2[cell] ?? 0;
    const value = values[cell] ?? Number.NaN;
    whole_m2 += own;
    if (Number.isNaN(value)) continue;
    known_m2 += own;
    sum += own * value;
  }
  return { mean: sum / known_m2, share: whole_m2 > 0 ? known_m2 / whole_m2 : 0 };
}

/** Choices for zones that are not there now: `rates-choice-no-zone`, one a key. They stay in the plan. */
export function choicesWithoutZone(plan: Pick<RatesSettings, 'zones'>, zones: readonly Zone[]): readonly Problem[] {
  return Object.keys(plan.zones)
    .filter((key) => !zones.some((zone) => zone.key === key))
    .map((key) =>
      caution(
        'rates-choice-no-zone',
        `Choices were made for the zone with key ${key}, and there is none now: they are kept in the plan and not used.`,
        'Make them for one of the present zones, or take them out.',
        { setting: 'rates.zones' },
      ),
    );
}
