import { caution, note } from '../base/problem.ts';
import { type LabDraft, otherRows, setAside } from './drafts.ts';
import { looseId } from './ids.ts';
import { groupsOf, placeKey } from './join.ts';

/**
 * Rows that claim one sample: the same point of a join, or the same id at the same place. An identical repeat is set aside
 * (`soil-repeat`). Where values differ no one can say which holds, so all are set aside (`soil-duplicate`) unless a person kept one.
 * The same id at two places is kept and said (`soil-id-twice`). Rows already set aside claim nothing.
 */
export function judgeDuplicates(rows: readonly LabDraft[], idColumn: string | undefined): void {
  const open = rows.filter((row) => !row.aside);
  const key = (row: LabDraft): string =>
    row.point === null ? `${looseId(row.id)}@${placeKey(row)}` : `point ${row.point}`;
  const named = idColumn === undefined ? [] : open.filter((row) => row.id !== '');
  for (const group of groupsOf(named.map((row) => [key(row), row]))) oneSample(group, idColumn);
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

function oneSample(group: readonly LabDraft[], idColumn: string | undefined): void {
  const [first] = group;
  if (!first) return;
  const kept = group.filter((row) => row.decision?.keep === true);
  const same = group.every((row) => fingerprint(row) === fingerprint(first));
  for (const row of group) {
    if (same ? row === (kept[0] ?? first) : kept.includes(row)) continue;
    const at = { file: row.file, row: row.record.row, ...(idColumn === undefined ? {} : { column: idColumn }) };
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
            : 'None of them is used: keep the right row by hand, or correct the id.',
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
