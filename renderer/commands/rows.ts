import type { SoilRow } from '../../core/soil/types.ts';
import { currentPlan, editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { openPanel, useView } from '../store/view.ts';

type RowName = Pick<SoilRow, 'file' | 'row'>;

/** Chooses a row and shows it in the table that holds it. */
export function showRow({ file, row }: RowName): void {
  const soil = useResults.getState().out?.soil;
  const inPoints = soil?.pointRows.some((one) => one.file === file) ?? false;
  const kept = soil?.rows.find((one) => one.file === file && one.row === row && one.kept);
  useView.setState({ selectedRow: { file, row }, litSamples: new Set(kept ? [kept.id] : []) });
  openPanel('soil', inPoints ? 'points' : 'table');
}

const others = (row: RowName) =>
  (currentPlan()?.soil.decisions ?? []).filter((one) => one.file !== row.file || one.row !== row.row);

/** A person's word on a row: who says so and why. One word stands for a row. */
export function decide(row: RowName, keep: boolean, why: string, who: string): void {
  const when = new Date().toISOString().slice(0, 10);
  const decision = { file: row.file, row: row.row, keep, why: why.trim(), who: who.trim(), when };
  editPart('soil', `${keep ? 'keep' : 'set aside'} row ${row.row}`, { decisions: [...others(row), decision] });
}

export const letGo = (row: RowName): void =>
  editPart('soil', `leave row ${row.row} to the reading`, { decisions: others(row) });
