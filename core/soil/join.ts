import { caution, fail, note, ok, type Place, type Result, stop } from '../base/problem.ts';
import type { Dataset } from '../formats/types.ts';
import { type Draft, decisionsOn, type LabDraft, otherRows, setAside } from './drafts.ts';
import { idText, looseId } from './ids.ts';
import { cellOf, type Mapping } from './mapping.ts';
import { spotOf, type ToDegrees } from './places.ts';
import type { SoilSettings } from './settings.ts';

/** The rows of a points' file with their places; those that no lab row can use are set aside already. */
export function readPoints(
  points: Dataset,
  mapping: Mapping,
  settings: SoilSettings,
  toDegrees: ToDegrees,
): readonly Draft[] {
  const decisionOn = decisionsOn(mapping.file, settings);
  const idColumn = mapping.of.get('sampleId')?.column;
  const drafts = points.records.map((record): Draft => {
    const spot = spotOf(record, points, mapping, toDegrees);
    const at = { file: mapping.file, row: record.row };
    const draft: Draft = {
      file: mapping.file,
      record,
      id: idText(cellOf(record, mapping, 'sampleId')),
      decision: decisionOn(record.row),
      spot: typeof spot === 'string' ? null : spot,
      aside: false,
      reasons: [],
      bad: new Set(),
    };
    if (draft.decision?.keep === false) byHand(draft);
    else if (draft.id === '')
      setAside(draft, caution('soil-point-no-id', 'The point has no sample id.', 'Type its id in.', at), idColumn);
    else if (typeof spot === 'string')
      setAside(draft, caution('soil-no-place', `The point cannot be placed: ${spot}.`, 'Correct its place.', at));
    return draft;
  });
  twicePoints(drafts, idColumn);
  return drafts;
}

/** A person's word that a row is not to be used. */
export function byHand(draft: Draft): void {
  const { why, who, when } = draft.decision ?? { why: '', who: '', when: '' };
  const signed = [who, when].filter((part) => part !== '').join(', ');
  setAside(
    draft,
    note(
      'soil-by-hand',
      `Set aside by hand${signed === '' ? '' : ` (${signed})`}: ${why === '' ? 'no reason was given' : why}.`,
      'Take the decision back to use the row.',
      { file: draft.file, row: draft.record.row },
    ),
  );
}

/** One id on two points: at one place the later is a repeat; at two places neither can be used, unless one is kept by hand. */
function twicePoints(drafts: readonly Draft[], idColumn: string | undefined): void {
  for (const group of groupsOf(drafts.filter((draft) => !draft.aside).map((draft) => [draft.id, draft]))) {
    const [first, ...later] = group;
    if (!first || later.length === 0) continue;
    const kept = group.filter((draft) => draft.decision?.keep === true);
    const same = later.every((draft) => placeKey(draft) === placeKey(first));
    for (const draft of group) {
      if (same ? draft === first : kept.length === 1 && draft === kept[0]) continue;
      const rows = otherRows(group, draft);
      const at = { file: draft.file, row: draft.record.row };
      setAside(
        draft,
        same
          ? note('soil-repeat', `The same point stands in row ${rows}.`, 'Nothing is to be done.', at)
          : caution(
              'soil-point-twice',
              `Sample id "${draft.id}" stands at another place too, in row ${rows}.`,
              'Give each point its own id, or keep the right one by hand.',
              at,
            ),
        idColumn,
      );
    }
  }
}

export const placeKey = (draft: Draft): string =>
  draft.spot ? `${draft.spot.at[0].toFixed(8)},${draft.spot.at[1].toFixed(8)}` : '';

/** Groups of two and more by key, in order. */
export function groupsOf<T>(entries: readonly (readonly [string, T])[]): T[][] {
  const by = new Map<string, T[]>();
  for (const [key, value] of entries) {
    const group = by.get(key);
    if (group) group.push(value);
    else by.set(key, [value]);
  }
  return [...by.values()].filter((group) => group.length > 1);
}

/**
 * Gives lab rows the places of the points that have their ids. The full text goes first; where it has no match, letter case, spaces,
 * dashes and leading zeros are passed over, as long as that leaves one point that no other row names in full (`soil-id-loosely`).
 *
 * Row set aside: `soil-no-id`, `soil-no-point`. Point set aside: `soil-point-unused`. Fails with `soil-no-join` where no id is shared.
 */
export function joinPoints(rows: readonly LabDraft[], points: readonly Draft[], lab: Mapping): Result<null> {
  const usable = points.map((draft, index) => ({ draft, index })).filter(({ draft }) => !draft.aside);
  const exact = new Map(usable.map(({ draft, index }) => [draft.id, index]));
  const loose = new Map<string, number[]>();
  for (const { draft, index } of usable) {
    const key = looseId(draft.id);
    const alike = loose.get(key);
    if (alike) alike.push(index);
    else loose.set(key, [index]);
  }
  const twins = new Map<string, Draft>();
  for (const point of points) if (point.id !== '' && !twins.has(looseId(point.id))) twins.set(looseId(point.id), point);
  const inFull = new Set(rows.map((row) => row.id).filter((id) => exact.has(id)));
  const column = lab.of.get('sampleId')?.column;
  for (const row of rows) {
    const at: Place = { file: row.file, row: row.record.row, ...(column === undefined ? {} : { column }) };
    if (row.id === '') {
      setAside(row, caution('soil-no-id', 'The row has no sample id.', 'Type its id in.', at), column);
      continue;
    }
    const candidates = (loose.get(looseId(row.id)) ?? []).filter((index) => !inFull.has(points[index]?.id ?? ''));
    const found = exact.get(row.id) ?? (candidates.length === 1 ? candidates[0] : undefined);
    const point = found === undefined ? undefined : points[found];
    if (found === undefined || point === undefined) {
      setAside(row, noPoint(row, twins.get(looseId(row.id)), at), column);
      continue;
    }
    row.point = found;
    row.spot = point.spot;
    if (point.id !== row.id)
      row.reasons.push(
        note(
          'soil-id-loosely',
          `Sample id "${row.id}" was joined to the point "${point.id}".`,
          'Nothing is to be done if they are the same.',
          at,
        ),
      );
  }
  if (rows.length > 0 && rows.every((row) => row.point === null)) {
    const some = (list: readonly { id: string }[]): string =>
      list
        .slice(0, 3)
        .map(({ id }) => `"${id}"`)
        .join(', ');
    return fail(
      stop(
        'soil-no-join',
        `No sample id of ${lab.file} is among the points: the lab has ${some(rows)}, the points have ${some(points)}.`,
        'Choose other id columns in the two files, or the right file of points.',
        { file: lab.file, ...(column === undefined ? {} : { column }) },
      ),
    );
  }
  const used = new Set(rows.map((row) => row.point));
  points.forEach((point, index) => {
    if (point.aside || used.has(index)) return;
    setAside(
      point,
      caution(
        'soil-point-unused',
        `No lab row has the sample id "${point.id}".`,
        'Add its lab values, if there are any.',
        {
          file: point.file,
          row: point.record.row,
        },
      ),
    );
  });
  return ok(null);
}

function noPoint(row: Draft, twin: Draft | undefined, at: Place) {
  const why =
    twin === undefined
      ? `No point has the sample id "${row.id}".`
      : twin.aside
        ? `The point "${twin.id}" in row ${twin.record.row} of ${twin.file} is set aside.`
        : `No point has the sample id "${row.id}", and several come near it or "${twin.id}" has a row of its own.`;
  return caution('soil-no-point', why, 'Correct the id in one of the two files, or add the point.', at);
}
