import { fail, type Result } from '../../core/base/problem.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { compute } from '../compute/index.ts';
import type { Started } from '../compute/protocol.ts';
import { currentPlan, edit, useDocument } from '../store/document.ts';
import { type FilePart, type FileRole, NO_INTAKE, nameFrom, partsOf, useIntake } from '../store/intake.ts';
import { useMappings } from '../store/mappings.ts';
import { openPanel, useView } from '../store/view.ts';
import { givenParts, withFiles } from '../store/with-files.ts';
import { askFirst, mapOf, openPlanFile, showDocument } from './plans.ts';
import { addRasters, isRasterName } from './rasters.ts';

/** Files from a drop or a file chooser: a plan file is opened, anything else goes to the intake. */
export async function takeFiles(list: Iterable<File>, role?: FileRole): Promise<void> {
  const files = await Promise.all(
    [...list].map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
  );
  await takeBytes(files, role);
}

export async function takeBytes(files: readonly NamedBytes[], role?: FileRole): Promise<void> {
  if (files.length === 0) return;
  const planFile = files.find((file) => /\.pearlash$/i.test(file.name));
  if (planFile) return openPlanFile(planFile.name, planFile.bytes);
  const adding = currentPlan() !== null;
  // A raster is a layer of the open plan; before there is a plan it is told, with all else that has no part in one.
  const rasters = adding ? files.filter((file) => isRasterName(file.name)) : [];
  const others = files.filter((file) => !rasters.includes(file));
  if (others.length === 0) return addRasters(rasters);
  void addRasters(rasters);
  const before = useIntake.getState();
  const kept = before.files.filter((file) => !others.some((other) => other.name === file.name));
  const told = role === undefined ? {} : Object.fromEntries(others.map((file) => [file.name, role]));
  useIntake.setState({ files: [...kept, ...others], adding, told: { ...before.told, ...told } });
  if (adding) openPanel('intake');
  await sortAgain();
}

/** Finds out what each file of the intake is. What a person chose by hand stays. */
export async function sortAgain(): Promise<void> {
  const { files, crs } = useIntake.getState();
  if (files.length === 0) {
    useIntake.setState({ ...NO_INTAKE });
    return;
  }
  useIntake.setState({ status: 'reading', problems: [] });
  // Beside the open plan's boundary, another polygon file shows whether it is a keep-out or a boundary to take its place.
  const plan = currentPlan();
  const known = inputsOf(plan, plan?.field.boundaryFiles ?? []).filter(
    (input) => !files.some((file) => file.name === input.name),
  );
  const outcome = await compute.call('sort', {
    files: [...known, ...files],
    crs: crs.trim() === '' ? null : crs.trim(),
  });
  if (useIntake.getState().files !== files) return;
  if (!outcome.ok) {
    useIntake.setState({ status: 'ready', problems: [outcome.problem] });
    return;
  }
  const roles: Record<string, FileRole> = {};
  const parts: Record<string, FilePart[]> = {};
  if (outcome.response.ok) {
    const sorted = outcome.response.value;
    for (const role of ['keepOut', 'boundary', 'points', 'samples'] as const) {
      for (const file of sorted[role]) parts[file.name] = [...(parts[file.name] ?? []), role];
    }
  }
  for (const [file, found] of Object.entries(parts))
    roles[file] = found.length > 1 ? 'several' : (found[0] ?? 'unused');
  const { name, told } = useIntake.getState();
  for (const file of files) roles[file.name] = told[file.name] ?? roles[file.name] ?? 'unused';
  const boundary = files.find((file) => partsOf({ roles, parts }, file.name).includes('boundary'));
  useIntake.setState({
    status: 'ready',
    roles,
    parts,
    problems: outcome.response.problems,
    name: name === '' && boundary ? nameFrom(boundary.name) : name,
  });
}

export function setRole(names: readonly string[], role: FileRole): void {
  useIntake.setState((intake) => ({
    roles: { ...intake.roles, ...Object.fromEntries(names.map((name) => [name, role])) },
    told: { ...intake.told, ...Object.fromEntries(names.map((name) => [name, role])) },
  }));
}

