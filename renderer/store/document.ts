import { create } from 'zustand';
import { commit, createHistory, type History, redo, redoLabel, undo, undoLabel } from '../../core/plan/history.ts';
import type { Plan } from '../../core/plan/schema.ts';

/** The plan document with its history, the bytes of its inputs, and where it is saved. */
export interface DocumentState {
  readonly planId: string | null;
  readonly history: History<Plan> | null;
  /** Every input that any snapshot of the history names, so that undo never misses a file. */
  readonly inputs: ReadonlyMap<string, Uint8Array>;
  readonly saved: { readonly plan: Plan; readonly at: Date | null; readonly folder: string | null } | null;
  /** Inputs that the host holds already. */
  readonly hostHas: ReadonlySet<string>;
  /** Guesses made when the plan was started from files, in words. */
  readonly guesses: readonly string[];
}

const NOTHING: DocumentState = {
  planId: null,
  history: null,
  inputs: new Map(),
  saved: null,
  hostHas: new Set(),
  guesses: [],
};

export const useDocument = create<DocumentState>()(() => NOTHING);

export const currentPlan = (): Plan | null => useDocument.getState().history?.present ?? null;
export const usePlan = (): Plan | null => useDocument((state) => state.history?.present ?? null);

export interface OpenedDocument {
  readonly plan: Plan;
  readonly inputs: ReadonlyMap<string, Uint8Array>;
  readonly planId?: string;
  readonly folder?: string;
  readonly savedAt?: Date;
  readonly guesses?: readonly string[];
}

/** Puts a document in place of the one before it; its history starts anew. */
export function openDocument(opened: OpenedDocument): void {
  const { plan, inputs, planId } = opened;
  useDocument.setState({
    planId: planId ?? null,
    history: createHistory(plan),
    inputs,
    saved: planId === undefined ? null : { plan, at: opened.savedAt ?? null, folder: opened.folder ?? null },
    hostHas: new Set(planId === undefined ? [] : inputs.keys()),
    guesses: opened.guesses ?? [],
  });
}

export const closeDocument = (): void => useDocument.setState(NOTHING);

/** One labelled change of the plan. New inputs come with it. */
export function edit(label: string, change: (plan: Plan) => Plan, inputs?: ReadonlyMap<string, Uint8Array>): void {
  const state = useDocument.getState();
  if (!state.history) return;
  const plan = change(state.history.present);
  useDocument.setState({
    history: commit(state.history, label, plan),
    ...(inputs ? { inputs: new Map([...state.inputs, ...inputs]) } : {}),
  });
}

type Part = 'field' | 'soil' | 'surfaces' | 'zones' | 'rates' | 'handoff';

/** One labelled change of some settings of one stage. */
export const editPart = <K extends Part>(part: K, label: string, patch: Partial<Plan[K]>): void =>
  edit(label, (plan) => ({ ...plan, [part]: { ...plan[part], ...patch } }));

export function undoEdit(): void {
  const { history } = useDocument.getState();
  if (history) useDocument.setState({ history: undo(history) });
}

export function redoEdit(): void {
  const { history } = useDocument.getState();
  if (history) useDocument.setState({ history: redo(history) });
}

export const useUndoLabel = (): string | null =>
  useDocument((state) => (state.history ? undoLabel(state.history) : null));
export const useRedoLabel = (): string | null =>
  useDocument((state) => (state.history ? redoLabel(state.history) : null));

export function markSaved(planId: string, folder: string, plan: Plan, at: Date): void {
  useDocument.setState({
    planId,
    saved: { plan, at, folder },
    hostHas: new Set(plan.inputs.map((input) => input.path)),
  });
}

export const isUnsaved = (state: DocumentState): boolean =>
  state.history !== null && state.saved?.plan !== state.history.present;
