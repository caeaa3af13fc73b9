import type { Problem } from '../../core/base/problem.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { type MapShapes, NO_SHAPES } from '../map/shapes.ts';
import { rememberSpread } from '../store/layer-spread.ts';
import type {
  CallName,
  FromWorker,
  InputFile,
  Progress,
  RequestOf,
  ResponseOf,
  RunReply,
  StageReply,
  ToWorker,
} from './protocol.ts';

/** What a call came to: its answer, or a Problem where the work went silent or broke. */
export type Outcome<T> =
  | { readonly ok: true; readonly response: T }
  | { readonly ok: false; readonly problem: Problem };

/** What a run gave: the stages' results, and shapes of them that the map draws. */
export interface RunOut {
  readonly out: PlanOut;
  readonly shapes: MapShapes;
}

/** The part of a Worker that is used: tests put a small one in its place. */
export interface WorkerLike {
  postMessage(message: ToWorker, transfer?: Transferable[]): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<FromWorker>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

interface Pending {
  readonly name: CallName;
  readonly settle: (outcome: Outcome<ResponseOf<CallName>>) => void;
  readonly progress: ((progress: Progress) => void) | undefined;
}

/** No stage of a sensible plan is silent for so long; a file that makes a parser loop is. */
export const SILENCE_LIMIT_MS = 30_000;

/** The worker, seen from the window: typed calls, progress, cancel, and a watchdog that ends it when it goes silent. */
export class Compute {
  readonly #make: () => WorkerLike;
  readonly #limit_ms: number;
  #worker: WorkerLike | null = null;
  #pending = new Map<number, Pending>();
  #held = new Set<string>();
  #last: RunOut | null = null;
  #nextId = 1;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(make: () => WorkerLike, limit_ms = SILENCE_LIMIT_MS) {
    this.#make = make;
    this.#limit_ms = limit_ms;
  }

  /** Sends one call. `id` is told at once, so that the caller can cancel. */
  call<N extends CallName>(
    name: N,
    request: RequestOf<N>,
    options: { readonly progress?: (progress: Progress) => void; readonly started?: (id: number) => void } = {},
  ): Promise<Outcome<ResponseOf<N>>> {
    const id = this.#nextId++;
    const worker = this.#ready();
    options.started?.(id);
    return new Promise((resolve) => {
      this.#pending.set(id, {
        name,
        // The worker answers a call with its own response: the id ties the two together.
        settle: resolve as (outcome: Outcome<ResponseOf<CallName>>) => void,
        progress: options.progress,
      });
      this.#watch();
      // Name and request come as a pair from the type parameter; the union cannot see it.
      worker.postMessage({ id, name, request } as unknown as ToWorker);
    });
  }

  /** Runs the plan; null when it was cancelled or overtaken. */
  async run(
    plan: Plan,
    inputs: ReadonlyMap<string, Uint8Array>,
    options: { readonly progress?: (progress: Progress) => void; readonly started?: (id: number) => void } = {},
  ): Promise<Outcome<RunOut | null>> {
    const fresh = this.#notHeld(plan, inputs);
    const outcome = await this.call('run', { plan, fresh }, options);
    if (!outcome.ok) return outcome;
    return { ok: true, response: outcome.response.done ? this.#merge(outcome.response) : null };
  }

  pack(plan: Plan, inputs: ReadonlyMap<string, Uint8Array>): Promise<Outcome<Uint8Array>> {
    return this.call('pack', { plan, fresh: this.#notHeld(plan, inputs) });
  }

  cancel(id: number): void {
    if (this.#pending.has(id)) this.#worker?.postMessage({ id, cancel: true });
  }

  /** Ends the worker at once; whatever was pending comes back with the problem. */
  stopAll(problem: Problem): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#held.clear();
    this.#last = null;
    clearTimeout(this.#timer);
    const pending = [...this.#pending.values()];
    this.#pending.clear();
    for (const call of pending) call.settle({ ok: false, problem });
  }

  #ready(): WorkerLike {
    if (this.#worker) return this.#worker;
    const worker = this.#make();
    worker.onmessage = (event) => this.#hear(event.data);
    worker.onerror = (event) => this.stopAll(faultOf('The worker broke off', event.message));
    this.#worker = worker;
    return worker;
  }

  #hear(message: FromWorker): void {
    const call = this.#pending.get(message.id);
    if (!call) return;
    if ('progress' in message) {
      call.progress?.(message.progress);
    } else {
      this.#pending.delete(message.id);
      if ('crash' in message)
        call.settle({ ok: false, problem: faultOf(`The step "${call.name}" broke off`, message.crash) });
      else call.settle({ ok: true, response: message.response });
    }
    this.#watch();
  }

  #watch(): void {
    clearTimeout(this.#timer);
    if (this.#pending.size === 0) return;
    this.#timer = setTimeout(
      () => this.stopAll(silenceOf([...this.#pending.values()], this.#limit_ms)),
      this.#limit_ms,
    );
  }

  #notHeld(plan: Plan, inputs: ReadonlyMap<string, Uint8Array>): InputFile[] {
    this.#ready();
    const fresh: InputFile[] = [];
    for (const { path } of plan.inputs) {
      const bytes = inputs.get(path);
      if (!bytes || this.#held.has(path)) continue;
      this.#held.add(path);
      fresh.push({ path, bytes });
    }
    return fresh;
  }

  #merge(reply: Extract<RunReply, { done: true }>): RunOut {
    const before = this.#last;
    const { stages } = reply;
    const value = <S extends keyof StageReply>(name: S): PlanOut[S] => {
      const given = stages[name].value;
      if (given !== 'as before') return given as PlanOut[S];
      if (!before) throw new Error(`the worker left out ${name}, which was never sent`);
      return before.out[name];
    };
    const out: PlanOut = {
      stages: {
        field: stages.field.state,
        soil: stages.soil.state,
        surfaces: stages.surfaces.state,
        zones: stages.zones.state,
        rates: stages.rates.state,
        handoff: stages.handoff.state,
      },
      field: value('field'),
      soil: value('soil'),
      surfaces: value('surfaces'),
      zones: value('zones'),
      rates: value('rates'),
      handoff: value('handoff'),
      problems: reply.problems,
    };
    const shapes = reply.shapes === 'as before' ? (before?.shapes ?? NO_SHAPES) : reply.shapes;
    for (const [layer, spread] of Object.entries(reply.spreads)) rememberSpread(out.surfaces, layer, spread);
    this.#last = { out, shapes };
    return this.#last;
  }
}

const silenceOf = (calls: readonly Pending[], limit_ms: number): Problem => ({
  code: 'compute-silent',
  severity: 'stop',
  message: `Nothing was heard for ${Math.round(limit_ms / 1000)} seconds, so the work was ended.`,
  remedy: 'Take out the file that was added last, or save it anew from the program it came from.',
  detail: calls.map((call) => call.name).join(', '),
});

const faultOf = (what: string, detail: string): Problem => ({
  code: 'compute-fault',
  severity: 'stop',
  message: `${what}: this is a fault of the program, not of your files.`,
  remedy: 'Undo the last change and go on; report the detail.',
  detail,
});
