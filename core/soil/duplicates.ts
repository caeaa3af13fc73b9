import { caution, note, type Place } from '../base/problem.ts';
import { dayOrders, readDay } from './day.ts';
import { readDepth } from './depth.ts';
import { type LabDraft, otherRows, setAside } from './drafts.ts';
import { depthInId, looseId } from './ids.ts';
import { depthRemedy, groupsOf, placeKey } from './join.ts';
import { cellOf, type Mapping } from './mapping.ts';
import { readYear } from './year.ts';

/**
 * Rows that claim one sample: the same point of a join, or the same id at the same place. An identical repeat is set aside
 * (`soil-repeat`). Where values differ and each has another day of the year in use, the latest is used and the others are set aside
 * (`soil-earlier-date`). Else no one can say which holds, so all are set aside (`soil-duplicate`) unless a person kept one; where another column tells
 * them apart, the remedy names it. Rows at one place whose ids differ by the depth at their end are set aside (`soil-depth-in-id`).
 * The same id at two places is kept and said (`soil-id-twice`). Rows already set aside claim nothing.
 */
export function judgeDuplicates(rows: readonly LabDraft[], lab: Mapping, columns: readonly string[]): void {
  const idColumn = lab.of.get('sampleId')?.column;
  const open = rows.filter((row) => !row.aside);
  const key = (row: LabDraft): string =>
    row.point === null ? `${looseId(row.id)}@${placeKey(row)}` : `point ${row.point}`;
  const named = idColumn === undefined ? [] : open.filter((row) => row.id !== '');
  const groups = groupsOf(named.map((row) => [key(row), row])).map((group) => onLatestDay(group, rows, lab));
  const several = groups.filter((group) => group.length > 1);
  const apart = tellsApart(several.filter(isDiffering), lab, columns);
  for (const group of several) oneSample(group, idColumn, apart);
  depthsInIds(named.filter((row) => !row.aside));
  const placed = named.filter((row) => !row.aside && row.point === null);
  for (const group of groupsOf(placed.map((row) => [row.id, row]))) {
    if (new Set(group.map(placeKey)).size < 2) continue;
    for (const row of group)
      row.reasons.push(
        caution(
          'soil-id-twice',
          `Sample id "${row.id}" stands at another place too, in row ${otherRows(group, row)}; each keeps its own place.`,
          'Give each sample its own id.',
          { file: row.file, row: row.record.row, ...(idColumn === undefined ? {} : { column: idColumn }) },
        ),
      );
  }
}

/** Rows at one place whose ids differ by the depth at their end are of several depths, and no one can say which is meant: `soil-depth-in-id`. */
function depthsInIds(rows: readonly LabDraft[]): void {
  const entries = rows.flatMap((row) => {
    const parts = depthInId(row.id);
    return parts && row.decision?.keep !== true ? [[`${looseId(parts.id)}@${placeKey(row)}`, row] as const] : [];
  });
  for (const group of groupsOf(entries))
    for (const row of group)
      setAside(
        row,
        caution(
          'soil-depth-in-id',
          `"${row.id}" and row ${otherRows(group, row)} are of one place, and their depths stand in their ids alone.`,
          depthRemedy(row.id),
          { file: row.file, row: row.record.row },
        ),
      );
}

const isDiffering = (group: readonly LabDraft[]): boolean => new Set(group.map(fingerprint)).size > 1;

/** A group without the rows of earlier days, which are set aside; as it is where days do not decide. */
function onLatestDay(group: readonly LabDraft[], rows: readonly LabDraft[], lab: Mapping): readonly LabDraft[] {
  const date = lab.of.get('date');
  if (!date || !isDiffering(group) || group.some((row) => row.decision?.keep === true)) return group;
  const orders = dayOrders(rows.map((row) => cellOf(row.record, lab, 'date')));
  const latest = orders.map((order) => {
    const days = group.map((row) => readDay(cellOf(row.record, lab, 'date'), order));
    const most = Math.max(...days.map((day) => day ?? Number.NaN));
    return group.filter((_row, index) => days[index] === most);
  });
  const [used = []] = latest;
  const [first] = used;
  const isClear = latest.every((one) => one.length === used.length && one.every((row, index) => row === used[index]));
  if (!first || !isClear || used.length === group.length) return group;
  for (const row of group) {
    if (used.includes(row)) continue;
    const [own, later] = [row, first].map((one) => String(cellOf(one.record, lab, 'date')));
    setAside(
      row,
      note(
        'soil-earlier-date',
        `The test is of ${own}; row ${first.record.row} is of the same sample on ${later}, later in the year, and is used.`,
        'Keep the row by hand to use it instead.',
        { file: row.file, row: row.record.row, column: date.column },
      ),
    );
  }
  return used;
}

