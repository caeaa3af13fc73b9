/** A page in CSS pixels, 96 to the inch, and what its margins leave. */
export interface Paper {
  readonly name: 'Letter' | 'A4';
  /** For @page. */
  readonly css: string;
  readonly width_px: number;
  readonly height_px: number;
}

/** Margins: wider than what a common printer cannot reach (a quarter of an inch: common practice, no source). */
export const MARGIN_PX = { top: 36, side: 46, bottom: 42 } as const;

const PX_PER_MM = 96 / 25.4;
const made = (name: Paper['name'], css: string, width_px: number, height_px: number): Paper => ({
  name,
  css,
  width_px: Math.floor(width_px - 2 * MARGIN_PX.side),
  height_px: Math.floor(height_px - MARGIN_PX.top - MARGIN_PX.bottom),
});

/** US Letter is 8.5 by 11 in.; A4 210 by 297 mm (ISO 216). */
export const PAPERS = {
  Letter: made('Letter', '8.5in 11in', 816, 1056),
  A4: made('A4', '210mm 297mm', 210 * PX_PER_MM, 297 * PX_PER_MM),
} as const satisfies Record<Paper['name'], Paper>;

/**
 * Lines that text takes in a column, estimated from a wide sans serif: 0.53 em a character at `size_px`, 0.59 where bold. Only to share a page out;
 * the browser breaks lines and pages itself, so a font that runs wider moves a block to the next page and cuts nothing.
 */
export function linesOf(text: string, width_px: number, size_px: number, bold = false): number {
  const fits = Math.max(1, Math.floor(width_px / (size_px * (bold ? 0.59 : 0.53))));
  let lines = 1;
  let at = 0;
  for (const word of text.split(/\s+/)) {
    const length = Array.from(word).length;
    if (at > 0 && at + 1 + length > fits) {
      lines += 1;
      at = 0;
    }
    lines += Math.floor(Math.max(0, length - 1) / fits);
    at += (at > 0 ? 1 : 0) + (length % fits || Math.min(length, fits));
  }
  return lines;
}
