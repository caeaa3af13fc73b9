import type { Zone } from '../../core/zones/types.ts';
import type { Point } from './camera.ts';

/** A zone's letter at its widest spot, and below it what is said of the zone: a rate, or that it is withheld. */
export interface ZoneLabel {
  readonly key: string;
  readonly letter: string;
  readonly at: Point;
  readonly below: string | null;
  readonly plate: boolean;
}
export interface LabelText {
  readonly text: string;
  readonly plate: boolean;
}

const DISC_PX = 22;
const FIGURE_PX = 10.6;
const PLATE_PX = 7.2;
const LETTER_UP_PX = 13;

/** Half the width of the plate about a text of 12 px. */
export const plateHalf = (text: string): number => (text.length * PLATE_PX) / 2 + 7;

/**
 * The labels that find room, largest zone first: one that would touch another loses what stands below its letter; the letter
 * itself always stays. Other parts of a zone carry it again where there is room for it.
 */
export function placeLabels(
  zones: readonly Pick<Zone, 'key' | 'letter' | 'acres' | 'spot' | 'otherSpots'>[],
  project: (p: Zone['spot']) => Point,
  below: (zoneKey: string) => LabelText | null,
): ZoneLabel[] {
  const taken: Rect[] = [];
  const isFree = (rect: Rect): boolean => !taken.some((other) => touches(other, rect));
  const sorted = [...zones].sort((a, b) => b.acres - a.acres);
  const place = (zone: (typeof sorted)[number], spot: Zone['spot'], key: string, must: boolean): ZoneLabel[] => {
    const at = project(spot);
    const text = below(zone.key);
    const wide = text && around(at, text);
    const disc = rectAbout(at[0], at[1], DISC_PX / 2, DISC_PX / 2);
    if (text && wide && isFree(wide)) {
      taken.push(wide);
      return [{ key, letter: zone.letter, at, below: text.text, plate: text.plate }];
    }
    if (!must && !isFree(disc)) return [];
    taken.push(disc);
    return [{ key, letter: zone.letter, at, below: null, plate: false }];
  };
  const main = sorted.flatMap((zone) => place(zone, zone.spot, zone.key, true));
  const again = sorted.flatMap((zone) =>
    zone.otherSpots.flatMap((spot, index) => place(zone, spot, `${zone.key}/${index + 2}`, false)),
  );
  return [...main, ...again];
}

interface Rect {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}
const rectAbout = (x: number, y: number, halfWidth: number, halfHeight: number): Rect => ({
  left: x - halfWidth,
  right: x + halfWidth,
  top: y - halfHeight,
  bottom: y + halfHeight,
});
function around(at: Point, text: LabelText): Rect {
  const half = text.plate ? plateHalf(text.text) : (text.text.length * FIGURE_PX) / 2;
  return rectAbout(at[0], at[1] - 1, Math.max(DISC_PX / 2, half), LETTER_UP_PX + DISC_PX / 2);
}
const touches = (a: Rect, b: Rect): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
