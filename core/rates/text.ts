/** A figure of the ledger's sentences: ASCII, thousands in commas, no minus on a zero; `unknown` where NaN. */
export function figure(value: number, decimals = 0): string {
  if (!Number.isFinite(value)) return 'unknown';
  const fixed = Math.abs(value).toFixed(decimals);
  const dot = fixed.indexOf('.');
  const whole = (dot < 0 ? fixed : fixed.slice(0, dot)).replace(/\B(?=(\d{3})+$)/g, ',');
  const text = dot < 0 ? whole : whole + fixed.slice(dot);
  return value < 0 && /[1-9]/.test(text) ? `-${text}` : text;
}

/** A figure as it was typed: no more decimals than it needs, three at most. */
export const typed = (value: number): string =>
  Number.isFinite(value) ? figure(value, decimalsOf(value)) : figure(value);

function decimalsOf(value: number): number {
  for (let decimals = 0; decimals < 3; decimals++) {
    if (Math.abs(value - Number(value.toFixed(decimals))) < 1e-9) return decimals;
  }
  return 3;
}

/** Whole dollars: `$9,595`, `-$9,595`. */
export const dollars = (value: number): string => `${Math.round(value) < 0 ? '-' : ''}$${figure(Math.abs(value))}`;

/** `1 year`, `4 years`. */
export const counted = (count: number, one: string): string => `${figure(count)} ${count === 1 ? one : `${one}s`}`;

/** Null for what is not known, so that a ledger line shows no figure. */
export const known = (value: number): number | null => (Number.isFinite(value) ? value : null);
