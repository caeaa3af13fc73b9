import { withProducts } from '../../rates/product.ts';
import { productsOf } from '../../rates/spread.ts';
import { cellsChange } from '../cells-change.ts';
import { baseOf, fileNames } from '../names.ts';
import { fileSets } from '../sets.ts';
import { bordersOf } from './borders.ts';
import { totalRate } from './classes.ts';
import { detailsOf } from './details.ts';
import { escapeHtml } from './escape.ts';
import { frontOf, type Page } from './front.ts';
import { growerOf } from './grower.ts';
import { measuresOf } from './measures.ts';
import { PAPERS } from './paper.ts';
import { styleOf } from './style.ts';
import type { SheetInput } from './types.ts';

/** Name of the printed page beside the files. Not in the manifest: a PDF holds the moment it was printed at, and the files shall be the same bytes each time. */
export const SHEET_PDF = 'sheet.pdf';

/**
 * The printed page as one HTML document that asks for nothing else: no script, no address, every word of a person escaped. A cab page for each pass
 * (map, rates, cautions, ticks, signatures), one part for whoever spreads (loads, calibration, files, decisions, proof) and one for the grower (both
 * readings, the sum, cost, comparison). On Letter or A4 as set; page numbers and breaks are the browser's, so no font cuts a line.
 * The same input gives the same text on any engine. Linear in the positions and cells.
 */
export function sheetHtml(given: SheetInput): string {
  const input: SheetInput = { ...given, ratesSettings: withProducts(given.ratesSettings) };
  const paper = PAPERS[input.settings.sheet.paper];
  const { prescriptions } = input.handoff;
  const { settings } = input;
  const products = productsOf(input.ratesSettings).map(({ name }) => name);
  const called = fileNames(settings.baseName ?? baseOf(input.planName), settings, {
    passes: prescriptions.length,
    products: products.length,
  });
  const page: Page = {
    input,
    say: measuresOf(input),
    paper,
    borders: bordersOf(input.zones.zones.map(({ polygons }) => polygons)),
    products,
    change: input.handoff.cells
      ? cellsChange(input.handoff.totals, input.rates, settings, input.ratesSettings.machine)
      : null,
    sets: fileSets(prescriptions, products, called, settings),
    most_lbPerAc: prescriptions.reduce(
      (most, { pieces }) => pieces.reduce((own, piece) => Math.max(own, totalRate(piece)), most),
      0,
    ),
  };
  const title = `Cab sheet: ${input.planName}`;
  const foot = [input.planName, input.settings.sheet.heading].filter((part) => part !== '').join(' · ');
  return [
    '<!doctype html>',
    '<html lang="en"><head><meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">`,
    '<meta name="viewport" content="width=device-width">',
    `<title>${escapeHtml(title)}</title>`,
    `<style>${styleOf(paper, foot.length > 90 ? `${foot.slice(0, 88)}…` : foot)}</style></head><body>`,
    ...prescriptions.map((prescription, index) => frontOf(page, prescription, index)),
    detailsOf(page),
    growerOf(page),
    '</body></html>',
    '',
  ].join('\n');
}
