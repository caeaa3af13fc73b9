import { caution, type Problem, stop } from '../base/problem.ts';
import { guideOf } from './guides/list.ts';
import type { GuideInput } from './guides/types.ts';
import type { RatesSettings } from './settings.ts';
import { figure } from './text.ts';
import type { LedgerLine } from './types.ts';

/** What a followed guide says of some ground: its K2O for the year, or why none may be taken from it. */
export type Followed =
  | {
      readonly ok: true;
      readonly name: string;
      readonly k2o_lbPerAc: number;
      readonly how: string;
      readonly source: string;
      readonly cautions: readonly string[];
    }
  | { readonly ok: false; readonly code: string; readonly message: string; readonly remedy: string };

const ANOTHER = "Follow another guide, or let the plan's own targets set the rate.";

/**
 * Asks the guide that a plan follows; null where the plan follows none.
 *
 * A rate is taken where the guide's answer may set one. Else the reason, by code: `rates-guide-unknown` (no such guide),
 * `rates-guide-refuses` (a condition is not met), `rates-guide-no-rate` (it gives a level, a class, removal or build-up alone),
 * `rates-guide-not-set` (a figure behind the answer is from memory, so it only stands beside).
 */
export function followed(follows: RatesSettings['follows'], input: GuideInput): Followed | null {
  if (follows === null) return null;
  const guide = guideOf(follows);
  const no = (code: string, message: string, remedy = ANOTHER): Followed => ({ ok: false, code, message, remedy });
  if (!guide) return no('rates-guide-unknown', `There is no guide "${follows}" in the list.`, 'Choose a listed guide.');
  const answer = guide.recommend(input);
  if (!answer.ok) return no('rates-guide-refuses', `${guide.name} gives no rate here. ${answer.why}`);
  if (answer.k2o_lbPerAc === null)
    return no('rates-guide-no-rate', `${guide.name} gives no whole rate here: ${answer.how}.`);
  if (!answer.maySetRate)
    return no(
      'rates-guide-not-set',
      `${guide.name} may not set a rate here, since what stands behind its answer is known ${answer.flag}.`,
    );
  return {
    ok: true,
    name: guide.name,
    k2o_lbPerAc: answer.k2o_lbPerAc,
    how: answer.how,
    source: guide.source,
    cautions: answer.cautions,
  };
}

/**
 * Lines 1 to 7 where a guide is followed: they stay as working figures and carry nothing, and line 6 carries the guide's K2O in their
 * place, or nothing known where the guide gives none.
 */
export function followedLines(lines: readonly LedgerLine[], said: Followed): readonly LedgerLine[] {
  const own = lines
    .filter((line) => line.n === 6 || line.n === 7)
    .reduce((all, line) => all + (line.carried ?? Number.NaN), 0);
  const aside = Number.isNaN(own) ? '' : `; the plan's own lines 5 to 7 would ask for ${figure(own, 1)}`;
  return lines.map((line) => {
    if (line.key === 'crop')
      return {
        ...line,
        label: said.ok ? `Follows ${said.name}` : line.label,
        how: said.ok ? `${said.how}${aside}` : `${said.message} ${line.how}`,
        working: said.ok ? (Number.isNaN(own) ? null : own) : line.working,
        carried: said.ok ? said.k2o_lbPerAc : null,
        ...(said.ok ? { source: said.source } : {}),
      };
    if (line.key === 'aboveRange')
      return { ...line, how: `${line.how}; not applied, since a guide is followed`, carried: 0 };
    return line;
  });
}

/** What the followed guide gives to mind with its rate: `rates-guide-caution`, one a sentence; none where it gives no rate. */
export const guideCautions = (said: Followed | null): readonly Problem[] =>
  said?.ok
    ? said.cautions.map((text) => ({
        ...caution('rates-guide-caution', `${said.name}: ${text}`, 'Look at the guide before its rate is spread.', {
          setting: 'rates.follows',
        }),
        stage: 'rates',
      }))
    : [];

/** The stop of a zone whose guide gives no rate; null where it does. An unknown guide concerns the whole plan. */
export function guideStop(said: Followed | null, letter: string): Problem | null {
  if (said === null || said.ok) return null;
  const at = said.code === 'rates-guide-unknown' ? {} : { zone: letter };
  return {
    ...stop(said.code, said.message, said.remedy, { ...at, setting: 'rates.follows' }),
    stage: 'rates',
  };
}
