import { create } from 'zustand';

/** Parts of a panel that are folded open, by name. They stay so while the window is open; the crop, asked for most, begins open. */
export const useFolds = create<{ readonly open: ReadonlySet<string> }>()(() => ({ open: new Set(['crop']) }));

export function setFold(name: string, open: boolean): void {
  const before = useFolds.getState().open;
  if (before.has(name) === open) return;
  const next = new Set(before);
  if (open) next.add(name);
  else next.delete(name);
  useFolds.setState({ open: next });
}
