import { caution, note, type Problem } from '../base/problem.ts';
import { contains } from '../geo/contains.ts';
import type { LngLat } from '../geo/types.ts';
import type { Zone } from '../zones/types.ts';
import { choicesWithoutZone } from './choices.ts';
import { creditsNowhere } from './credits.ts';
import { laterCropsAmiss } from './path.ts';
import type { RatesSettings } from './settings.ts';
import { typed } from './text.ts';

/** Limits of saturation that stand the wrong way round. */
function outOfOrder(plan: RatesSettings): readonly { readonly text: string; readonly setting: string }[] {
  const found: { text: string; setting: string }[] = [];
  const { rangeTop_pct: top, zeroAt_pct: zero, note_pct, caution_pct, strong_pct } = plan;
  if (zero <= top)
    found.push({
      text: `no K is reached at ${typed(zero)} %, not above the top of the range, ${typed(top)} %`,
      setting: 'rates.zeroAt_pct',
    });
  for (const [key, { rangeTop_pct: own }] of Object.entries(plan.zones)) {
    if (own !== undefined && zero <= own)
      found.push({
        text: `no K is reached at ${typed(zero)} %, not above the ${typed(own)} % where the range of the zone with key ${key} ends`,
        setting: 'rates.zones',
      });
  }
  if (note_pct > caution_pct)
    found.push({
      text: `the note at ${typed(note_pct)} % is above the caution at ${typed(caution_pct)} %`,
      setting: 'rates.note_pct',
    });
  if (caution_pct > strong_pct)
    found.push({
      text: `the caution at ${typed(caution_pct)} % is above the strong one at ${typed(strong_pct)} %`,
      setting: 'rates.caution_pct',
    });
  return found;
}

/** Where a place lies now, in words. */
function placeText(zones: readonly Zone[], at: LngLat): string {
  const now = zones.find(({ polygons }) => contains(polygons, at));
  return now ? `: that lies in zone ${now.letter} now` : '';
}

/**
 * What concerns the whole plan and no single zone: `rates-governs-not-told`, `rates-depths-differ`, `rates-saturation-order`,
 * `rates-override-no-zone`, `rates-override-moved` (the zone of that key no longer holds the place that the rate was typed for), `rates-choice-no-zone`, `rates-credit-nowhere`, `rates-then-crop`.
 */
export function planProblems(
  plan: RatesSettings,
  zones: readonly Zone[],
  depths_in: readonly number[],
  depth_in: number,
  areaIds: readonly string[],
): readonly Problem[] {
  const found: Problem[] = [];
  if (plan.follows === null && plan.governs === 'larger' && !plan.governsTold)
    found.push(
      note(
        'rates-governs-not-told',
        'Nobody has said which target governs, so the larger of ppm and saturation was taken.',
        'Say whether the larger, the ppm or the saturation target shall govern.',
        { setting: 'rates.governs' },
      ),
    );
  if (depths_in.length > 1)
    found.push(
      caution(
        'rates-depths-differ',
        `The samples were taken to different depths, ${depths_in.map(typed).join(', ')} in.; pounds are worked out for ${typed(depth_in)} in.`,
        'Look at the depth column, or keep samples of one depth.',
        { setting: 'soil.depth_in' },
      ),
    );
  const disorder = outOfOrder(plan);
  if (disorder.length > 0)
    found.push(
      caution(
        'rates-saturation-order',
        `Limits of K saturation are out of order: ${disorder.map((one) => one.text).join('; ')}.`,
        'Set them so that the range ends under the share where K comes to 0, and note, caution and strong caution rise.',
        { setting: disorder[0]?.setting ?? 'rates.zeroAt_pct' },
      ),
    );
  for (const override of plan.overrides) {
    const zone = zones.find(({ key }) => key === override.zoneKey);
    if (zone && override.at && !contains(zone.polygons, override.at))
      found.push(
        caution(
          'rates-override-moved',
          `The ${typed(override.rate_lbPerAc)} lb/ac typed by hand now stand for zone ${zone.letter}, which no longer holds the place they were typed for${placeText(zones, override.at)}.`,
          'Look whether they are meant for this ground: type them again for the zone that is, or take them out.',
          { zone: zone.letter, setting: 'rates.overrides' },
        ),
      );
    if (!zone)
      found.push(
        caution(
          'rates-override-no-zone',
          `A rate of ${typed(override.rate_lbPerAc)} lb/ac was typed for the zone with key ${override.zoneKey}, and there is none now: it is kept in the plan and not used.`,
          'Type it for one of the present zones, or take it out.',
          { setting: 'rates.overrides' },
        ),
      );
  }
  found.push(
    ...choicesWithoutZone(plan, zones),
    ...creditsNowhere(
      plan.credits,
      zones.map((zone) => zone.key),
      areaIds,
    ),
    ...laterCropsAmiss(plan),
  );
  return found.map((problem) => ({ ...problem, stage: 'rates' }));
}