/** Takes files out of the intake again. */
export async function takeOut(names: readonly string[]): Promise<void> {
  useIntake.setState((intake) => ({ files: intake.files.filter((file) => !names.includes(file.name)) }));
  await sortAgain();
}

export function dropIntake(): void {
  useIntake.setState(NO_INTAKE);
  if (useView.getState().panel === 'intake') openPanel(null);
}

/** Why the plan cannot start yet, in words for the button; null when it can. */
export function whyNoStart(intake: ReturnType<typeof useIntake.getState>): string | null {
  if (intake.status === 'reading') return 'Reading the files';
  if (intake.status === 'making') return 'Making the plan';
  const has = (part: FilePart): boolean => intake.files.some((file) => partsOf(intake, file.name).includes(part));
  if (intake.adding)
    return intake.files.some((file) => partsOf(intake, file.name).length > 0) ? null : 'Say what the files are';
  if (!has('boundary')) return 'A boundary is needed first';
  if (intake.name.trim() === '') return 'Give the plan a name';
  if (intake.governs === null) return 'Say which target governs';
  return null;
}

/** Starts a plan from the intake, or puts its files into the open one. */
export async function finishIntake(): Promise<void> {
  const intake = useIntake.getState();
  if (whyNoStart(intake) !== null) return;
  useIntake.setState({ status: 'making' });
  const plan = intake.adding ? currentPlan() : null;
  const started = await start(plan);
  if (!started.ok) {
    useIntake.setState({ status: 'ready', problems: started.problems });
    return;
  }
  if (plan) {
    const { value } = started;
    edit('add files', (now) => withFiles(now, value.plan, intake), mapOf(value.inputs));
    useDocument.setState({ guesses: value.guesses });
    dropIntake();
    const given = givenParts(intake);
    openPanel(given.has('points') || given.has('samples') ? 'soil' : 'field');
    return;
  }
  if (!(await askFirst())) {
    useIntake.setState({ status: 'ready' });
    return;
  }
  const { value } = started;
  showDocument({ plan: value.plan, inputs: mapOf(value.inputs), guesses: value.guesses });
  openPanel(value.plan.soil.sampleFiles.length > 0 ? 'soil' : 'field');
}

async function start(plan: Plan | null): Promise<Result<Started>> {
  const intake = useIntake.getState();
  const { files, name, crop, yieldGoal, governs, crs } = intake;
  const given = (role: FilePart, paths: readonly string[]): readonly NamedBytes[] => {
    const fresh = files.filter((file) => partsOf(intake, file.name).includes(role));
    // Keep-outs add up; of everything else there is one, and the new takes the old one's place.
    if (role === 'keepOut') return [...inputsOf(plan, paths), ...fresh];
    return fresh.length > 0 ? fresh : inputsOf(plan, paths);
  };
  const told = crs.trim();
  const outcome = await compute.call('start', {
    name: plan?.name ?? name.trim(),
    boundary: given('boundary', plan?.field.boundaryFiles ?? []),
    keepOut: given('keepOut', plan?.field.keepOutFiles ?? []),
    points: given('points', plan?.soil.pointFiles ?? []),
    samples: given('samples', plan?.soil.sampleFiles ?? []),
    crop: plan ? plan.rates.crop : crop,
    yieldGoal: plan ? plan.rates.yieldGoal : yieldGoal,
    governs,
    crs: told !== '' ? told : (plan?.field.crs ?? null),
    remembered: useMappings.getState().mappings,
  });
  return outcome.ok ? outcome.response : fail(outcome.problem);
}

function inputsOf(plan: Plan | null, paths: readonly string[]): readonly NamedBytes[] {
  const { inputs } = useDocument.getState();
  return paths.flatMap((path) => {
    const bytes = inputs.get(path);
    const name = plan?.inputs.find((input) => input.path === path)?.name;
    return bytes && name !== undefined ? [{ name, bytes }] : [];
  });
}

/** Opens the system's file chooser; the role is told where the button that was pressed tells it. */
export function chooseFiles(role?: FileRole): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = '.zip,.shp,.shx,.dbf,.prj,.cpg,.geojson,.json,.csv,.txt,.xlsx,.tif,.tiff,.pearlash';
  input.addEventListener('change', () => void takeFiles(input.files ?? [], role));
  input.click();
}
