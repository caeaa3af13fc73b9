import {
  caution,
  fail,
  LISTED_PROBLEMS,
  note,
  ok,
  type Place,
  type Problem,
  type Result,
  stop,
} from '../base/problem.ts';
import type { Dataset } from '../formats/types.ts';
import { type Draft, decisionsOn, type LabDraft, otherRows, setAside } from './drafts.ts';
import { depthInId, idText, looseId } from './ids.ts';
import { cellOf, type Mapping } from './mapping.ts';
import { nearMissesOf } from './near-misses.ts';
import { PLACE_FORMS, spotOf, type ToDegrees } from './places.ts';
import { WHOLE_FIELD } from './read-problems.ts';
import type { SoilSettings } from './settings.ts';
import type { NearMiss } from './types.ts';

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
      setAside(
        draft,
        caution(
          'soil-no-place',
          `The point cannot be placed: ${spot}.`,
          points.geometry === 'none' ? PLACE_FORMS : 'Correct its place.',
          at,
        ),
      );
    return draft;
  });
  twicePoints(drafts, idColumn);
  return drafts;
}

/** Who decided on a row, when and why, in a clause. */
function wordOn(draft: Draft): string {
  const { why, who, when } = draft.decision ?? { why: '', who: '', when: '' };
  const signed = [who, when].filter((part) => part !== '').join(', ');
  return `by hand${signed === '' ? '' : ` (${signed})`}: ${why === '' ? 'no reason was given' : why.replace(/\.$/, '')}`;
}

/** A person's word that a row is not to be used: `soil-by-hand`, on a row however good. */
export function byHand(draft: Draft): void {
  setAside(
    draft,
    note('soil-by-hand', `Set aside ${wordOn(draft)}.`, 'Take the decision back to use the row.', {
      file: draft.file,
      row: draft.record.row,
    }),
  );
}

