import { caution, note, type Problem } from '../base/problem.ts';
import { totalOf, type Worked } from './ledger.ts';
import { leftBy } from './left.ts';
import { isMachineRate } from './machine.ts';
import { overrideOf } from './override.ts';
import { hasSeasonPass, type PassCap } from './passes.ts';
import type { RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';
import type { LeftBy, PassRate } from './types.ts';
import type { At, Watched } from './watch.ts';

/** lb of product in one pass that ask for a reason, and that are refused without one. Common practice, no source. */
export const HEAVY_PASS_LBPERAC = 500;
export const VERY_HEAVY_PASS_LBPERAC = 1400;
/** Change by the machine that is worth a word: both must be passed. Common practice, no source. */
const CHANGE_LBPERAC = 10;
const CHANGE_SHARE = 0.25;

/** What the passes and their caps give to mind. */
export function aboutPasses({ zone, worked, passes, byHand }: Watched, plan: RatesSettings, at: At): Problem[] {
  const found: Problem[] = [];
  const spreads = passes.some((one) => one.rate_lbPerAc > 0);
  if (spreads && worked.holding.light && !hasSeasonPass(worked.caps))
    found.push(
      caution(
        'rates-light-no-season',
        `Zone ${zone.letter} is light ground, and the plan has no pass in season that can spread: K may leach before the crop takes it.`,
        'Add a pass in season.',
        { ...at, setting: 'rates.passes' },
      ),
    );
  for (const cap of worked.caps) {
    if (cap.pass.inSeason && cap.placed)
      found.push(
        caution(
          'rates-placed-in-season',
          `The pass ${cap.pass.name} is in season and told to be ${cap.pass.placement === 'in furrow' ? 'in the furrow' : cap.pass.placement}: a place beside the seed is had at planting alone.`,
          'Broadcast that pass, or say that it is not in season.',
          { setting: 'rates.passes' },
        ),
      );
    if (cap.placed && cap.placed.most_lbNAndK2OPerAc === null)
      found.push(
        caution(
          'rates-placed-no-figure',
          `Nothing is put on ${cap.pass.name}: ${cap.placed.text}.`,
          'Broadcast that pass, or take it out of the plan.',
          { setting: 'rates.passes' },
        ),
      );
    else if (cap.underLeast && (worked.exact_lbPerAc ?? 0) + worked.undone_lbK2OPerAc > 0)
      found.push(
        caution(
          'rates-cap-under-least',
          `The cap of ${cap.text} ${cap.pass.name} is under what the machine can spread at least in zone ${zone.letter}, so that pass is left out.`,
          cap.placed
            ? 'Broadcast that pass: the limit at the row guards the seed, and is not to be raised.'
            : "Raise the cap or lower the machine's least rate.",
          { ...at, setting: 'rates.passes' },
        ),
      );
    if (cap.pass.placement === 'in furrow' && plan.product.n_pct > 0 && cap.cap_lbPerAc > 0)
      found.push(
        caution(
          'rates-placed-n',
          `${plan.product.name} holds N, and the limit in the furrow holds only for products without urea and thiosulfate (Kansas State University).`,
          'Ask what the N in it is, or broadcast that pass.',
          { setting: 'rates.passes' },
        ),
      );
  }
  const override = byHand ? overrideOf(plan.overrides, zone.key) : null;
  passes.forEach((pass, index) => {
    const reason = override ? `typed by hand: ${override.why}` : (plan.passes[index]?.mostReason ?? '');
    const heavy = heavyPass(pass, reason, zone.letter, at);
    if (heavy) found.push(heavy);
  });
  return found;
}

/** A word on a pass of much product: it asks for a reason, or says the one that was given. */
function heavyPass(pass: PassRate, reason: string, letter: string, at: At): Problem | null {
  if (pass.rate_lbPerAc <= HEAVY_PASS_LBPERAC) return null;
  const very = pass.rate_lbPerAc > VERY_HEAVY_PASS_LBPERAC;
  const is = `Zone ${letter} gets ${typed(pass.rate_lbPerAc)} lb/ac of product in one pass, ${pass.name}: more than ${figure(very ? VERY_HEAVY_PASS_LBPERAC : HEAVY_PASS_LBPERAC)}`;
  const setting = { ...at, setting: 'rates.passes' };
  if (reason === '')
    return caution(
      'rates-pass-reason',
      `${is}, and no reason is given.`,
      'Give the reason for the cap of that pass, or lower it.',
      setting,
    );
  if (very)
    return caution(
      'rates-very-heavy-pass',
      `${is}, because: ${reason}.`,
      'Look again: so much salt at once harms seed and seedlings and is seldom called for.',
      setting,
    );
  return note(
    'rates-heavy-pass',
    `${is}, because: ${reason}.`,
    'Keep it away from the seed in time and place.',
    setting,
  );
}

/** Each thing that can leave K2O undone, in words, and what would mend it. The choice to turn ground off is told apart. */
const CAUSES = [
  {
    key: 'caps_lbK2OPerAc',
    words: 'by the caps of the year and the passes',
    remedy: '',
    setting: 'rates.passes',
  },
  {
    key: 'budget_lbK2OPerAc',
    words: 'by the budget',
    remedy: 'Raise the budget, or share it by another rule; else put it on next year.',
    setting: 'rates.budget',
  },
  {
    key: 'machine_lbK2OPerAc',
    words: "by the machine's least rate and step",
    remedy: "Lower the machine's least rate or step, or put zones together; else put it on next year.",
    setting: 'rates.machine',
  },
  {
    key: 'distinctRates_lbK2OPerAc',
    words: 'by the limit on different rates',
    remedy: 'Raise the number of rates that the controller takes, or put zones together.',
    setting: 'rates.machine.distinctRates',
  },
] as const satisfies readonly { readonly key: keyof LeftBy; readonly [other: string]: string }[];

/** Most passes that a plan may have. */
const MOST_PASSES = 2;

/** What gives room where caps leave K2O: only the caps that hold it back and may be raised, and a pass only where there is one to add. */
function raiseCaps({ lines, caps }: Worked, { passes }: RatesSettings): string {
  const took = (key: 'cap' | 'passes'): boolean => (lines.find((one) => one.key === key)?.carried ?? 0) < -0.05;
  const names = (of: readonly PassCap[]): string => of.map(({ pass }) => pass.name).join(' and ');
  const open = caps.filter(({ placed }) => placed === null);
  const beside = caps.filter(({ placed }) => placed !== null);
  const ways = [
    ...(took('cap') ? ["raise the year's cap"] : []),
    ...(took('passes') && open.length > 0 ? [`raise the cap ${names(open)}`] : []),
    ...(took('passes') && passes.length < MOST_PASSES ? ['add a pass'] : []),
    ...(took('passes') && beside.length > 0 ? [`broadcast what is put on ${names(beside)}`] : []),
  ].join(' or ');
  if (ways === '') return 'Put it on next year.';
  const seed =
    took('passes') && beside.length > 0 ? ' The limit at the row guards the seed, and is not to be raised.' : '';
  return `${ways.charAt(0).toUpperCase()}${ways.slice(1)}, as far as the ground bears it; else put it on next year.${seed}`;
}

/** Part of what is asked for that caps, machine and number of rates, and that the budget may leave without a word. Ours. */
const LEFT_SHARE = 0.25;
const UNPAID_SHARE = 0.5;

/** What stays undone, each with what left it: by choice, the caps, the budget, the machine, or its number of rates. */
export function aboutLeft({ zone, ground, worked, byHand }: Watched, plan: RatesSettings, at: At): Problem[] {
  const { exact_lbPerAc: exact, rates_lbPerAc: rates, undone_lbK2OPerAc: undone, grouped } = worked;
  if (ground.off) return [turnedOff(worked, zone, byHand !== null, at)];
  if (byHand || exact === null || !rates) return [];
  const found: Problem[] = [];
  const asked = worked.asked_lbK2OPerAc - worked.credited.used_lbK2OPerAc;
  const left = leftBy(worked, false);
  // a part that the money does not reach to is told with the budget; most of it is told here too
  if (undone - left.budget_lbK2OPerAc > asked * LEFT_SHARE || left.budget_lbK2OPerAc > asked * UNPAID_SHARE) {
    const causes = CAUSES.filter(({ key }) => left[key] > 0.05).sort((a, b) => left[b.key] - left[a.key]);
    const parts = causes.map(({ key, words }) => `${causes.length > 1 ? `${figure(left[key], 1)} ` : ''}${words}`);
    found.push(
      caution(
        'rates-undone',
        `${figure(undone, 1)} of the ${figure(asked, 1)} lb K2O/ac asked for in zone ${zone.letter} stay undone this year, on ${figure(zone.acres, 1)} ac: left ${parts.join(', ')}.`,
        (causes[0]?.key === 'caps_lbK2OPerAc' ? raiseCaps(worked, plan) : causes[0]?.remedy) ?? 'Put it on next year.',
        { ...at, setting: causes[0]?.setting ?? 'rates.passes' },
      ),
    );
  }
  const rate = totalOf(rates);
  const before = grouped?.before_lbPerAc ?? rate;
  if (muchChanged(exact, before))
    found.push(
      caution(
        'rates-machine-changes',
        `The machine's least rate and step make ${typed(before)} lb/ac of the ${figure(exact, 1)} worked out for zone ${zone.letter}.`,
        "Lower the machine's least rate or step, or put zones together.",
        { ...at, setting: 'rates.machine' },
      ),
    );
  if (grouped && muchChanged(before, rate))
    found.push(
      caution(
        'rates-distinct-changes',
        `To keep to ${typed(plan.machine.distinctRates ?? 0)} different rates a pass, zone ${zone.letter} gets ${typed(rate)} lb/ac in place of ${typed(before)}.`,
        'Raise the number of rates that the controller takes, or put zones of like ground together.',
        { ...at, setting: 'rates.machine.distinctRates' },
      ),
    );
  return found;
}

const muchChanged = (from_lbPerAc: number, to_lbPerAc: number): boolean => {
  const change = Math.abs(to_lbPerAc - from_lbPerAc);
  return change > CHANGE_LBPERAC && change > from_lbPerAc * CHANGE_SHARE;
};

function turnedOff(
  { asked_lbK2OPerAc, undone_lbK2OPerAc }: Worked,
  { letter, role }: Watched['zone'],
  byHand: boolean,
  at: At,
): Problem {
  const is = role === 'spread' ? 'is turned off by choice' : `is to ${role}, by its role`;
  const setting = { ...at, setting: role === 'spread' ? 'rates.zones' : 'zones.roles' };
  return byHand
    ? caution(
        'rates-off-by-hand',
        `Zone ${letter} ${is}, and a rate was typed for it by hand: the typed rate stands.`,
        'Take out the one that is not meant.',
        setting,
      )
    : note(
        'rates-zone-off',
        `Zone ${letter} ${is}, and gets nothing; ${Number.isNaN(asked_lbK2OPerAc) ? 'what it asks for is not known' : `${figure(undone_lbK2OPerAc, 1)} lb K2O/ac stay undone`}.`,
        role === 'spread' ? 'Turn it on again to give it its rate.' : 'Make it a zone to spread to give it its rate.',
        setting,
      );
}

/** What a rate typed by hand gives to mind. */
export function aboutHand({ zone, ground, worked, passes, byHand }: Watched, plan: RatesSettings, at: At): Problem[] {
  if (!byHand) return [];
  const found: Problem[] = [];
  const setting = { ...at, setting: 'rates.overrides' };
  const odd = passes.filter((one) => !isMachineRate(one.rate_lbPerAc, plan.machine));
  if (odd.length > 0)
    found.push(
      caution(
        'rates-override-range',
        `The rate typed for zone ${zone.letter} gives ${odd.map((one) => `${typed(one.rate_lbPerAc)} lb/ac ${one.name}`).join(' and ')}, which the machine cannot set.`,
        `Type a rate that splits into ${typed(plan.machine.least_lbPerAc)} to ${typed(plan.machine.most_lbPerAc)} lb/ac a pass in steps of ${typed(plan.machine.step_lbPerAc)}.`,
        setting,
      ),
    );
  const k2o = passes.reduce((all, one) => all + one.k2o_lbPerAc, 0);
  const share = ground.reading.kSat_pct;
  if (k2o > 0 && share > plan.rangeTop_pct)
    found.push(
      caution(
        'rates-override-above-range',
        `${figure(k2o, 1)} lb K2O/ac were typed for zone ${zone.letter}, where K stands at ${figure(share, 1)} %, above the ${typed(plan.rangeTop_pct)} % where the range ends.`,
        'Look whether that ground needs it: K above the range hinders Mg and Ca, and pays for nothing.',
        setting,
      ),
    );
  const yearCap = worked.holding.perYear_lbK2OPerAc;
  const overYear = yearCap === null ? 0 : k2o - yearCap;
  const hair = 1e-6;
  if (byHand.overCap_lbPerAc > hair || overYear > hair)
    found.push(
      caution(
        'rates-override-cap',
        `The rate typed for zone ${zone.letter} passes ${[
          ...(byHand.overCap_lbPerAc > hair
            ? [
                `the cap ${passes[byHand.overPass]?.name ?? 'of its pass'} by ${figure(byHand.overCap_lbPerAc, 1)} lb/ac`,
              ]
            : []),
          ...(overYear > hair ? [`the year's cap by ${figure(overYear, 1)} lb K2O/ac`] : []),
        ].join(' and ')}.`,
        'Lower it, or raise the cap.',
        setting,
      ),
    );
  return found;
}
