import type { Dataset } from '../formats/types.ts';
import { doubtsOf } from './doubts.ts';
import { BARE_BOUND_RANK } from './header-words.ts';
import { type HeaderReading, readHeader } from './headers.ts';
import { depthLeftOpen, hold, keepBack, odd, otherYears, thousands } from './held.ts';
import { idText, looseId } from './ids.ts';
import { lowerHeader, withoutLowerHeader } from './lower-header.ts';
import { onePerRole } from './one-per-role.ts';
import { type ColumnRole, type ColumnUnit, QUANTITIES } from './settings.ts';
import { type Spread, spreadOf } from './spread.ts';
import type { ColumnGuess } from './types.ts';
import { unitColumns } from './unit-columns.ts';
import { countsDepth } from './units.ts';

/** A column while it is being guessed. */
export interface Draft {
  readonly index: number;
  readonly column: string;
  readonly header: HeaderReading;
  readonly spread: Spread;
  is: ColumnRole;
  unit: ColumnUnit;
  /** Whether header or cells name the unit. */
  unitTold: boolean;
  because: string;
  doubts: string[];
  /** What it would be, were it told what its doubt asks for. */
  held?: ColumnRole;
}

/** Roles whose cells must be numbers. */
const NUMBERS: ReadonlySet<ColumnRole> = new Set<ColumnRole>([...QUANTITIES, 'density']);
const CATION_UNITS: readonly [ColumnUnit, ...ColumnUnit[]] = [
  'ppm',
  'mg/kg',
  'g/kg',
  'mg/100 g',
  'mg/L',
  'lb/ac',
  'kg/ha',
  'meq/100 g',
  'cmol/kg',
  'mmolc/kg',
  'mmol/kg',
  '%',
];
const LENGTHS: readonly [ColumnUnit, ...ColumnUnit[]] = ['in', 'cm', 'mm', 'dm', 'm', 'ft'];
/** Units a role may have, the one assumed first. % of a cation is by mass of dry soil; its share of the CEC is another role. */
export const UNITS_OF: Readonly<Record<ColumnRole, readonly [ColumnUnit, ...ColumnUnit[]]>> = {
  unused: ['none'],
  sampleId: ['none'],
  lng: ['deg', 'none'],
  lat: ['deg', 'none'],
  k: CATION_UNITS,
  ca: CATION_UNITS,
  mg: CATION_UNITS,
  na: CATION_UNITS,
  h: ['meq/100 g', 'cmol/kg', 'mmolc/kg', 'ppm', 'mg/kg'],
  ph: ['none'],
  bufferPh: ['none'],
  cec: ['meq/100 g', 'cmol/kg', 'mmolc/kg'],
  kSat: ['%'],
  caSat: ['%'],
  mgSat: ['%'],
  naSat: ['%'],
  hSat: ['%'],
  organicMatter: ['%', 'g/kg'],
  depth: LENGTHS,
  depthTop: LENGTHS,
  date: ['none'],
  density: ['g/cm3'],
};
/** The unit that a column's heading names where the role can have it, else the role's first. */
export function unitInHeading(column: string, is: ColumnRole): ColumnUnit {
  const { unit } = readHeader(column);
  return unit !== null && UNITS_OF[is].includes(unit) ? unit : UNITS_OF[is][0];
}

/** Roles in words. */
export const ROLE_NAMES: Readonly<Record<ColumnRole, string>> = {
  unused: 'not used',
  sampleId: 'sample id',
  lng: 'longitude',
  lat: 'latitude',
  k: 'K',
  ca: 'Ca',
  mg: 'Mg',
  na: 'Na',
  h: 'acidity',
  ph: 'pH',
  bufferPh: 'buffer pH',
  cec: 'CEC',
  kSat: 'K saturation',
  caSat: 'Ca saturation',
  mgSat: 'Mg saturation',
  naSat: 'Na saturation',
  hSat: 'H saturation',
  organicMatter: 'organic matter',
  depth: 'depth',
  depthTop: 'top of the depth',
  date: 'date',
  density: 'density of the scooped soil',
};