/** A person's word that a row is to be used, beside whatever spoke against it: `soil-kept-by-hand`. */
export function keptByHand(draft: Draft): void {
  draft.reasons.push(
    note('soil-kept-by-hand', `Kept ${wordOn(draft)}.`, 'Take the decision back to have the row judged again.', {
      file: draft.file,
      row: draft.record.row,
    }),
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
 * Before both goes a person's word that two ids are one sample (`sameIds`, said as `soil-id-told`). Ids that only look alike are named in
 * the reason and never joined.
 *
 * Row set aside: `soil-no-id`, `soil-no-point`. Point set aside: `soil-point-unused`. Fails with `soil-no-join` where no id is shared.
 * Rows of another year or depth take their place and need none.
 */
export function joinPoints(
  rows: readonly LabDraft[],
  points: readonly Draft[],
  lab: Mapping,
  sameIds: SoilSettings['sameIds'] = [],
): Result<readonly NearMiss[]> {
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
  const inUse = rows.filter((row) => !row.otherSeries);
  const inFull = new Set(inUse.map((row) => row.id).filter((id) => exact.has(id)));
  const column = lab.of.get('sampleId')?.column;
  const told = new Map(sameIds.map(({ lab: id, point }) => [id, point]));
  const lost: LabDraft[] = [];
  for (const row of rows) {
    const at: Place = { file: row.file, row: row.record.row, ...(column === undefined ? {} : { column }) };
    if (row.id === '' && row.otherSeries) continue;
    if (row.id === '') {
      setAside(row, caution('soil-no-id', 'The row has no sample id.', 'Type its id in.', at), column);
      continue;
    }
    const candidates = (loose.get(looseId(row.id)) ?? []).filter((index) => !inFull.has(points[index]?.id ?? ''));
    const asTold = exact.get(told.get(row.id) ?? '');
    const found = asTold ?? exact.get(row.id) ?? (candidates.length === 1 ? candidates[0] : undefined);
    const point = found === undefined ? undefined : points[found];
    if (found === undefined || point === undefined) {
      if (row.otherSeries) continue;
      lost.push(row);
      continue;
    }
    row.point = found;
    row.spot = point.spot;
    if (point.id !== row.id && !row.otherSeries)
      row.reasons.push(
        asTold === undefined
          ? note(
              'soil-id-loosely',
              `Sample id "${row.id}" was joined to the point "${point.id}".`,
              'Nothing is to be done if they are the same.',
              at,
            )
          : note(
              'soil-id-told',
              `Sample id "${row.id}" is the point "${point.id}", as told.`,
              'Take the word back under Soil if it is not.',
              at,
            ),
      );
  }
  const misses = nearMissesOf(inUse, points);
  if (inUse.length > 0 && inUse.every((row) => row.point === null)) {
    const some = (list: readonly { id: string }[]): string =>
      list
        .slice(0, 3)
        .map(({ id }) => `"${id}"`)
        .join(', ');
    return fail(
      stop(
        'soil-no-join',
        `No sample id of ${lab.file} is among the points: the lab has ${some(inUse)}, the points have ${some(points)}.`,
        inUse.every((row) => isPointWithDepth(row, twins))
          ? depthRemedy(inUse[0]?.id ?? '')
          : inUse.length === 1
            ? WHOLE_FIELD
            : misses.length > 0
              ? 'Say which ids are the same sample, or choose other id columns in the two files.'
              : 'Choose other id columns in the two files, or the right file of points.',
        { file: lab.file, ...(column === undefined ? {} : { column }) },
        misses.length > 0 ? misses.slice(0, LISTED_PROBLEMS).map(offerLine).join('\n') : undefined,
      ),
    );
  }
  const alikeOf = (from: NearMiss['from']) =>
    new Map(misses.filter((miss) => miss.from === from).map((miss) => [miss.id, miss.alike]));
  const alikePoints = alikeOf('lab');
  const rowsOfPoint = new Map(
    inUse.flatMap((row) => (row.point === null ? [] : [[looseId(points[row.point]?.id ?? ''), row] as const])),
  );
  for (const row of lost)
    setAside(
      row,
      noPoint(
        row,
        isPointWithDepth(row, twins),
        twins.get(looseId(row.id)),
        rowsOfPoint.get(looseId(row.id)),
        alikePoints.get(row.id) ?? [],
        {
          file: row.file,
          row: row.record.row,
          ...(column === undefined ? {} : { column }),
        },
      ),
      column,
    );
  const used = new Set(inUse.map((row) => row.point));
  const alikeRows = alikeOf('points');
  const claims = new Map<string, number>();
  for (const id of [...alikeRows.values()].flat()) claims.set(id, (claims.get(id) ?? 0) + 1);
  points.forEach((point, index) => {
    if (point.aside || used.has(index)) return;
    const alike = alikeRows.get(point.id) ?? [];
    const shared = alike.length === 1 && (claims.get(alike[0] ?? '') ?? 0) > 1;
    setAside(
      point,
      caution(
        'soil-point-unused',
        `No lab row in use has the sample id "${point.id}"${alike.length === 0 ? '' : `; ${quoted(alike)} in the lab file ${alike.length === 1 ? 'looks' : 'look'} alike${shared ? ', to other points as well' : ''}`}.`,
        alike.length === 0
          ? 'Add its lab values, if there are any.'
          : shared
            ? 'Say which of the points it is: one lab row cannot be two samples.'
            : 'Say that the two are one sample, if they are.',
        {
          file: point.file,
          row: point.record.row,
        },
      ),
    );
  });
  return ok(misses);
}

/** Whether an id is that of a point but for the depth at its end. */
const isPointWithDepth = ({ id }: Draft, points: ReadonlyMap<string, Draft>): boolean => {
  const parts = depthInId(id);
  return parts !== null && points.has(looseId(parts.id));
};

/** What to do with an id that ends in its depth. */
export function depthRemedy(id: string): string {
  const parts = depthInId(id);
  return `The depth stands in the id, as in "${id}": put it in a column of its own, called Depth (${parts?.depth ?? ''}), and leave "${parts?.id ?? ''}" as the id.`;
}

const quoted = (ids: readonly string[]): string => ids.map((id) => `"${id}"`).join(', ');
const offerLine = ({ id, from, alike }: NearMiss): string =>
  from === 'lab' ? `lab "${id}" looks like point ${quoted(alike)}` : `point "${id}" looks like lab ${quoted(alike)}`;

function noPoint(
  row: Draft,
  withDepth: boolean,
  twin: Draft | undefined,
  joined: Draft | undefined,
  alike: readonly string[],
  at: Place,
): Problem {
  if (joined !== undefined)
    return caution(
      'soil-no-point',
      `Sample id "${row.id}" is "${joined.id}" of row ${joined.record.row} but for letter case, spaces or zeros, and the one point of that id goes to that row.`,
      'Keep the right one of the two rows by hand, or correct the id.',
      at,
    );
  const one = alike.length === 1;
  const why =
    twin === undefined
      ? `No point has the sample id "${row.id}"${alike.length === 0 ? '' : `; ${quoted(alike)} ${one ? 'looks' : 'look'} alike and ${one ? 'has' : 'have'} no row`}.`
      : twin.aside
        ? `The point "${twin.id}" in row ${twin.record.row} of ${twin.file} is set aside.`
        : `No point has the sample id "${row.id}" letter for letter, and ${quoted(alike.length > 0 ? alike : [twin.id])} ${alike.length > 1 ? 'may all be it' : 'may be it'}.`;
  const remedy = withDepth
    ? depthRemedy(row.id)
    : alike.length === 0
      ? 'Correct the id in one of the two files, or add the point.'
      : 'Say that the two are one sample, if they are, or correct the id in one of the two files.';
  return caution('soil-no-point', why, remedy, at);
}
