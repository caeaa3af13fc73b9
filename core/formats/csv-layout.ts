import { mostFrequent } from './csv-split.ts';

type Row = readonly string[];

/** Where a table's names stand. Indices count rows from 0. */
export interface TableLayout {
  /** Names, joined from all header rows; not made unique yet. */
  readonly names: readonly string[];
  readonly header: number;
  /** Row of group names above the header, such as `Saturation` over three columns. */
  readonly groups: number | null;
  /** Row of units below the header. */
  readonly units: number | null;
  /** First row of values. */
  readonly first: number;
}

/** Rows above the names that are looked through. */
const DEEPEST_HEADER = 60;

const UNIT =
  /^(?:ppm|ppb|mg\/kg|mg kg-?1|mg\/l|mg\/dm3|g\/kg|mg\/100 ?g|mg kg\u207b\u00b9|lbs?\/(?:ac|acre|a)|lbs? per acre|kg\/ha|t\/ac|bu\/ac|meq|meq\/100 ?g|me\/100 ?g|[cm]?mol(?:c|\(\+\)|\+)?\/kg|meq\/kg|%|pct|percent|% sat|in|inch(?:es)?|cm|mm|m|ft|feet|deg(?:rees?)?|decimal degrees|ds\/m|mmhos?\/cm|s\.?u\.?|units?|text|number|no\.?|id|-|n\/a|none|1:1|1:2|ac|acres?|ha)$/i;

