import type { Dataset } from '../formats/types.ts';
import { isMangled, lengthOfColumn, readDepth } from './depth.ts';
import type { Draft } from './guess.ts';
import { readHeader } from './headers.ts';
import type { ColumnRole } from './settings.ts';
import type { ColumnGuess } from './types.ts';
import { type BaseCation, countsDepth, OXIDE_NAMES } from './units.ts';

/**
 * Takes out of use what a heading leaves open and nobody may assume: kg/ha where nothing tells the depth, STK or an oxide without a unit, a unit that the
 * role cannot have, and, where no column is K, a heading that starts like K. Each keeps a doubt that says what must be told.
 */
export function hold(drafts: readonly Draft[]): void {
  const depthTold = drafts.some((draft) => draft.is === 'depth' && draft.spread.filled > 0);
  for (const draft of drafts) {
    if (draft.unit === 'kg/ha' && !draft.header.depth && !depthTold)
      keepBack(draft, 'kg/ha counts the ground to a depth, and nothing tells which: left unused until it is told');
    else if (draft.header.abbreviated && !draft.unitTold && draft.is === 'k')
      keepBack(draft, 'it reads as soil test K, and nothing tells its unit: left unused until it is told');
    else if (draft.header.oxide && !draft.unitTold && isCation(draft.is))
      keepBack(
        draft,
        `it counts ${OXIDE_NAMES[draft.is]}, and nothing tells its unit (mg/100 g, mg/kg and kg/ha are all met): left unused until it is told`,
      );
    else if (draft.unit === 'mmol/kg' && (draft.is === 'ca' || draft.is === 'mg'))
      draft.doubts.push('mmol/kg counts atoms here; if the lab means charge, it is mmolc/kg, half of it');
  }
  if (drafts.some((draft) => draft.is === 'k' || draft.held === 'k')) return;
  for (const draft of drafts) {
    const { notUnderstood } = draft.header;
    if (draft.is !== 'unused' || notUnderstood === undefined) continue;
    draft.held = 'k';
    draft.doubts = [`it starts like K, but "${notUnderstood}" is not understood: left unused until it is told`];
  }
}

const isCation = (role: ColumnRole): role is BaseCation => role in OXIDE_NAMES;

/** Levels in ppm that few soils lie below, as `USUAL` has them. */
const LEAST_USUAL: Readonly<Partial<Record<ColumnRole, number>>> = { k: 15, ca: 50, mg: 5 };
/** `3.614`: a decimal, or three thousand. */
const POINT_OF_THREE = /^\d{1,3}\.\d{3}$/;

/** Holds a cation whose figures have a point and three digits, or are whole and below 1000, where they are too low for its unit and usual at a thousand times. */
export function thousands(dataset: Dataset, drafts: readonly Draft[]): void {
  if (dataset.decimal !== '.') return;
  for (const draft of drafts) {
    const least = LEAST_USUAL[draft.is];
    if (least === undefined || !draft.unitTold || draft.unit !== 'ppm' || !(draft.spread.median < least)) continue;
    const cells = dataset.records.flatMap((record) => record.cells[draft.index] ?? []);
    const pointed = cells.filter((cell) => typeof cell === 'string' && POINT_OF_THREE.test(cell.trim()));
    const isBelow = (cell: string | number | boolean): boolean =>
      pointed.includes(cell) || /^\d{1,3}$/.test(String(cell).trim());
    if (pointed.length * 2 < cells.length || !cells.every(isBelow)) continue;
    keepBack(
      draft,
      `its values have a point and three digits, such as "${String(pointed[0])}", which reads like thousands: left unused until they are written without the point`,
    );
  }
}

const DEPTH_WORD = /(?<![a-z])(depth|tiefe|profondeur|profundidad)(?![a-z])/;

/**
 * A column that names a depth and is not understood leaves the depth open. What counts the ground to a depth is then held, unless its own
 * heading tells how deep; without such a column the depth of the plan goes on, and that is said.
 */
