import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import type { Lattice, LngLat, MultiPolygon } from '../geo/types.ts';
import { withProducts } from '../rates/product.ts';
import type { RatesSettings } from '../rates/settings.ts';
import { productsOf } from '../rates/spread.ts';
import type { RatesOut } from '../rates/types.ts';
import type { SurfacesOut } from '../surfaces/types.ts';
import type { Zone, ZonesOut } from '../zones/types.ts';
import { beyondProblems } from './beyond.ts';
import { type CellsChange, cellsChange, changeProblems } from './cells-change.ts';
import { checkHandoff } from './checks.ts';
import { writeFiles } from './files.ts';
import { ledgerFile } from './ledger-file.ts';
import { loadLines } from './loads.ts';
import { baseOf, fileNames, nameProblems } from './names.ts';
import { addTotals, isWritten, noteOf, offText, prescriptionsOf } from './pieces.ts';
import { plannedPoints } from './points.ts';
import { PROGRAM_VERSION } from './program.ts';
import { rateRasters, surfaceRasters } from './rasters.ts';
import { fileSets } from './sets.ts';
import type { HandoffSettings } from './settings.ts';
import { type Records, recordsOf } from './shape.ts';
import { writeTaskData } from './task-data/write.ts';
import type { HandoffOut, OutFile } from './types.ts';
import { zonesFile } from './zones-file.ts';

export interface HandoffInput {
  readonly planName: string;
  readonly planSha256: string;
  readonly ground: MultiPolygon;
  /** The field with keep-outs and setbacks in it; the ground alone where absent. */
  readonly boundary?: MultiPolygon;
  /** Keep-outs and setbacks within the field. */
  readonly keepOut?: MultiPolygon;
  readonly spreadable_ac: number;
  /** Where samples were taken, to hold the field's place against. */
  readonly samples?: readonly LngLat[];
  readonly surfaces: SurfacesOut;
  readonly zones: ZonesOut;
  readonly rates: RatesOut;
  readonly ratesSettings: RatesSettings;
  readonly settings: HandoffSettings;
}

/**
 * The prescriptions and every file of them, checked; nothing is written here. The page for people comes after the proof.
 * Zones whose role is to keep out, and those held back where such are left out, are in no file: acres, checks, manifest and proof are of the rest,
 * and the text beside the files names them.
 * Problems: `handoff-no-files`, `handoff-all-withheld`, `handoff-all-kept-out`, `handoff-withheld` (a zone has no rate and nobody decided what that
 * means), those of the records, checks and writers.
 */
export function makeHandoff(input: HandoffInput): Result<HandoffOut> {
  const { settings, ratesSettings, zones } = input;
  const leftOut = zones.zones.filter((zone) => !isWritten(zone, settings.holdBack));
  const leftOutGround = leftOut.flatMap(({ polygons }) => polygons);
  const refused = [...refusals(input, leftOut), ...beyondProblems({ ...input, leftOut: leftOutGround })];
  const problems: Problem[] = [...refused];
  if (stopped(problems)) return fail(...problems);

  const products = productsOf(withProducts(ratesSettings));
  const loads = { products, charge_perAc: ratesSettings.charge_perAcPerPass };
  const asZones = prescriptionsOf(zones, input.rates, settings, loads, ratesSettings.zones);
  const made = recordsOf(asZones, {
    settings,
    ground: input.ground,
    leftOut: leftOutGround,
    machine: ratesSettings.machine,
    rates: input.rates,
    loads,
  });
  problems.push(...made.problems);
  if (!made.ok) return fail(...problems);
  const { prescriptions, cells } = made.value;
  const totals = addTotals(prescriptions.map((one) => one.totals));
  const change = cellsChange(totals, input.rates, settings, ratesSettings.machine);
  problems.push(...changeProblems(change, settings));
  const names = products.map(({ name }) => name);
  const base = settings.baseName ?? baseOf(input.planName);
  const called = fileNames(base, settings, { passes: prescriptions.length, products: products.length });
  const sets = fileSets(prescriptions, names, called, settings);
  problems.push(...nameProblems(input.planName, settings.baseName, called));
  const lines = loadLines(prescriptions, settings.hopper_tons);
  const checks = checkHandoff({
    planName: input.planName,
    prescriptions,
    sets,
    cells,
    loads: lines,
    ground: input.ground,
    leftOut: leftOutGround,
    samples: input.samples ?? [],
    planned_lb: input.rates.totals.product_lb,
    machine: ratesSettings.machine,
    settings,
  });
  problems.push(...checks.problems);
  if (stopped(problems)) return fail(...problems);

  const taskData = taskDataOf(input, made.value, names, called.taskDataZip);
  problems.push(...taskData.problems);
  if (!taskData.ok) return fail(...problems);
  const leftOut_ac = leftOut.reduce((sum, zone) => sum + zone.acres, 0);
  const files = writeFiles({
    planName: input.planName,
    planSha256: input.planSha256,
    products: names,
    settings,
    spreadable_ac: input.spreadable_ac - leftOut_ac,
    leftOut,
    sets,
    points: plannedPoints(
      input.planSha256,
      prescriptions,
      settings.rateUnit,
      taskData.value || settings.files.rasters
        ? gridCell(input.surfaces.grid.lattice, taskData.value?.out.columns ?? input.surfaces.grid.lattice.cols)
        : null,
      [...input.ground, ...leftOutGround],
    ),
    cells,
    loads: lines,
    taskData: taskData.value,
    extras: extrasOf(input, names, change && { ...change, cost: totals.cost - input.rates.totals.cost }),
    rasters: settings.files.rasters ? rateRasters(prescriptions, names, input, settings) : [],
  });
  if (!files.ok) return fail(...problems, ...files.problems);
  return ok(
    {
      cells,
      loads: lines,
      taskData: taskData.value?.out ?? null,
      prescriptions,
      files: files.value,
      checks: checks.lines,
      totals,
      keptOut_ac: leftOut_ac,
    },
    [...problems, ...files.problems],
  );
}

