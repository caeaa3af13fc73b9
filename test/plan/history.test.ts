import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { commit, createHistory, type History, redo, redoLabel, undo, undoLabel } from '../../core/plan/history.ts';

const built = (documents: readonly number[]): History<{ n: number }> =>
  documents.reduce<History<{ n: number }>>((history, n) => commit(history, `to ${n}`, { n }), createHistory({ n: -1 }));

describe('undo and redo', () => {
  it('names what it would take back and make again', () => {
    const history = built([1, 2]);
    expect(undoLabel(history)).toBe('to 2');
    expect(redoLabel(history)).toBeNull();
    expect(redoLabel(undo(history))).toBe('to 2');
    expect(undoLabel(createHistory(1))).toBeNull();
  });

  it('ends where it began: all undone is the first document, all redone the last', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(), { minLength: 1, maxLength: 40 }), (documents) => {
        const end = built(documents);
        let back = end;
        for (const _ of documents) back = undo(back);
        expect(back.present).toEqual({ n: -1 });
        let again = back;
        for (const _ of documents) again = redo(again);
        expect(again).toEqual(end);
      }),
    );
  });

  it('drops what was undone once something else is done', () => {
    const history = commit(undo(built([1, 2])), 'to 3', { n: 3 });
    expect(redoLabel(history)).toBeNull();
    expect(undo(history).present).toEqual({ n: 1 });
  });

  it('keeps a bounded number of snapshots', () => {
    const history = built(Array.from({ length: 500 }, (_, i) => i));
    expect(history.past.length).toBe(200);
  });
});
