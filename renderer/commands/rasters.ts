import { fail } from '../../core/base/problem.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import type { OwnRaster, Plan, PlanInput } from '../../core/plan/schema.ts';
import { compute } from '../compute/index.ts';
import type { RasterFile } from '../compute/protocol.ts';
import { currentPlan, edit, useDocument } from '../store/document.ts';
import { useRasters } from '../store/rasters.ts';
import { openPanel, useView } from '../store/view.ts';

export const isRasterName = (name: string): boolean => /\.tiff?$/i.test(name);
const RASTER_TYPES = '.tif,.tiff,image/tiff';

/** Brings rasters into the open plan, one after the other; one that cannot be read waits in the panel with its remedy. */
export async function addRasters(files: readonly NamedBytes[]): Promise<void> {
  if (files.length === 0) return;
  openPanel('surfaces', 'own');
  for (const file of files) await addRaster(file, null);
}

/** One raster; `crs` where a person told it. */
export async function addRaster(file: NamedBytes, crs: string | null): Promise<void> {
  useRasters.setState({ reading: file.name });
  const outcome = await compute.call('raster', { file, band: 1, crs });
  const { waiting } = useRasters.getState();
  const others = waiting.filter((one) => one.file.name !== file.name);
  const read = outcome.ok ? outcome.response : fail(outcome.problem);
  if (!read.ok) {
    useRasters.setState({ reading: null, waiting: [...others, { file, problems: read.problems }] });
    return;
  }
  const { input, bands } = read.value;
  useRasters.setState((state) => ({ reading: null, waiting: others, bands: { ...state.bands, [input.path]: bands } }));
  const plan = currentPlan();
  if (!plan) return;
  const raster = rasterOf(plan, read.value, crs);
  edit(`add layer ${raster.name}`, (now) => withRaster(now, input, raster), new Map([[input.path, file.bytes]]));
  useView.setState({ layer: `own.${raster.id}` });
}

const withRaster = (plan: Plan, input: PlanInput, raster: OwnRaster): Plan => ({
  ...plan,
  inputs: plan.inputs.some((one) => one.path === input.path) ? plan.inputs : [...plan.inputs, input],
  rasters: [...plan.rasters, raster],
});

function rasterOf(plan: Plan, { input, unit }: RasterFile, crs: string | null): OwnRaster {
  const name = nameOf(input.name);
  return {
    id: idFor(name, plan.rasters),
    file: input.path,
    band: 1,
    name,
    unit: unit.slice(0, 20),
    crs,
    fill: 'unsaid',
  };
}

/** `field_elevation.tif` is called `Field elevation`. */
function nameOf(fileName: string): string {
  const words = fileName
    .replace(/^.*\//, '')
    .replace(/\.tiff?$/i, '')
    .split(/[\s_.-]+/)
    .filter(Boolean)
    .join(' ');
  const text = words.slice(0, 80) || 'Own layer';
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A name that no other layer of the plan has, of small letters, digits and dashes. */
export function idFor(name: string, rasters: readonly Pick<OwnRaster, 'id'>[]): string {
  const stem =
    name
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 32) || 'layer';
  const taken = new Set(rasters.map(({ id }) => id));
  let id = stem;
  for (let n = 2; taken.has(id); n++) id = `${stem}-${n}`;
  return id;
}

export const changeRaster = (id: string, label: string, patch: Partial<Omit<OwnRaster, 'id' | 'file'>>): void =>
  edit(label, (plan) => ({
    ...plan,
    rasters: plan.rasters.map((raster) => (raster.id === id ? { ...raster, ...patch } : raster)),
  }));

/** Takes a layer out of the plan; its file goes too where no other layer is made from it. */
export function removeRaster(id: string): void {
  edit(`remove layer ${currentPlan()?.rasters.find((raster) => raster.id === id)?.name ?? id}`, (plan) => {
    const gone = plan.rasters.find((raster) => raster.id === id);
    const rasters = plan.rasters.filter((raster) => raster.id !== id);
    const inputs = plan.inputs.filter(
      (input) => input.path !== gone?.file || rasters.some((raster) => raster.file === input.path),
    );
    return { ...plan, rasters, inputs };
  });
  if (useView.getState().layer === `own.${id}`) useView.setState({ layer: null });
}

/** Finds out how many bands a raster of the plan has, where that is not known yet. */
export async function learnBands(path: string, crs: string | null): Promise<void> {
  const bytes = useDocument.getState().inputs.get(path);
  const name = currentPlan()?.inputs.find((input) => input.path === path)?.name;
  if (!bytes || name === undefined || useRasters.getState().bands[path] !== undefined) return;
  const outcome = await compute.call('raster', { file: { name, bytes }, band: 1, crs });
  if (!outcome.ok || !outcome.response.ok) return;
  const { bands } = outcome.response.value;
  useRasters.setState((state) => ({ bands: { ...state.bands, [path]: bands } }));
}

export const forgetWaiting = (file: NamedBytes): void =>
  useRasters.setState((state) => ({ waiting: state.waiting.filter((one) => one.file !== file) }));

/** Opens the system's file chooser for rasters. */
export function chooseRasters(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = RASTER_TYPES;
  input.addEventListener('change', async () => {
    const files = [...(input.files ?? [])];
    await addRasters(
      await Promise.all(
        files.map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
      ),
    );
  });
  input.click();
}