/**
 * What each column of a table seems to hold, in the table's column order: role, unit, why, and a doubt where a person should confirm.
 *
 * Headers decide (see `readHeader`); the values are asked whether they are numbers at all, whether coordinates are degrees, and whether
 * they fit the unit. Of two columns that claim one role the plainer one is taken and both say so. `joinTo`, the other file of a join,
 * decides between several id columns by the ids they share. Never a Problem: a guess is shown, and can be changed.
 */
export function guessColumns(table: Dataset, joinTo?: Dataset | null): readonly ColumnGuess[] {
  const lower = lowerHeader(table);
  const dataset = withoutLowerHeader(table);
  const beside = new Map(unitColumns(dataset).map((one) => [one.of, one]));
  const drafts = dataset.columns.map((column, index): Draft => {
    const under = lower?.units[index] ?? '';
    const own = under === '' ? beside.get(index) : undefined;
    const words = own?.words ?? under;
    const header = readHeader(words === '' ? column : `${column} (${words})`);
    const where = own ? `in column "${own.column}"` : 'under it';
    const named = words === '' ? `header "${column}"` : `header "${column}" with "${words}" ${where}`;
    return {
      index,
      column,
      header,
      spread: spreadOf(dataset, index),
      is: header.role,
      unit: 'none',
      unitTold: false,
      because: `${named}${headingWords(header)}`,
      doubts: [
        ...(header.doubt === undefined ? [] : [header.doubt]),
        ...(own ? [`its unit, "${words}", is that of column "${own.column}"`] : []),
      ],
    };
  });
  for (const draft of drafts)
    if (NUMBERS.has(draft.is) && draft.spread.filled > 0 && draft.spread.readable < draft.spread.filled / 2)
      drop(
        draft,
        `reads as ${ROLE_NAMES[draft.is]}, but most of its cells hold no number`,
        `most of its cells hold no number, so it is not used as ${ROLE_NAMES[draft.is]}`,
      );
  lonelyOxide(drafts);
  placesOf(dataset, drafts);
  boundsOf(drafts);
  pickId(dataset, drafts, joinTo ?? null);
  for (const role of Object.keys(UNITS_OF) as ColumnRole[]) onePerRole(role, drafts); // the record has every role as a key
  for (const draft of drafts) setUnit(draft);
  hold(drafts);
  thousands(dataset, drafts);
  doubtsOf(dataset, drafts);
  depthLeftOpen(drafts);
  otherYears(drafts);
  odd(dataset, drafts);
  for (const { is, spread, doubts } of drafts)
    if (NUMBERS.has(is) && spread.marked)
      doubts.push(
        `${spread.marked.cells === 1 ? '1 cell carries' : `${spread.marked.cells} cells carry`} a rating or a mark behind the number, such as "${spread.marked.first}": the number is read, the mark passed over`,
      );
  return drafts.map(
    (draft): ColumnGuess => ({
      column: draft.column,
      is: draft.is,
      unit: spelled(draft, beside.get(draft.index)?.words ?? lower?.units[draft.index] ?? ''),
      ...(draft.header.oxide && draft.header.role === draft.is ? { oxide: true } : {}),
      ...ofDepth(draft),
      because: draft.because,
      ...(draft.held === undefined ? {} : { held: draft.held }),
      ...(draft.doubts.length === 0 ? {} : { doubt: draft.doubts.join('; ') }),
    }),
  );
}

/** What a heading says beside the quantity, and why it is not used. */
function headingWords({ depth, year, why }: HeaderReading): string {
  const words = [...(year === undefined ? [] : [`of ${year}`]), ...(depth ? [`of ${depth.told}`] : [])].join(', ');
  return `${words === '' ? '' : `, ${words}`}${why === undefined ? '' : `: ${why}`}`;
}

