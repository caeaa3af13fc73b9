import { type Problem, stop } from '../base/problem.ts';
import { LB_PER_SHORT_TON } from '../base/units.ts';
import type { CheckInput, Checks } from './checks.ts';
import { AREA_TOLERANCE, type Step } from './checks-ground.ts';
import { addTotals } from './pieces.ts';
import type { CheckLine, Piece } from './types.ts';

/**
 * Rates that are there, within the machine's, and add up to the plan.
 * Problems: `handoff-missing` (no rate, or one under 0), `handoff-range`, `handoff-tons` (another weight than the rates stage gives, by zones),
 * `handoff-loads` (the load plan carries another weight).
 */
export function rateChecks(input: CheckInput, steps: readonly Step[]): Checks {
  const { prescriptions, machine } = input;
  const pieces = prescriptions.flatMap((one) => one.pieces);
  const lines: CheckLine[] = [];
  const problems: Problem[] = [];
  const missing = pieces.filter((piece) => both(piece).some((rate) => !Number.isFinite(rate) || rate < 0));
  lines.push({
    what: 'Every record has a rate',
    figure: missing.length === 0 ? `${pieces.length}` : `${missing.length} without`,
    holds: missing.length === 0,
  });
  if (missing[0]) {
    const message = `${missing.length === 1 ? 'One record has' : `${missing.length} records have`} no rate, or one under 0: zone ${missing[0].letter}.`;
    problems.push(
      stop('handoff-missing', message, 'Type a rate by hand for the zone, and report the plan.', {
        zone: missing[0].letter,
      }),
    );
  }

  let [least, most] = [Infinity, 0];
  for (const rate of pieces.flatMap(both)) {
    if (!(rate > 0)) continue;
    least = Math.min(least, rate);
    most = Math.max(most, rate);
  }
  if (most > 0) {
    const within = least >= machine.least_lbPerAc - 1e-9 && most <= machine.most_lbPerAc + 1e-9;
    const figure = least === most ? `${least}` : `${least}–${most}`;
    lines.push({
      what: `Rates are 0 or within ${machine.least_lbPerAc}–${machine.most_lbPerAc} lb/ac`,
      figure,
      holds: within,
    });
    if (!within) {
      const message = `A rate lies outside the machine's range of ${machine.least_lbPerAc}–${machine.most_lbPerAc} lb/ac: the files would hold ${figure}.`;
      const remedy = "Change the hand-typed rate, or the machine's least and most rate.";
      problems.push(stop('handoff-range', message, remedy, { setting: 'rates.machine' }));
    }
  }
  const steepest = steps.reduce<Step | null>((a, b) => (a && a.step_lbPerAc >= b.step_lbPerAc ? a : b), null);
  if (steepest && steepest.step_lbPerAc > 0) {
    const [a, b] = steepest.letters;
    lines.push({
      what: `Largest step at a border${steps.length > 1 ? `, ${steepest.pass}` : ''}`,
      figure: `${steepest.step_lbPerAc} lb/ac, ${a} beside ${b}`,
      holds: true,
    });
  }
  const tons = tonChecks(input);
  return { lines: [...lines, ...tons.lines], problems: [...problems, ...tons.problems] };
}

const both = ({ rate_lbPerAc, second_lbPerAc }: Piece): readonly number[] => [rate_lbPerAc, second_lbPerAc];

function tonChecks({ prescriptions, cells, loads, planned_lb, settings }: CheckInput): Checks {
  const lines: CheckLine[] = [];
  const problems: Problem[] = [];
  const { product_lb } = addTotals(prescriptions.map(({ totals }) => totals));
  const off_lb = product_lb - planned_lb;
  const same = Math.abs(off_lb) <= AREA_TOLERANCE * planned_lb + 1e-6;
  lines.push({
    what: cells ? 'Product by cells, against zones' : 'Product as the rates stage gives it',
    figure: `${off_lb < 0 ? '-' : '+'}${Math.abs(off_lb).toFixed(cells ? 0 : 3)} lb`,
    holds: cells !== null || same,
  });
  if (!cells && !same) {
    const message = `The files would hold ${product_lb.toFixed(1)} lb; the rates stage gives ${planned_lb.toFixed(1)} lb.`;
    problems.push(stop('handoff-tons', message, 'Run the stages again, and report the plan.'));
  }
  if (settings.hopper_tons !== null && loads.length > 0) {
    const carried = loads.reduce((sum, { full, last_tons, hopper_tons }) => sum + full * hopper_tons + last_tons, 0);
    const off_tons = carried - product_lb / LB_PER_SHORT_TON;
    const carries = Math.abs(off_tons) <= 0.001 * loads.length + 1e-9;
    const count = loads.reduce((sum, { full, last_tons }) => sum + full + (last_tons > 0 ? 1 : 0), 0);
    lines.push({
      what: 'The load plan carries the tons',
      figure: `${count} loads, ${carried.toFixed(2)} tons`,
      holds: carries,
    });
    if (!carries) {
      const message = `The loads carry ${carried.toFixed(3)} tons; the files hold ${(product_lb / LB_PER_SHORT_TON).toFixed(3)}.`;
      problems.push(
        stop('handoff-loads', message, 'Type anew what a load holds, and report the plan.', {
          setting: 'handoff.hopper_tons',
        }),
      );
    }
  }
  return { lines, problems };
}
