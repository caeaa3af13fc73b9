/// <reference lib="webworker" />
import { ok, stop } from '../../core/base/problem.ts';
import { readRaster } from '../../core/formats/geotiff-read.ts';
import { readFiles } from '../../core/formats/read.ts';
import { bounds } from '../../core/geo/bounds.ts';
import { difference } from '../../core/geo/clip.ts';
import { makeFieldGrid } from '../../core/geo/lattice.ts';
import type { FieldGrid, MultiPolygon } from '../../core/geo/types.ts';
import { compareWithPlan } from '../../core/handoff/back/compare.ts';
import { lookAtPrescription } from '../../core/handoff/back/read.ts';
import type { OpenedPrescription } from '../../core/handoff/back/types.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import { correlate } from '../../core/layers/correlation.ts';
import { layerValues } from '../../core/layers/layer.ts';
import { histogram, layerStats } from '../../core/layers/statistics.ts';
import { finishExport } from '../../core/pipeline/finish.ts';
import { createMemo, runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { planText, readPlan } from '../../core/plan/open.ts';
import { describeInput, openInputs, packPlan, unpackPlan } from '../../core/plan/pack.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { sortFiles } from '../../core/plan/sort.ts';
import { pickDataset, startPlan } from '../../core/plan/start.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { labTables, tableName } from '../../core/soil/tables.ts';
import { previewSurface } from '../../core/surfaces/preview.ts';
import type { MeasuredId, SurfacesSettings } from '../../core/surfaces/settings.ts';
import { LAYER_IDS, type LayerId, type SurfacesOut } from '../../core/surfaces/types.ts';
import { type PaintedLayer, paintDifference, paintDraft, paintLayer } from '../map/painted.ts';
import { mapShapes } from '../map/shapes.ts';
import { layerSpread, type Spread } from '../store/layer-spread.ts';
import { readAreas } from './areas.ts';
import { pairOf, roundLimits } from './pair.kernel.ts';
import type { CallName, FromWorker, RequestOf, ResponseOf, RunReply, StageReply, ToWorker } from './protocol.ts';
import { forTransfer } from './transfer.ts';

/** The window's own worker: everything that parses or computes runs here, off the thread that draws. */
const memo = createMemo();
/** Bytes of the plan's inputs by path; a path is named by its content, so it never changes its meaning. */
const inputs = new Map<string, Uint8Array>();
const cancelled = new Set<number>();
/** Keys of the stage values that the window holds. */
const sent = new Map<string, string>();

const post = (message: FromWorker, transfer: readonly ArrayBuffer[] = []): void =>
  self.postMessage(message, { transfer: [...transfer] });

/** Lets a waiting message in: a task of its own, unlike a promise. */
const turn = new MessageChannel();
const waiting: (() => void)[] = [];
turn.port1.onmessage = () => waiting.shift()?.();
const letIn = (): Promise<void> =>
  new Promise((resolve) => {
    waiting.push(resolve);
    turn.port2.postMessage(null);
  });

/** What the last finished run gave: statistics and drafts are of it. */
let latest: PlanOut | null = null;
/** The plan it was made of. */
let latestPlan: Plan | null = null;
/** The prescription that a person opened last. */
let opened: OpenedPrescription | null = null;

const SHORTEST_REPORT_MS = 60;

async function run(id: number, request: RequestOf<'run'>): Promise<RunReply> {
  for (const file of request.fresh) inputs.set(file.path, file.bytes);
  let reported = 0;
  let stage = '';
  try {
    const out = await runPlan(
      { plan: request.plan, inputs },
      {
        progress: (at, done, total) => {
          const now = performance.now();
          if (at === stage && now - reported < SHORTEST_REPORT_MS) return;
          stage = at;
          reported = now;
          post({ id, progress: { stage: at, done, total } });
        },
        goOn: async () => {
          await letIn();
          return !cancelled.has(id);
        },
      },
      memo,
    );
    if (cancelled.has(id)) return { done: false };
    latest = out;
    latestPlan = request.plan;
    return reply(out, request.plan);
  } catch (error) {
    if (error instanceof Error && error.name === 'Cancelled') return { done: false };
    throw error;
  }
}

function reply(out: PlanOut, plan: Plan): RunReply {
  const part = <S extends keyof StageReply>(name: S): StageReply[S] => {
    const state = out.stages[name];
    // The surfaces' value also holds the need layer, which the zones stage makes.
    const made = name === 'surfaces' ? [state, out.stages.zones] : [state];
    const key = made.map((one) => `${one.state} ${one.key}`).join(' ');
    const same = sent.get(name) === key;
    sent.set(name, key);
    // The value of a stage name belongs to that name's entry; the index type alone cannot say so.
    return { state, value: same ? 'as before' : out[name] } as StageReply[S];
  };
  const shapesKey = [out.stages.surfaces, out.stages.zones].map((one) => `${one.state} ${one.key}`).join(' ');
  const sameShapes = sent.get('shapes') === shapesKey;
  sent.set('shapes', shapesKey);
  return {
    done: true,
    problems: out.problems,
    shapes: sameShapes ? 'as before' : mapShapes(out, plan.surfaces.far_m),
    spreads: sameShapes ? {} : spreadsOf(out.surfaces),
    stages: {
      field: part('field'),
      soil: part('soil'),
      surfaces: part('surfaces'),
      zones: part('zones'),
      rates: part('rates'),
      handoff: part('handoff'),
    },
  };
}

const handlers: { [N in CallName]: (request: RequestOf<N>, id: number) => ResponseOf<N> | Promise<ResponseOf<N>> } = {
  sort: ({ files, crs }) => sortFiles(files, crs === null ? {} : { crs }),
  start: (request) => {
    const { crop, yieldGoal, governs, crs, ...rest } = request;
    const started = startPlan({
      ...rest,
      askLater: true,
      ...(crop === null ? {} : { crop }),
      ...(yieldGoal === null ? {} : { yieldGoal }),
      ...(governs === null ? {} : { governs }),
      ...(crs === null ? {} : { crs }),
    });
    if (!started.ok) return started;
    const { plan, guesses } = started.value;
    return { ...started, value: { plan, guesses, inputs: listed(started.value.inputs) } };
  },
  areas: ({ files, crs }) => readAreas(files, crs, latest?.field?.boundary ?? null),
  columns: ({ files, crs, role, sampleTable, year }) => {
    const read = readFiles(files, crs === null ? {} : { crs });
    if (!read.ok) return read;
    const dataset = pickDataset(read.value, role, { sampleTable, year });
    if (!dataset) {
      return { ok: false, problems: [stop('soil-no-table', 'The files hold no table.', 'Choose other files.')] };
    }
    const { name, format, columns, decimal, reading } = dataset;
    return {
      ...read,
      value: {
        name,
        format,
        columns,
        decimal,
        reading,
        crs: dataset.crs,
        records: dataset.records.length,
        guesses: guessColumns(dataset),
        table: tableName(dataset),
        labTables:
          role === 'samples'
            ? labTables(read.value).map((one) => ({ table: tableName(one), rows: one.records.length }))
            : [],
      },
    };
  },
  run: async (request, id) => {
    const made = await run(id, request);
    if (made.done) setTimeout(() => warmDraft(request.plan.surfaces), WARM_AFTER_MS);
    return made;
  },
  openPrescription: ({ files, told }) => {
    const looked = lookAtPrescription(files, told);
    opened = looked.read.ok ? looked.read.value : null;
    return looked;
  },
  compareOpened: ({ against }) => {
    const { field, surfaces, handoff } = latest ?? {};
    if (!opened || !latestPlan || !field || !surfaces || !handoff) return null;
    const side = {
      prescriptions: handoff.prescriptions,
      ground: field.spreadable,
      lattice: surfaces.grid.lattice,
      step_lbPerAc: latestPlan.rates.machine.step_lbPerAc,
    };
    const there = against !== null && side.prescriptions.some(({ pass }) => pass === against.pass);
    const { difference_lbPerAc: _, points, ...comparison } = compareWithPlan(opened, side, there ? against : undefined);
    const planOnly = opened.outline ? difference(field.spreadable, opened.outline) : [];
    return { comparison, planOnly, picture: paintDifference(points) };
  },
  prove: ({ files }) => proveFiles(files),
  finish: ({ key, ...rest }) =>
    latest?.handoff && latestPlan && latest.stages.handoff.key === key
      ? finishExport({ plan: latestPlan, out: latest, ...rest })
      : null,
  pack: ({ plan, fresh }) => {
    for (const file of fresh) inputs.set(file.path, file.bytes);
    return packPlan(plan, inputs);
  },
  unpack: ({ name, bytes }) => {
    const opened = unpackPlan(bytes, name);
    return opened.ok ? { ...opened, value: { plan: opened.value.plan, inputs: listed(opened.value.inputs) } } : opened;
  },
  open: ({ planText: text, inputs: given, name }) => {
    const plan = readPlan(text, name);
    if (!plan.ok) return plan;
    const found = openInputs(plan.value, new Map(given.map((file) => [file.path, file.bytes])), name);
    if (!found.ok) return found;
    return {
      ok: true,
      value: { plan: plan.value, inputs: listed(found.value) },
      problems: [...plan.problems, ...found.problems],
    };
  },
  text: ({ plan }) => planText(plan),
  paint: ({ layer }) => (latest?.surfaces ? paintLayer(latest.surfaces, layer) : null),
  preview: ({ settings, layer }) => draftOf(settings, layer),
  statistics: ({ layer }) => {
    const surfaces = latest?.surfaces;
    const values = surfaces && layerValues(surfaces, layer);
    if (!values) return null;
    const { cover_m2 } = surfaces.grid;
    const stats = layerStats(values, cover_m2);
    return stats && { stats, histogram: histogram(values, cover_m2, roundLimits(stats.min, stats.max, BARS)) };
  },
  correlation: ({ a, b }) => {
    const surfaces = latest?.surfaces;
    const [one, other] = surfaces ? [layerValues(surfaces, a), layerValues(surfaces, b)] : [];
    if (!surfaces || !one || !other) return null;
    const { cover_m2 } = surfaces.grid;
    return { correlation: correlate(one, other, cover_m2), ...pairOf(one, other, cover_m2) };
  },
  raster: async ({ file, band, crs }) => {
    const field = latest?.field;
    const read = await readRaster(file, { band, crs, ...(field ? { window: bounds(field.spreadable) } : {}) });
    if (!read.ok) return read;
    const { bands, unit, reading } = read.value;
    return ok({ input: describeInput(file), bands, unit, reading }, read.problems);
  },
};

function draftOf(settings: SurfacesSettings, layer: MeasuredId): PaintedLayer | null {
  const { field, soil, surfaces } = latest ?? {};
  if (!field || !soil || !surfaces) return null;
  const grid = draftGrid(field.spreadable, surfaces.grid);
  const values = previewSurface({ soil, grid, settings, layer });
  return values && paintDraft(surfaces, layer, values, grid);
}

/** Time for the window to ask for its picture first. */
const WARM_AFTER_MS = 400;
let warmedFor: FieldGrid | null = null;

/** The first coarse surface of a grid is made before anybody drags: its grid is at hand then, and its code has run once. */
function warmDraft(settings: SurfacesSettings): void {
  const grid = latest?.surfaces?.grid;
  if (!grid || grid === warmedFor) return;
  warmedFor = grid;
  draftOf(settings, 'k_ppm');
}

/** Cells of a coarse surface: few enough that one is made and painted within a tenth of a second. */
const DRAFT_CELLS = 40_000;
const draftGrids = new WeakMap<FieldGrid, FieldGrid>();

/** The surfaces' own grid where it is small, else one of larger cells over the same ground, made once. */
function draftGrid(ground: MultiPolygon, grid: FieldGrid): FieldGrid {
  const { cols, rows } = grid.lattice;
  if (cols * rows <= DRAFT_CELLS) return grid;
  const known = draftGrids.get(grid);
  if (known) return known;
  const made = makeFieldGrid(ground, grid.cell_m * Math.sqrt((cols * rows) / DRAFT_CELLS));
  const coarse = made.ok ? made.value : grid;
  draftGrids.set(grid, coarse);
  return coarse;
}

function spreadsOf(surfaces: SurfacesOut | null): Partial<Record<LayerId, Spread>> {
  const spreads: Partial<Record<LayerId, Spread>> = {};
  for (const id of LAYER_IDS) {
    const values = surfaces?.layers[id];
    if (values && surfaces) spreads[id] = layerSpread(values, surfaces.grid.cover_m2);
  }
  return spreads;
}

/** Bars of a layer's histogram, about. */
const BARS = 36;

const listed = (map: ReadonlyMap<string, Uint8Array>) => [...map].map(([path, bytes]) => ({ path, bytes }));

async function answer<N extends CallName>(id: number, name: N, request: RequestOf<N>): Promise<void> {
  try {
    const response = await handlers[name](request, id);
    const { value, transfer } = forTransfer(response);
    post({ id, response: value }, transfer);
  } catch (error) {
    post({ id, crash: error instanceof Error ? `${error.message}\n${error.stack ?? ''}` : String(error) });
  } finally {
    cancelled.delete(id);
  }
}

self.onmessage = (event: MessageEvent<ToWorker>) => {
  const message = event.data;
  if ('cancel' in message) cancelled.add(message.id);
  else void answer(message.id, message.name, message.request);
};