/** Depth that a figure over the ground counts, where the heading names it. */
function ofDepth({ unit, header: { depth } }: Draft): { readonly of_in?: number } {
  return countsDepth(unit) && depth ? { of_in: Number((depth.bottom_in - depth.top_in).toFixed(4)) } : {};
}

/** Values that stand beside K in a soil test, and never in a list of rates. */
const BESIDE_K: ReadonlySet<ColumnRole> = new Set<ColumnRole>([
  'ca',
  'mg',
  'na',
  'ph',
  'bufferPh',
  'cec',
  'organicMatter',
  'kSat',
]);

/** K2O without a unit and without anything else of a soil test beside it reads like a rate. */
function lonelyOxide(drafts: readonly Draft[]): void {
  if (drafts.some((draft) => BESIDE_K.has(draft.is))) return;
  for (const draft of drafts)
    if (draft.header.oxide && draft.header.unit === null)
      drop(
        draft,
        'tells no unit and stands alone: it reads like a rate',
        'K2O with no unit reads like a rate: left unused; if it is a test value, say so and give its unit',
      );
}

/** The unit the way the table spells it, where that is another word for the same. */
function spelled({ column, unit, unitTold, is }: Draft, under: string): ColumnUnit {
  const words = `${column} ${under}`.normalize('NFKD').toLowerCase();
  if (!unitTold) return unit;
  if (
    unit === 'ppm' &&
    UNITS_OF[is].includes('mg/kg') &&
    /mg[^a-z0-9]*(per|(?:k|ca|mg|na)(?:2?o)?)?[^a-z0-9]*kg/.test(words)
  )
    return 'mg/kg';
  return unit === 'meq/100 g' && UNITS_OF[is].includes('cmol/kg') && words.includes('cmol') ? 'cmol/kg' : unit;
}

/** The top of a depth needs its bottom; bare words such as "from" and "to" need each other. */
function boundsOf(drafts: readonly Draft[]): void {
  const has = (role: ColumnRole): boolean => drafts.some((draft) => draft.is === role);
  const hasBoth = has('depth') && has('depthTop');
  for (const draft of drafts) {
    if (hasBoth || (draft.is !== 'depth' && draft.is !== 'depthTop')) continue;
    if (draft.is === 'depthTop' || draft.header.rank >= BARE_BOUND_RANK)
      drop(draft, `reads as a bound of the depth, but its partner is missing`);
  }
}

/** Takes a column out of use, with the reason and perhaps a doubt. */
export function drop(draft: Draft, why: string, doubt?: string): void {
  draft.is = 'unused';
  draft.because = `header "${draft.column}" ${why}`;
  draft.doubts = doubt === undefined ? [] : [doubt];
}

/** A file with shapes needs no coordinates from columns; otherwise both are needed. */
function placesOf(dataset: Dataset, drafts: Draft[]): void {
  const hasBoth = drafts.some((draft) => draft.is === 'lng') && drafts.some((draft) => draft.is === 'lat');
  for (const draft of drafts) {
    if (draft.is !== 'lng' && draft.is !== 'lat') continue;
    if (dataset.geometry !== 'none') drop(draft, 'is a coordinate; the places come from the file’s shapes');
    else if (!hasBoth) drop(draft, `reads as ${ROLE_NAMES[draft.is]}, but its partner is missing`);
  }
}