/** Share of the groups in which a column has to tell the rows apart before it is named (ours). */
const MOSTLY = 0.9;
const TIME = /season|year|date|sampled|taken|jahr|datum|campa|annee|saison/;
const LAYER = /horizon|layer|depth|tiefe|increment|profondeur|schicht/;

/** What to do where a column that is not in use tells the rows of one sample apart; null where none does. */
function tellsApart(groups: readonly (readonly LabDraft[])[], lab: Mapping, columns: readonly string[]): string | null {
  if (groups.length === 0) return null;
  const used = new Set([...lab.of.values()].map(({ index }) => index));
  for (const [index, column] of columns.entries()) {
    const name = column.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
    if (used.has(index) || (!TIME.test(name) && !LAYER.test(name))) continue;
    const cells = groups.map((group) => group.map(({ record }) => record.cells[index] ?? null));
    const differs = (of: (cell: (typeof cells)[number][number]) => unknown): boolean =>
      cells.filter((group) => {
        const told = group.map(of);
        return !told.includes(null) && new Set(told).size === told.length;
      }).length >=
      MOSTLY * cells.length;
    if (!differs((cell) => (cell === null ? null : String(cell).trim()))) continue;
    const say = (what: string, use: string): string =>
      `"${column}" tells them apart: say that it holds the ${what} with --column "${column}=${use}", or at its heading in the window; or keep the right rows by hand.`;
    if (TIME.test(name) && differs(readYear)) return say('date', 'date');
    if (LAYER.test(name) && differs((cell) => readDepth(cell, '.', 'in')?.told ?? null)) return say('depth', 'depth');
    return `"${column}" tells them apart: leave the rows of the one that is meant in the file, or keep the right rows by hand.`;
  }
  return null;
}

function oneSample(group: readonly LabDraft[], idColumn: string | undefined, apart: string | null): void {
  const [first] = group;
  if (!first) return;
  const kept = group.filter((row) => row.decision?.keep === true);
  const same = group.every((row) => fingerprint(row) === fingerprint(first));
  for (const row of group) {
    if (same ? row === (kept[0] ?? first) : kept.includes(row)) continue;
    const at: Place = { file: row.file, row: row.record.row, ...(idColumn === undefined ? {} : { column: idColumn }) };
    if (same)
      setAside(
        row,
        note(
          'soil-repeat',
          `The same sample id and values stand in row ${(kept[0] ?? first).record.row}.`,
          'Nothing is to be done.',
          at,
        ),
        idColumn,
      );
    else
      setAside(
        row,
        caution(
          'soil-duplicate',
          `Sample id "${row.id}" stands in row ${otherRows(group, row)} too, with ${differing(group)}.`,
          kept.length > 0
            ? 'The row kept by hand is used.'
            : (apart ?? 'None of them is used: keep the right row by hand, or correct the id.'),
          at,
        ),
        idColumn,
      );
  }
}

const NAMES = [
  ['K', (row: LabDraft) => row.values.measured.k_ppm],
  ['Ca', (row: LabDraft) => row.values.measured.ca_ppm],
  ['Mg', (row: LabDraft) => row.values.measured.mg_ppm],
  ['Na', (row: LabDraft) => row.values.measured.na_ppm],
  ['pH', (row: LabDraft) => row.values.measured.ph],
  ['buffer pH', (row: LabDraft) => row.values.measured.bufferPh],
  ['CEC', (row: LabDraft) => row.values.measured.cec_meq],
  ['H', (row: LabDraft) => row.values.measured.h_meq],
  ['depth', (row: LabDraft) => row.values.depth_in],
  ['organic matter', (row: LabDraft) => row.values.organicMatter_pct],
] as const satisfies readonly (readonly [string, (row: LabDraft) => number])[];

/** Which values contradict each other: `another K and pH`. */
function differing(group: readonly LabDraft[]): string {
  const names = NAMES.filter(([, of]) => new Set(group.map(of)).size > 1).map(([name]) => name);
  if (names.length === 0 || names.length > 4) return 'other values';
  const last = names.slice(-1).join('');
  return `another ${names.length === 1 ? last : `${names.slice(0, -1).join(', ')} and ${last}`}`;
}

const fingerprint = (row: LabDraft): string => {
  const { measured, depth_in, organicMatter_pct } = row.values;
  return [
    ...Object.values({ ...measured, sat: 0 }),
    ...Object.values(measured.sat),
    depth_in,
    organicMatter_pct,
  ].join();
};