export function depthLeftOpen(drafts: readonly Draft[]): void {
  if (drafts.some((draft) => draft.is === 'depth')) return;
  const open = drafts.find(
    ({ is, spread, header, column, doubts }) =>
      is === 'unused' &&
      spread.filled > 0 &&
      (header.role === 'depth' || (header.role === 'unused' && DEPTH_WORD.test(column.toLowerCase()))) &&
      !doubts.some((doubt) => doubt.includes('depth of the soil')),
  );
  if (!open) return;
  const counting = drafts.filter(({ unit, header }) => countsDepth(unit) && header.depth === undefined);
  for (const draft of counting)
    keepBack(
      draft,
      `${draft.unit} counts the ground to a depth, and column "${open.column}", which names one, is not understood: left unused until it is told`,
    );
  if (counting.length === 0 && open.doubts.length === 0)
    open.doubts.push('it names a depth and is not understood: left unused, and the depth set for the test is used');
}

/** Takes a column out of use until what its doubt asks for is told. */
export function keepBack(draft: Draft, doubt: string): void {
  draft.held = draft.is;
  draft.is = 'unused';
  draft.unit = 'none';
  draft.doubts = [doubt];
}

/** Headings of one table that name different years. */
export function otherYears(drafts: readonly Draft[]): void {
  const year = drafts.find((draft) => draft.is === 'k')?.header.year;
  if (year === undefined) return;
  for (const draft of drafts)
    if (draft.is !== 'unused' && draft.header.year !== undefined && draft.header.year !== year)
      draft.doubts.push(`its heading names ${draft.header.year}, that of K ${year}`);
}

/** Cells that say something else than they show: depths that a spreadsheet made dates of, degrees with minutes. */
export function odd(dataset: Dataset, drafts: readonly Draft[]): void {
  for (const draft of drafts) {
    const cells = dataset.records.map((record) => record.cells[draft.index] ?? null);
    if (draft.is === 'depth') {
      const mangled = cells.filter((cell) => isMangled(cell));
      const [first] = mangled;
      const meant = first === undefined ? null : readDepth(first, dataset.decimal, lengthOfColumn(draft.unit));
      if (meant)
        draft.doubts.push(
          `${mangled.length === 1 ? '1 cell is a date' : `${mangled.length} cells are dates`} such as "${String(first)}", as a spreadsheet makes of ${meant.told}: taken as depths`,
        );
    } else if (draft.is === 'lng' || draft.is === 'lat') {
      const minutes = cells.filter((cell) => typeof cell === 'string' && MINUTES.test(cell)).length;
      if (minutes > 0) draft.because += `; degrees and minutes in ${minutes} ${minutes === 1 ? 'cell' : 'cells'}`;
    }
  }
}

const MINUTES = /\d\s*(?:\u00b0|\u00ba|d|deg|\s)\s*\d/i;

/**
 * Why no column of a table is K, in a sentence or two: the K2O column or the K saturation that stands in its stead, what a column that is held
 * back still needs, or else that no header reads as K.
 */
export function whyNoK(dataset: Dataset, guesses: readonly ColumnGuess[]): string {
  const held = guesses.find((guess) => guess.held === 'k');
  if (held) return `Column "${held.column}": ${held.doubt ?? ''}.`;
  const oxide = dataset.columns.find((column) => /k2o|potash/.test(column.normalize('NFKC').toLowerCase()));
  const saturation = guesses.find((guess) => guess.is === 'kSat');
  const like = guesses.find(
    (guess) => guess.is === 'unused' && /(?<![a-z])k(?![a-z])|potass|kalium/i.test(guess.column),
  );
  const empty = guesses.find((guess) => guess.is === 'unused' && readHeader(guess.column).role === 'k') ?? like;
  const reasons = [
    oxide === undefined ? '' : `Column "${oxide}" holds K2O, and K2O is not K: 1 ppm K = 1.2046 ppm K2O.`,
    saturation
      ? `Column "${saturation.column}" holds K saturation, which alone is not enough: K in ppm is needed.`
      : '',
    empty ? `Column "${empty.column}" is not used as K: ${empty.because}.` : '',
  ].filter((reason) => reason !== '');
  return reasons.length > 0 ? reasons.join(' ') : 'No column of the soil test reads as K.';
}