function pickId(dataset: Dataset, drafts: Draft[], joinTo: Dataset | null): void {
  const named = drafts.filter((draft) => draft.is === 'sampleId');
  const shared = joinTo ? sharedIds(dataset, named, joinTo) : null;
  const rank = (draft: Draft): number => {
    const repeats = repeatsOf(dataset, drafts, draft.index);
    return draft.header.rank + (repeats > 0.2 ? 5 : 0) - 10 * (shared?.get(draft.index) ?? 0);
  };
  const best = [...named].sort((a, b) => rank(a) - rank(b) || a.index - b.index)[0];
  if (best) {
    for (const draft of named) if (draft !== best) drop(draft, `could be an id too; "${best.column}" was taken`);
    if (shared && (shared.get(best.index) ?? 0) > 0) best.because += ', and its ids are in the other file';
    return;
  }
  // No header says id, but the other file's ids stand here.
  if (joinTo) {
    const shares = sharedIds(
      dataset,
      drafts.filter((draft) => draft.is === 'unused'),
      joinTo,
    );
    const joins = [...shares].filter(([, share]) => share >= 0.5).sort((a, b) => b[1] - a[1])[0];
    const draft = drafts.find((one) => one.index === joins?.[0]);
    if (draft) {
      draft.is = 'sampleId';
      draft.because = `the cells of "${draft.column}" are ids of the other file`;
      draft.doubts = [];
      return;
    }
  }
  // No header says id: a column of text or whole numbers, all different, can be one.
  const first = drafts.find((draft) => {
    const ids = idsOf(dataset, draft.index);
    const whole = draft.spread.figures.every((value) => Number.isNaN(value) || Number.isInteger(value));
    return (
      draft.is === 'unused' &&
      draft.header.why?.includes('nothing') &&
      whole &&
      ids.length === dataset.records.length &&
      new Set(ids).size === ids.length &&
      ids.length > 1
    );
  });
  if (!first) return;
  first.is = 'sampleId';
  first.because = `every cell of "${first.column}" is filled and different`;
  first.doubts = ['no header says that it is a sample id'];
}

/** Share of rows whose id stands in an earlier row of the same depth and day. */
function repeatsOf(dataset: Dataset, drafts: readonly Draft[], index: number): number {
  const beside = drafts.filter(({ is }) => is === 'depth' || is === 'depthTop' || is === 'date');
  const keys = dataset.records.flatMap((record) => {
    const id = looseId(idText(record.cells[index] ?? null));
    return id === '' ? [] : [[id, ...beside.map((draft) => String(record.cells[draft.index] ?? ''))].join('\n')];
  });
  return 1 - new Set(keys).size / Math.max(1, keys.length);
}

const idsOf = (dataset: Dataset, index: number): string[] =>
  dataset.records.map((record) => looseId(idText(record.cells[index] ?? null))).filter((id) => id !== '');

/** Share of a column's ids that the best column of the other file has too. */
function sharedIds(dataset: Dataset, drafts: readonly Draft[], other: Dataset): Map<number, number> {
  const others = other.columns.map((_column, index) => new Set(idsOf(other, index)));
  const shares = new Map<number, number>();
  for (const draft of drafts) {
    const ids = idsOf(dataset, draft.index);
    const best = Math.max(0, ...others.map((set) => ids.filter((id) => set.has(id)).length));
    shares.set(draft.index, best / Math.max(1, ids.length));
  }
  return shares;
}

function setUnit(draft: Draft): void {
  const fits = UNITS_OF[draft.is];
  const { someUnit, readable } = draft.spread;
  if (someUnit && draft.is !== 'unused' && draft.header.unit === null)
    draft.doubts.push(`${someUnit.cells} of ${readable} cells name ${someUnit.unit}, which counts for them alone`);
  const told = draft.header.unit ?? draft.spread.unit;
  if (told !== null && fits.includes(told)) {
    draft.unit = told;
    draft.unitTold = true;
    return;
  }
  draft.unit = fits[0];
  if (told === null || draft.is === 'unused') return;
  if (draft.unit === 'none') draft.doubts.push(`"${told}" is no unit for ${ROLE_NAMES[draft.is]}; it is passed over`);
  else
    keepBack(
      draft,
      `${told} is no unit that ${ROLE_NAMES[draft.is]} is read in: left unused until it is told (${fits.join(', ')})`,
    );
}