/** A number as labs write it: sign, `<` or `>`, decimal point or comma, percent. */
export const isNumberLike = (cell: string): boolean =>
  /^[<>≤≥~]?=?\s*[+-]?(?:\d[\d' ]*)?(?:[.,]?\d+)?[.,]?(?:[eE][+-]?\d+)?\s*%?$/.test(cell) && /\d/.test(cell);

const filled = (row: Row): number => row.reduce((sum, cell) => sum + (cell === '' ? 0 : 1), 0);
const numbers = (row: Row): number => row.reduce((sum, cell) => sum + (isNumberLike(cell) ? 1 : 0), 0);
/** How a laboratory found a value, where it stands before the unit: `M3 ppm`. */
const METHOD = /^(?:m-?3|mehlich[ -]?(?:3|iii)|nh4oac|ammonium acetate|aa|olsen|bray[ -]?p?[12]?)\s+(?=\S)/i;
/** An amount over an amount, such as `mg K2O/100 g` or `kg K ha-1`, or a share such as `pp2m`, whether its unit is known here or not. */
const UNIT_LIKE =
  /(?<![a-z0-9])(?:(?:[mcu\u00b5\u03bc]?g|kgs?|lbs?|pounds?|[cm]?mol[^\s/]*|m\.?eq?\.?|mval|oz|t|tons?)\s*(?:(?:k|ca|mg|na)(?:2?o)?\s*)?(?:\/|per\b)\s*(?:\d|[a-z])|(?:[mcu\u00b5\u03bc]?g|kg|[cm]?mol[^\s/]*)\s+(?:(?:k|ca|mg|na)(?:2?o)?\s+)?(?:kg|l|ha|dm|g)\s*-\s*[13]|pp(?:m|b|2m)(?![a-z0-9])|as (?:k2o|cao|mgo|na2o))/i;

/** Whether a cell holds a unit, also one that no column can be read in. */
export const isUnit = (cell: string): boolean => {
  const plain = cell
    .replace(/^[([{]|[)\]}]$/g, '')
    .trim()
    .replace(METHOD, '');
  return UNIT.test(plain) || UNIT_LIKE.test(plain);
};

/**
 * The header of a text table: the first row that is nearly as full as the rows usually are, and holds names. A row of
 * units below it and a row of group names above it are joined to the names: `K` over `ppm` is `K (ppm)`, `Saturation`
 * over `K` is `Saturation K`. Null where the first full row holds numbers already.
 * Ours; the caller tells what was understood.
 */
export function findLayout(rows: readonly Row[]): TableLayout | null {
  const fills = new Map<number, number>();
  for (const row of rows) if (filled(row) > 0) fills.set(filled(row), (fills.get(filled(row)) ?? 0) + 1);
  const full = Math.max(2, Math.ceil(mostFrequent(fills)[0] * 0.75));
  const header = rows.slice(0, DEEPEST_HEADER).findIndex((row) => filled(row) >= full);
  const own = rows[header];
  if (!own || numbers(own) > filled(own) / 2) return null;
  const above = rows[header - 1];
  const groups = above && isGroupRow(above, own) ? header - 1 : null;
  const names = groups === null ? own : joinGroups(above ?? [], own);
  const below = nextFilled(rows, header);
  const units = isUnitRow(rows[below] ?? [], own) ? below : null;
  return {
    names: units === null ? names : joinUnits(names, rows[units] ?? []),
    header,
    groups,
    units,
    first: (units ?? header) + 1,
  };
}

function nextFilled(rows: readonly Row[], after: number): number {
  for (let i = after + 1; i < rows.length; i++) if (filled(rows[i] ?? []) > 0) return i;
  return rows.length;
}

/** Whether a row below the names is one of units: mostly units and no number; the first cell may be anything, such as the word "Units". */
export function isUnitRow(row: Row, names: Row): boolean {
  const cells = row.slice(1).filter((cell) => cell !== '');
  const units = cells.filter(isUnit).length;
  const again = row.every((cell, i) => cell === (names[i] ?? ''));
  return units > 0 && units >= cells.length / 2 && numbers(row) === 0 && !again;
}

/** A sparse row of words: over no id column, or over names that come twice and need it. */
function isGroupRow(row: Row, names: Row): boolean {
  const some = filled(row);
  if (some === 0 || some >= filled(names) || numbers(row) > 0) return false;
  const given = names.filter((name) => name !== '');
  const twice = new Set(given).size < given.length;
  return (row[0] ?? '') === '' ? some >= 2 || twice : some >= 3 && twice;
}

/** A group's name stands over its first column and holds until the next one. */
function joinGroups(groups: Row, names: Row): Row {
  let group = '';
  return names.map((name, i) => {
    if ((groups[i] ?? '') !== '') group = groups[i] ?? '';
    return `${group} ${name}`.trim();
  });
}

/** Words that say nothing of a figure's unit: of what kind it is, how a date is written, how a buffer pH, a CEC or organic matter was found. */
const NO_UNIT =
  /^(?:-+|n\/a|none|units?|unit of measure|text|number|no\.?|id|s\.?u\.?|[dmy]{1,4}[-/. ][dmy]{1,4}(?:[-/. ][dmy]{1,4})?|smp|sikora|woodruff|adams[ -]evans|loi|loss on ignition|summation|sum of cations|calc(?:ulated|\.)?|est(?:imated|\.)?)$/i;

/** Whatever stands in a row of units goes with the name above it: a unit that nobody here knows may not leave a name that seems to have none. */
function joinUnits(names: Row, units: Row): Row {
  return Array.from({ length: Math.max(names.length, units.length) }, (_, i) => {
    const name = names[i] ?? '';
    const unit = (units[i] ?? '').replace(/^[([{]|[)\]}]$/g, '').trim();
    const isAny = unit !== '' && !NO_UNIT.test(unit) && (i > 0 || isUnit(unit));
    return isAny ? `${name} (${unit})`.trim() : name;
  });
}

/** Columns up to the last one with a name or a value below a name; blank ones at the right come from the delimiter. */
export function usedWidth(rows: readonly (readonly string[])[], layout: TableLayout): number {
  const named = layout.names.findLastIndex((name) => name !== '') + 1;
  let width = named;
  // Unnamed columns count where most rows fill them; a stray cell makes its row ragged instead.
  const body = rows.slice(layout.first).filter((row) => row.some((cell) => cell !== ''));
  for (let i = named; i < layout.names.length; i++)
    if (body.filter((row) => (row[i] ?? '') !== '').length > body.length / 2) width = i + 1;
  return width;
}

/** What was understood of a layout, and the lines above the header. */
export function layoutWords(rows: readonly (readonly string[])[], layout: TableLayout): string[] {
  const words = [`header in row ${layout.header + 1}`];
  if (layout.groups !== null) words.push(`row ${layout.groups + 1} holds group names, joined to the header`);
  if (layout.units !== null) words.push(`row ${layout.units + 1} holds units, joined to the header`);
  const above = rows.slice(0, layout.groups ?? layout.header).flatMap((row, i) => {
    const said = row.filter((cell) => cell !== '').join(' ');
    return said === '' ? [] : [`row ${i + 1}: "${said.length > 80 ? `${said.slice(0, 79)}…` : said}"`];
  });
  if (above.length > 0) words.push(`above the header, not part of the table: ${above.join('; ')}`);
  return words;
}
