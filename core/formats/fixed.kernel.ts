const MINUS = 0x2d;
const POINT = 0x2e;
const DIGIT_0 = 0x30;
/** Whole numbers up to here, and one more, are exact in a double. */
const EXACT = 2 ** 53;
const POWERS = Array.from({ length: 16 }, (_, i) => 10 ** i);

/**
 * Writes a number right-aligned in `width` bytes from `at`, with fixed decimals and no exponent, exactly as `toFixed` rounds the double; zero has no
 * sign. False, and nothing written, where it does not fit or is not finite. The bytes before it are left as they are.
 * Digits are taken from the scaled number, and from `toFixed` only where rounding is in doubt: near a half, or beyond what a double holds.
 */
export function putFixed(bytes: Uint8Array, at: number, width: number, decimals: number, value: number): boolean {
  const size = value < 0 ? -value : value;
  const scaled = size * (POWERS[decimals] ?? Infinity);
  // Half a unit in the last place of the product is what it may be off by: far less than this of one.
  if (!(scaled < 1e15)) return putText(bytes, at, width, decimals, value);
  let whole = Math.floor(scaled);
  const rest = scaled - whole;
  if (Math.abs(rest - 0.5) < 1e-3 + scaled / EXACT) return putText(bytes, at, width, decimals, value);
  if (rest > 0.5) whole++;
  const negative = value < 0 && whole > 0;
  let digits = 1;
  while (digits < 16 && whole >= POWERS[digits]!) digits++;
  if (digits <= decimals) digits = decimals + 1;
  const length = digits + (decimals > 0 ? 1 : 0) + (negative ? 1 : 0);
  if (length > width) return false;
  let place = at + width - 1;
  for (let d = 0; d < digits; d++) {
    if (d === decimals && decimals > 0) bytes[place--] = POINT;
    const next = Math.floor(whole / 10);
    bytes[place--] = DIGIT_0 + (whole - next * 10);
    whole = next;
  }
  if (negative) bytes[place] = MINUS;
  return true;
}

function putText(bytes: Uint8Array, at: number, width: number, decimals: number, value: number): boolean {
  if (!Number.isFinite(value)) return false;
  const shown = value.toFixed(decimals);
  if (shown.includes('e')) return false;
  const text = /^-[0.]+$/.test(shown) ? shown.slice(1) : shown;
  if (text.length > width) return false;
  const start = at + width - text.length;
  for (let i = 0; i < text.length; i++) bytes[start + i] = text.charCodeAt(i);
  return true;
}