const stopped = (problems: readonly Problem[]): boolean => problems.some(({ severity }) => severity === 'stop');

/** What must be decided before anything is made. */
function refusals({ settings, zones, rates }: HandoffInput, leftOut: readonly Zone[]): Problem[] {
  const { geojson, shapefile, loose, taskData } = settings.files;
  if (!geojson && !shapefile && !loose && !taskData) {
    const message = 'No file that a controller reads is chosen, so there is no prescription to write.';
    const remedy = 'Choose GeoJSON, a shapefile or task data.';
    return [stop('handoff-no-files', message, remedy, { setting: 'handoff.files' })];
  }
  if (leftOut.length === zones.zones.length) {
    const held = leftOut.some(({ role }) => role === 'hold back');
    const message = held
      ? 'Every zone is to keep out or is held back and left out, so there is nothing to write.'
      : 'Every zone is to keep out, so there is nothing to write.';
    const remedy = 'Make a zone one to spread or to hold back.';
    const setting = held ? 'handoff.holdBack' : 'zones.roles';
    return [stop('handoff-all-kept-out', message, held ? 'Make a zone one to spread.' : remedy, { setting })];
  }
  const written = rates.zones.filter(({ key }) => !leftOut.some((zone) => zone.key === key));
  if (written.every((rate) => rate.withheld)) {
    const remedy = 'Settle what the rates stage says, or type rates by hand.';
    return [stop('handoff-all-withheld', 'No zone has a rate, so there is nothing to write.', remedy)];
  }
  return written
    .filter((rate) => rate.withheld)
    .map((zone) => {
      const at = { zone: zone.letter, setting: 'handoff.withheld' };
      const which = `Zone ${zone.letter} (${zone.acres.toFixed(1)} ac) has no rate`;
      if (settings.withheld !== 'blocks') {
        const remedy = 'That is what you chose for withheld ground.';
        return caution('handoff-withheld', `${which} and is written as 0.`, remedy, at);
      }
      const remedy =
        `Settle it in the rates stage, type a rate by hand, or choose that withheld ground is written as 0. ${zone.withheld?.message ?? ''}`.trim();
      return stop('handoff-withheld', `${which}, so no file is written.`, remedy, at);
    });
}

function taskDataOf(
  { planName, ground, boundary, surfaces, zones, settings }: HandoffInput,
  { prescriptions }: Records,
  products: readonly string[],
  path: string,
): ReturnType<typeof writeTaskData> | Result<null> {
  if (!settings.files.taskData) return ok(null);
  const { shape, rateUnit, outside_lbPerAc, noPosition_lbPerAc } = settings;
  return writeTaskData({
    planName,
    path,
    version: PROGRAM_VERSION,
    ground,
    ...(boundary ? { boundary } : {}),
    lattice: surfaces.grid.lattice,
    prescriptions,
    products,
    outside_lbPerAc,
    noPosition_lbPerAc,
    shape,
    rateUnit,
    ...(shape === 'zones' ? { labels: zones } : {}),
  });
}

/** A cell of the task data's grid: several of the field's cells in one where there are too many of them. */
function gridCell({ dLng_deg, dLat_deg, cols }: Lattice, columns: number) {
  const stride = Math.ceil(cols / columns);
  return { lng_deg: dLng_deg * stride, lat_deg: dLat_deg * stride };
}

function extrasOf(
  input: HandoffInput,
  products: readonly string[],
  change: (CellsChange & { readonly cost: number }) | null,
): OutFile[] {
  const { rates, zones, surfaces, settings, ratesSettings } = input;
  const { tables, rasters } = settings.files;
  const passes = rates.totals.byPass.map(({ name }) => name);
  return [
    ...(tables
      ? [
          zonesFile({
            zones: zones.zones,
            rates: rates.zones,
            passes,
            products,
            rateUnit: settings.rateUnit,
            change,
            noteOf: (zone, rate) =>
              noteOf(
                rate,
                offText(zone, ratesSettings.zones[zone.key]?.off === true, !isWritten(zone, settings.holdBack)),
              ),
          }),
          ledgerFile(rates),
        ]
      : []),
    ...(rasters ? surfaceRasters(surfaces) : []),
  ];
}
