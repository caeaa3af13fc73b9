import type { Plan } from '../../core/plan/schema.ts';
import { compute } from '../compute/index.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { currentPlan, useDocument } from '../store/document.ts';
import { useResults } from '../store/results.ts';

let readFor = '';

/** Reads how the columns of the plan's tables were guessed, for the lab table's head; once per set of files. */
export async function readColumns(): Promise<void> {
  const plan = currentPlan();
  if (!plan) return;
  const { sampleFiles, pointFiles, crs } = plan.soil;
  const key = JSON.stringify([sampleFiles, pointFiles, crs]);
  if (key === readFor) return;
  readFor = key;
  const [samples, points] = await Promise.all([
    columnsOf(plan, sampleFiles, 'samples'),
    columnsOf(plan, pointFiles, 'points'),
  ]);
  if (readFor === key) useResults.setState({ columns: { samples, points } });
}

export function forgetColumns(): void {
  readFor = '';
}

async function columnsOf(
  plan: Plan,
  paths: readonly string[],
  role: 'points' | 'samples',
): Promise<TableColumns | null> {
  const { inputs } = useDocument.getState();
  const files = paths.flatMap((path) => {
    const bytes = inputs.get(path);
    const name = plan.inputs.find((input) => input.path === path)?.name;
    return bytes && name !== undefined ? [{ name, bytes }] : [];
  });
  if (files.length === 0) return null;
  const outcome = await compute.call('columns', { files, crs: plan.soil.crs, role });
  return outcome.ok && outcome.response.ok ? outcome.response.value : null;
}
