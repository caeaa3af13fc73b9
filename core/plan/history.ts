/**
 * Undo and redo as labelled snapshots. A snapshot shares every unchanged part with its neighbours, so a hundred of
 * them cost little. Plain data: the same history serves any document.
 */
export interface History<T> {
  readonly past: readonly Snapshot<T>[];
  readonly present: T;
  readonly future: readonly Snapshot<T>[];
}
/** The document before the labelled change (in past), or after it (in future). */
export interface Snapshot<T> {
  readonly label: string;
  readonly document: T;
}

const MOST_SNAPSHOTS = 200;

/** A history with nothing to undo. */
export const createHistory = <T>(document: T): History<T> => ({ past: [], present: document, future: [] });

/** The history after one more labelled change. The same document again changes nothing. */
export function commit<T>(history: History<T>, label: string, document: T): History<T> {
  if (document === history.present) return history;
  const past = [...history.past, { label, document: history.present }];
  return { past: past.slice(-MOST_SNAPSHOTS), present: document, future: [] };
}

/** One change taken back; unchanged when there is none. */
export function undo<T>(history: History<T>): History<T> {
  const last = history.past.at(-1);
  if (!last) return history;
  return {
    past: history.past.slice(0, -1),
    present: last.document,
    future: [{ label: last.label, document: history.present }, ...history.future],
  };
}

/** One change made again; unchanged when there is none. */
export function redo<T>(history: History<T>): History<T> {
  const [next, ...rest] = history.future;
  if (!next) return history;
  return {
    past: [...history.past, { label: next.label, document: history.present }],
    present: next.document,
    future: rest,
  };
}

/** What undo would take back, or null. */
export const undoLabel = <T>(history: History<T>): string | null => history.past.at(-1)?.label ?? null;
/** What redo would make again, or null. */
export const redoLabel = <T>(history: History<T>): string | null => history.future[0]?.label ?? null;
