import { asRemembered, useOf } from '../../core/plan/columns.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { compute } from '../compute/index.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { currentPlan, editPart, useDocument } from '../store/document.ts';
import { rememberedFor, useMappings } from '../store/mappings.ts';
import { useResults } from '../store/results.ts';

let readFor = '';

/** Reads how the columns of the plan's tables were guessed, for the lab table's head; once per set of files. */
export async function readColumns(): Promise<void> {
  const plan = currentPlan();
  if (!plan) return;
  const { sampleFiles, pointFiles, crs, sampleTable, year } = plan.soil;
  const key = JSON.stringify([sampleFiles, pointFiles, crs, sampleTable, year]);
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
  sampleTable: string | null = plan.soil.sampleTable,
): Promise<TableColumns | null> {
  const { inputs } = useDocument.getState();
  const files = paths.flatMap((path) => {
    const bytes = inputs.get(path);
    const name = plan.inputs.find((input) => input.path === path)?.name;
    return bytes && name !== undefined ? [{ name, bytes }] : [];
  });
  if (files.length === 0) return null;
  const outcome = await compute.call('columns', {
    files,
    crs: plan.soil.crs,
    role,
    sampleTable,
    year: plan.soil.year,
  });
  return outcome.ok && outcome.response.ok ? outcome.response.value : null;
}

/** Reads another table of the lab file: its columns as they were set for such a file before, else as they are guessed. */
export async function chooseTable(sampleTable: string): Promise<void> {
  const plan = currentPlan();
  if (!plan || plan.soil.sampleTable === sampleTable) return;
  const columns = await columnsOf(plan, plan.soil.sampleFiles, 'samples', sampleTable);
  if (!columns || currentPlan() !== plan) return;
  const known = rememberedFor(useMappings.getState().mappings, columns.columns, 'samples');
  const uses = (known ? asRemembered(columns.guesses, known) : columns.guesses).map(useOf);
  editPart('soil', `lab values from "${sampleTable}"`, { sampleTable, sampleColumns: uses });
}
