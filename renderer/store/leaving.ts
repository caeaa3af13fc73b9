import { create } from 'zustand';

export type LeavingChoice = 'save' | 'leave' | 'stay';

/** The question that stands under the head while an unsaved plan is about to be left; null when none is asked. */
export const useLeaving = create<{ readonly answer: ((choice: LeavingChoice) => void) | null }>()(() => ({
  answer: null,
}));

/** Asks, and waits for the answer. A second question answers the first with "stay". */
export async function askLeaving(): Promise<LeavingChoice> {
  useLeaving.getState().answer?.('stay');
  const choice = await new Promise<LeavingChoice>((resolve) => useLeaving.setState({ answer: resolve }));
  useLeaving.setState({ answer: null });
  return choice;
}
