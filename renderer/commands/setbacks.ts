import type { NamedBytes } from '../../core/formats/types.ts';
import { describeInput } from '../../core/plan/pack.ts';
import type { Plan, Setback } from '../../core/plan/schema.ts';
import { currentPlan, edit } from '../store/document.ts';
import { withoutUnused } from '../store/plan-inputs.ts';
import { openPanel } from '../store/view.ts';
import { whenDrawn } from './focus.ts';

const FILE_TYPES = '.zip,.shp,.shx,.dbf,.prj,.cpg,.geojson,.json';
const FIRST_NAMES = { point: 'Well', line: 'Stream', polygon: 'Pond', files: 'Setback' } as const;
const FIRST_KINDS = { point: 'well', line: 'stream or ditch', polygon: 'pond or wetland', files: 'other' } as const;

const withSetbacks = (plan: Plan, setbacks: readonly Setback[]): Plan => ({
  ...plan,
  field: { ...plan.field, setbacks: [...setbacks] },
});

/** A new setback at 0: the distance is the person's to give. */
export function addSetback(ground: Setback['ground'], file?: NamedBytes): void {
  const entry = file && describeInput(file);
  edit(
    'add a setback',
    (plan) => {
      const inputs =
        entry && !plan.inputs.some(({ path }) => path === entry.path) ? [...plan.inputs, entry] : plan.inputs;
      const taken = new Set(plan.field.setbacks.map(({ id }) => id));
      let n = plan.field.setbacks.length + 1;
      while (taken.has(`setback-${n}`)) n++;
      const one: Setback = {
        id: `setback-${n}`,
        name: file ? nameOf(file.name) : `${FIRST_NAMES[ground.from]} ${n}`,
        kind: FIRST_KINDS[ground.from],
        ground,
        distance_m: 0,
      };
      return withSetbacks({ ...plan, inputs }, [...plan.field.setbacks, one]);
    },
    entry && file ? new Map([[entry.path, file.bytes]]) : undefined,
  );
  askDistance();
}

/** The last setback's distance, asked at once: its figure is chosen, so that typing takes its place. */
function askDistance(): void {
  const last = (currentPlan()?.field.setbacks.length ?? 0) - 1;
  openPanel('field', 'setbacks');
  whenDrawn(
    () => document.querySelector<HTMLInputElement>(`[data-setting="field.setbacks.${last}.distance_m"]`),
    (field) => {
      field.scrollIntoView({ block: 'nearest' });
      field.focus();
      if (field instanceof HTMLInputElement) field.select();
    },
  );
}

export const changeSetback = (id: string, label: string, patch: Partial<Omit<Setback, 'id'>>): void =>
  edit(label, (plan) =>
    withSetbacks(
      plan,
      plan.field.setbacks.map((one) => (one.id === id ? { ...one, ...patch } : one)),
    ),
  );

/** Takes a setback out; a file of its own goes with it. */
export const dropSetback = (id: string): void =>
  edit('take a setback out', (plan) => {
    const gone = plan.field.setbacks.find((one) => one.id === id);
    const rest = plan.field.setbacks.filter((one) => one.id !== id);
    const own = gone?.ground.from === 'files' ? gone.ground.files : [];
    return withoutUnused(withSetbacks(plan, rest), own);
  });

/** A file of places, lines or areas that distances are kept from: a zip, or one GeoJSON. */
export function chooseSetbackFile(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = FILE_TYPES;
  input.addEventListener('change', async () => {
    const file = input.files?.[0];
    if (!file) return;
    const bytes = { name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) };
    addSetback({ from: 'files', files: [describeInput(bytes).path] }, bytes);
  });
  input.click();
}

function nameOf(fileName: string): string {
  const words = fileName
    .replace(/\.[^.]*$/, '')
    .replace(/[_-]+/g, ' ')
    .trim()
    .slice(0, 80);
  return words === '' ? FIRST_NAMES.files : words.charAt(0).toUpperCase() + words.slice(1);
}
