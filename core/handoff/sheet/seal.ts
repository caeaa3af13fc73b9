import { tenth } from './draw.ts';
import { escapeHtml } from './escape.ts';

const SIZE = 88;
const STEPS = 220;
/** Waves about the circle, and the four turns that are laid over each other. */
const WAVES = 18;
const TURNS = [0, 1, 2, 3];

/** The engraved rosette of a handoff that was proved; stands nowhere else. `when` in one line below the word. */
export function sealOf(when: string): string {
  const middle = SIZE / 2;
  const rosette = TURNS.map((turn) => {
    const places = Array.from({ length: STEPS }, (_, step) => {
      const angle = (step / STEPS) * 2 * Math.PI;
      const r = SIZE * (0.4 + 0.055 * Math.sin(WAVES * angle + (turn * Math.PI) / 3));
      return `${tenth(middle + r * Math.cos(angle))} ${tenth(middle + r * Math.sin(angle))}`;
    });
    return `M${places.join('L')}Z`;
  }).join('');
  const text = (y: number, size: number, weight: number, words: string): string =>
    `<text x="${middle}" y="${y}" text-anchor="middle" font-size="${size}" font-weight="${weight}">${escapeHtml(words)}</text>`;
  const lines = when.length > 10 ? [when.slice(0, 10), when.slice(10).trim()] : [when];
  return `<svg width="${SIZE}" height="${SIZE}" viewBox="0 0 ${SIZE} ${SIZE}" role="img" aria-label="Proved"><g fill="none" stroke="#000"><path d="${rosette}" stroke-width=".55"/><circle cx="${middle}" cy="${middle}" r="42" stroke-width="1.1"/><circle cx="${middle}" cy="${middle}" r="29.5" stroke-width=".8"/><path d="M37 28l4.8 5.3l10 -11" stroke-width="1.8"/></g>${text(48, 10.5, 600, 'PROVED')}${text(57, 7.5, 400, (lines[0] ?? '').slice(0, 14))}${text(65.5, 7.5, 400, (lines[1] ?? '').slice(0, 10))}</svg>`;
}
