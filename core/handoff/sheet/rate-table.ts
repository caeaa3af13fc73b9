import type { Prescription } from '../types.ts';
import type { RateClass } from './classes.ts';
import { hatch, type Rings, WAYS_DEG } from './draw.ts';
import { escapeHtml as e } from './escape.ts';
import type { Page } from './front.ts';
import { gapOf } from './map.ts';
import { reading } from './measures.ts';
import type { ZoneRow } from './rows.ts';

const n = (text: string, kind = ''): string => `<td class="n${kind}">${text}</td>`;

/** The rates of a pass: a row a zone, or a row a class of cells, and the total under a double rule. */
export function rateTable(
  page: Page,
  prescription: Prescription,
  rows: readonly ZoneRow[],
  classes: readonly RateClass[] | null,
  many: boolean,
): string {
  const open = `<table class="rates${many ? ' many' : ''}">`;
  return classes
    ? `${open}${classRows(page, prescription, classes)}</table>`
    : `${open}${zoneRows(page, prescription, rows)}</table>`;
}

/** The zone's own name, where somebody gave it one, and why it gets its rate. */
export const whyWords = ({ zone, why }: Pick<ZoneRow, 'zone' | 'why'>): string =>
  ['', zone.letter, zone.what, `Zone ${zone.letter}`].includes(zone.name) ? why : `${zone.name}: ${why}`;

/** `1`, `2` behind a column's name where there are two products. */
const each = (products: readonly string[], head: string, unit = ''): string =>
  products.map((_, index) => `<th class="n">${head}${products.length > 1 ? ` ${index + 1}` : ''}${unit}</th>`).join('');

function zoneRows({ say, products, input }: Page, { totals }: Prescription, rows: readonly ZoneRow[]): string {
  const several = input.handoff.prescriptions.length > 1;
  const head = [
    '<th>Zone</th>',
    each(products, 'Rate', `, ${say.rateUnit}`),
    several ? '<th class="n">All passes</th>' : '',
    `<th class="n">${say.metric ? 'Hectares' : 'Acres'}</th>`,
    each(products, say.metric ? 'Kilograms' : 'Pounds'),
    each(products, say.heavyHead),
    '<th class="w">Why</th><th class="n">K, ppm</th><th class="n">K, %</th>',
  ].join('');
  const body = rows.map((row) => {
    const { zone, given, rates_lbPerAc } = row;
    const out = rates_lbPerAc === null;
    return [
      `<tr><td><span class="z">${e(zone.letter)}</span></td>`,
      ...products.map((_, at) => n(out ? 'out' : say.rate(rates_lbPerAc[at] ?? 0), ' r')),
      several ? n(given.rate_lbPerAc === null || out ? '–' : say.rate(given.rate_lbPerAc)) : '',
      n(say.area(row.acres)),
      ...products.map((_, at) => n(out ? '–' : say.mass(row.pounds[at] ?? 0))),
      ...products.map((_, at) => n(out ? '–' : say.heavy((row.pounds[at] ?? 0) / 2000))),
      `<td class="w">${e(whyWords(row))}</td>${n(reading(given.reading.k_ppm))}${n(reading(given.reading.kSat_pct, 1))}</tr>`,
    ].join('');
  });
  const out_ac = rows.reduce((sum, row) => sum + (row.rates_lbPerAc === null ? row.acres : 0), 0);
  const withheld_ac = rows.reduce((sum, row) => sum + (row.given.withheld && row.rates_lbPerAc ? row.acres : 0), 0);
  const words = [
    'In the files',
    ...(out_ac > 0 ? [`without ${say.area(out_ac)} ${say.areaUnit} left out`] : []),
    ...(withheld_ac > 0 ? [`${say.area(withheld_ac)} withheld, as 0`] : []),
  ].join(', ');
  return `<thead><tr>${head}</tr></thead><tbody>${body.join('')}</tbody><tbody class="last"><tr class="sum"><td colspan="${1 + products.length + (several ? 1 : 0)}">${e(words)}</td>${n(say.area(totals.acres))}${sums(totals, say)}<td colspan="3"></td></tr></tbody>`;
}

const sums = (totals: Prescription['totals'], say: Page['say']): string =>
  [
    ...totals.byProduct.map((one) => n(say.mass(one.product_lb))),
    ...totals.byProduct.map((one) => n(say.heavy(one.product_tons))),
  ].join('');

function classRows(
  { say, products, most_lbPerAc: most }: Page,
  { totals, pieces }: Prescription,
  classes: readonly RateClass[],
): string {
  const head = [
    `<th>Class</th><th></th><th class="n">Rate in the files, ${say.rateUnit}${products.length > 1 ? ', both' : ''}</th><th class="n">Records</th>`,
    `<th class="n">${say.metric ? 'Hectares' : 'Acres'}</th>`,
    each(products, say.metric ? 'Kilograms' : 'Pounds'),
    each(products, say.heavyHead),
  ].join('');
  const body = classes.map((one) => {
    const { from_lbPerAc: from, to_lbPerAc: to } = one;
    return [
      `<tr><td><span class="z q">${one.number}</span></td><td>${swatch((from + to) / 2, most, one.way)}</td>`,
      n(from === to ? say.rate(to) : `${say.rate(from)}–${say.rate(to)}`, ' r'),
      n(String(one.pieces.length)),
      n(say.area(one.acres)),
      ...products.map((_, at) => n(say.mass(one.pounds[at] ?? 0))),
      ...products.map((_, at) => n(say.heavy((one.pounds[at] ?? 0) / 2000))),
      '</tr>',
    ].join('');
  });
  return `<thead><tr>${head}</tr></thead><tbody>${body.join('')}</tbody><tbody class="last"><tr class="sum"><td colspan="3">In the files</td>${n(String(pieces.length))}${n(say.area(totals.acres))}${sums(totals, say)}</tr></tbody>`;
}

/** The lines of a class as the map has them. */
function swatch(rate_lbPerAc: number, most_lbPerAc: number, way: number): string {
  const box: Rings = [
    [
      [0.5, 0.5],
      [53.5, 0.5],
      [53.5, 15.5],
      [0.5, 15.5],
    ],
  ];
  const lines =
    rate_lbPerAc > 0
      ? `<path d="${hatch(box, gapOf(rate_lbPerAc, most_lbPerAc), WAYS_DEG[way % WAYS_DEG.length] ?? 45)}" fill="none" stroke="#000" stroke-width=".75"/>`
      : '';
  return `<svg class="swatch" width="54" height="16" viewBox="0 0 54 16" aria-hidden="true"><rect x=".5" y=".5" width="53" height="15" fill="#fff" stroke="#000"/>${lines}</svg>`;
}
