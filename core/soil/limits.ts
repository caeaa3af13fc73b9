import { caution, type Place, type Problem } from '../base/problem.ts';
import type { SoilSettings } from './settings.ts';

/** A reason, and whether the row cannot be used for it. */
export interface Found {
  readonly problem: Problem;
  readonly against: boolean;
}
/** What one cell gives in the column's own unit; NaN for nothing. */
export interface Figure {
  readonly value: number;
  /** A 0 that a person's rule put there, which is no blank. */
  readonly zero?: true;
  readonly problems: readonly Found[];
}

const NOT_DETECTED =
  /^(n\.? ?d\.?|not detected|none detected|trace|traces|tr\.?|b\.?d\.?l\.?|below detection( limit)?|<? ?(lod|mdl|dl|loq|bdl)|u)$/i;

/** Whether a text is a lab's word for "less than we can see": `n.d.`, `trace`, `BDL`, `<LOD`. */
export const isNotDetected = (text: string): boolean => NOT_DETECTED.test(text.trim());

/** Quantities that are no amount, so that nothing, and half a limit, mean nothing: pH is a logarithm, and no soil has no CEC. */
const NO_AMOUNT: ReadonlySet<string> = new Set(['pH', 'buffer pH', 'CEC']);

/** A text that is no figure: K takes its row along, another value is not measured. */
export const notANumber = (name: string, text: string, isK: boolean, at: Place): Problem =>
  caution(
    isK ? 'soil-k-not-a-number' : 'soil-not-a-number',
    `${name} is "${text}", not a number.`,
    isK
      ? 'Type the value in, or the lab’s limit as <20; else leave the row set aside.'
      : 'The row is kept and the value taken as not measured; type it in if it is known.',
    at,
  );

/**
 * A value told as not detected, by the plan's rule, which each Problem says: not measured (K takes its row along), 0, or the row set aside for K.
 * 0 is never used for pH, buffer pH and CEC: none of them can be nothing, and the value is missing.
 * Problem: `soil-not-detected`.
 */
export function notDetected(
  name: string,
  text: string,
  isK: boolean,
  rule: SoilSettings['notDetected'],
  at: Place,
): Figure {
  if (rule === 'zero' && NO_AMOUNT.has(name)) {
    const problem = caution(
      'soil-not-detected',
      `${name} is "${text}"; 0 has no meaning for ${name}, so the rule for values not detected is not used, and the value is missing.`,
      'Type the value in if it is known.',
      at,
    );
    return { value: Number.NaN, problems: [{ problem, against: false }] };
  }
  if (rule === 'zero') {
    const problem = caution(
      'soil-not-detected',
      `${name} is "${text}"; 0 is used, by the rule for values not detected.`,
      'Type the lab’s limit in as <20 if it is known.',
      at,
    );
    return { value: 0, zero: true, problems: [{ problem, against: false }] };
  }
  if (rule === 'set aside') {
    const problem = caution(
      'soil-not-detected',
      isK
        ? `${name} is "${text}"; by the rule for values not detected the row is set aside.`
        : `${name} is "${text}"; by the rule for values not detected it is taken as not measured.`,
      'Say under Soil that 0 shall stand for it, or type the lab’s limit in as <20.',
      at,
    );
    return { value: Number.NaN, problems: [{ problem, against: isK }] };
  }
  const problem = caution(
    'soil-not-detected',
    `${name} is "${text}"; by the rule for values not detected it is taken as not measured${isK ? ', and a row without K is set aside' : ''}.`,
    isK
      ? 'Say under Soil that 0 shall stand for it, or type the lab’s limit in as <20; else leave the row set aside.'
      : 'Type the lab’s limit in as <20 if it is known.',
    at,
  );
  return { value: Number.NaN, problems: [{ problem, against: isK }] };
}

/** A value told only as above a limit: the limit, or set aside as `belowLimit` does. Problem: `soil-above-limit`. */
export function aboveLimit(
  name: string,
  limit: number,
  isK: boolean,
  rule: SoilSettings['aboveLimit'],
  keep: boolean,
  at: Place,
): Figure {
  const told = `${name} is told only as above ${limit}`;
  if (rule === 'set aside' && !(isK && keep)) {
    const problem = caution(
      'soil-above-limit',
      isK ? `${told}.` : `${told}; it is taken as not measured.`,
      'Say under Soil that the limit shall stand for it, or ask the lab for the value.',
      at,
    );
    return { value: Number.NaN, problems: [{ problem, against: isK }] };
  }
  const problem = caution(
    'soil-above-limit',
    `${told}; ${limit} is used, the limit, by the rule for values above it.`,
    'Ask the lab for the value if this ground matters.',
    at,
  );
  return { value: limit, problems: [{ problem, against: false }] };
}

/**
 * A value told only as below a limit: half of it, the limit, or nothing, in which case K takes its row along unless a person
 * keeps it. Problem: `soil-below-limit`.
 */
export function belowLimit(
  name: string,
  limit: number,
  isK: boolean,
  rule: SoilSettings['belowLimit'],
  keep: boolean,
  at: Place,
): Figure {
  const told = `${name} is told only as below ${limit}`;
  if (rule === 'set aside' && !(isK && keep)) {
    const problem = caution(
      'soil-below-limit',
      isK ? `${told}.` : `${told}; it is taken as not measured.`,
      'Say under Soil that half the limit, or the limit, shall stand for it.',
      at,
    );
    return { value: Number.NaN, problems: [{ problem, against: isK }] };
  }
  const isHalf = rule !== 'the limit' && !NO_AMOUNT.has(name);
  const value = isHalf ? limit / 2 : limit;
  const how = isHalf
    ? 'half the limit, by the rule for values below it'
    : rule === 'the limit'
      ? 'the limit, by the rule for values below it'
      : `the limit: half of it has no meaning for ${name}`;
  const problem = caution(
    'soil-below-limit',
    `${told}; ${value} is used, ${how}.`,
    'Change the rule under Soil if the row should be set aside.',
    at,
  );
  return { value, problems: [{ problem, against: false }] };
}
