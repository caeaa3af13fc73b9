import { caution, note, type Problem } from '../base/problem.ts';
import { totalOf, type Worked } from './ledger.ts';
import { isMachineRate } from './machine.ts';
import { hasSeasonPass } from './passes.ts';
import type { RatesSettings } from './settings.ts';
import { figure, typed } from './text.ts';
import type { PassRate } from './types.ts';
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
          "Raise the cap or lower the machine's least rate.",
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
  passes.forEach((pass, index) => {
    const reason = byHand ? 'typed by hand' : (plan.passes[index]?.mostReason ?? '');
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

/** What stays undone, by choice, by the caps or by the machine. */
export function aboutLeft({ zone, ground, worked, byHand }: Watched, at: At): Problem[] {
  const { exact_lbPerAc: exact, rates_lbPerAc: rates, undone_lbK2OPerAc: undone } = worked;
  if (ground.off) return [turnedOff(worked, zone, byHand !== null, at)];
  if (byHand || exact === null || !rates) return [];
  const found: Problem[] = [];
  const asked = worked.asked_lbK2OPerAc - worked.credited.used_lbK2OPerAc;
  // what the money does not reach to is told with the budget, and no cap would mend it
  const held = undone + (worked.lines.find((one) => one.key === 'budget')?.carried ?? 0);
  if (held > asked / 4)
    found.push(
      caution(
        'rates-undone',
        `${figure(held, 1)} of the ${figure(asked, 1)} lb K2O/ac asked for in zone ${zone.letter} stay undone this year, on ${figure(zone.acres, 1)} ac.`,
        "Raise the caps, add a pass, or lower the machine's least rate; else put it on next year.",
        { ...at, setting: 'rates.passes' },
      ),
    );
  const rate = totalOf(rates);
  const change = Math.abs(rate - exact);
  if (change > CHANGE_LBPERAC && change > exact * CHANGE_SHARE)
    found.push(
      caution(
        'rates-machine-changes',
        `The machine's least rate and step make ${typed(rate)} lb/ac of the ${figure(exact, 1)} worked out for zone ${zone.letter}.`,
        "Lower the machine's least rate or step, or put zones together.",
        { ...at, setting: 'rates.machine' },
      ),
    );
  return found;
}

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
export function aboutHand({ zone, worked, passes, byHand }: Watched, plan: RatesSettings, at: At): Problem[] {
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
  const yearCap = worked.holding.perYear_lbK2OPerAc;
  const overYear = yearCap === null ? 0 : k2o - yearCap;
  const hair = 1e-6;
  if (byHand.overCap_lbPerAc > hair || overYear > hair)
    found.push(
      caution(
        'rates-override-cap',
        `The rate typed for zone ${zone.letter} passes ${[
          ...(byHand.overCap_lbPerAc > hair
            ? [`the cap of its pass by ${figure(byHand.overCap_lbPerAc, 1)} lb/ac`]
            : []),
          ...(overYear > hair ? [`the year's cap by ${figure(overYear, 1)} lb K2O/ac`] : []),
        ].join(' and ')}.`,
        'Lower it, or raise the cap.',
        setting,
      ),
    );
  return found;
}
