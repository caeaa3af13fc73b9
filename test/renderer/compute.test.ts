import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { PlanOut, StageState } from '../../core/pipeline/types.ts';
import { emptyPlan, type Plan } from '../../core/plan/schema.ts';
import { Compute, type WorkerLike } from '../../renderer/compute/client.ts';
import type { FromWorker, StageReply, ToWorker } from '../../renderer/compute/protocol.ts';
import { forTransfer } from '../../renderer/compute/transfer.ts';

/** Stands where the browser's Worker does: keeps what it was sent, says what the test tells it to. */
class Bench implements WorkerLike {
  readonly sent: ToWorker[] = [];
  ended = false;
  onmessage: ((event: MessageEvent<FromWorker>) => void) | null = null;
  onerror: ((event: ErrorEvent) => void) | null = null;
  postMessage(message: ToWorker): void {
    this.sent.push(message);
  }
  terminate(): void {
    this.ended = true;
  }
  say(message: FromWorker): void {
    // A message event has more to it; only its data is read.
    this.onmessage?.({ data: message } as MessageEvent<FromWorker>);
  }
}

function bench(limit_ms = 1000) {
  const workers: Bench[] = [];
  const compute = new Compute(() => {
    const worker = new Bench();
    workers.push(worker);
    return worker;
  }, limit_ms);
  const last = (): Bench => {
    const worker = workers.at(-1);
    if (!worker) throw new Error('no worker yet');
    return worker;
  };
  return { compute, workers, last };
}

const input = (path: string) => ({ path, name: path, sha256: '0'.repeat(64), size: 1 });
const plan: Plan = { ...emptyPlan('North 40'), inputs: [input('inputs/a'), input('inputs/b')] };
const inputs = new Map([
  ['inputs/a', new Uint8Array([1])],
  ['inputs/b', new Uint8Array([2])],
]);

const state = (stage: StageState['stage']): StageState => ({ stage, state: 'fresh', key: 'k', problems: [] });
function stages(field: StageReply['field']['value']): StageReply {
  const none = <S extends StageState['stage']>(stage: S) => ({ state: state(stage), value: null });
  return {
    field: { state: state('field'), value: field },
    soil: none('soil'),
    surfaces: none('surfaces'),
    zones: none('zones'),
    rates: none('rates'),
    handoff: none('handoff'),
  };
}
const FIELD = { boundary_ac: 156 } as unknown as NonNullable<PlanOut['field']>; // one field tells it apart
const SHAPES = { far: [], outside: [], arcs: null };

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe('the worker seen from the window', () => {
  it('sends each input once', async () => {
    const { compute, last } = bench();
    const first = compute.run(plan, inputs);
    last().say({ id: 1, response: { done: true, stages: stages(FIELD), problems: [], shapes: SHAPES, spreads: {} } });
    await first;
    void compute.run(plan, inputs);
    const fresh = last().sent.map((message) =>
      'name' in message && message.name === 'run' ? message.request.fresh.length : -1,
    );
    expect(fresh).toEqual([2, 0]);
  });

  it('keeps the value of a stage that the worker left out', async () => {
    const { compute, last } = bench();
    const first = compute.run(plan, inputs);
    last().say({ id: 1, response: { done: true, stages: stages(FIELD), problems: [], shapes: SHAPES, spreads: {} } });
    await first;
    const second = compute.run(plan, inputs);
    last().say({
      id: 2,
      response: { done: true, stages: stages('as before'), problems: [], shapes: 'as before', spreads: {} },
    });
    const outcome = await second;
    expect(outcome.ok && outcome.response?.out.field).toBe(FIELD);
    expect(outcome.ok && outcome.response?.shapes).toBe(SHAPES);
  });

  it('gives null for a cancelled run', async () => {
    const { compute, last } = bench();
    const run = compute.run(plan, inputs, { started: (id) => compute.cancel(id) });
    compute.cancel(1);
    expect(last().sent.at(-1)).toEqual({ id: 1, cancel: true });
    last().say({ id: 1, response: { done: false } });
    expect(await run).toEqual({ ok: true, response: null });
  });

  it('ends a worker that went silent, says so, and starts anew', async () => {
    const { compute, workers, last } = bench(1000);
    const call = compute.call('sort', { files: [], crs: null });
    vi.advanceTimersByTime(1001);
    const outcome = await call;
    expect(outcome.ok ? '' : outcome.problem.code).toBe('compute-silent');
    expect(workers[0]?.ended).toBe(true);
    void compute.run(plan, inputs);
    expect(workers.length).toBe(2);
    const [again] = last().sent;
    expect(again && 'name' in again && again.name === 'run' ? again.request.fresh.length : -1).toBe(2);
  });

  it('waits on while progress comes', () => {
    const { compute, workers, last } = bench(1000);
    void compute.run(plan, inputs);
    for (let i = 0; i < 5; i++) {
      vi.advanceTimersByTime(900);
      last().say({ id: 1, progress: { stage: 'surfaces', done: i, total: 5 } });
    }
    expect(workers[0]?.ended).toBe(false);
  });

  it('tells a crash as a fault of the program', async () => {
    const { compute, last } = bench();
    const call = compute.call('text', { plan });
    last().say({ id: 1, crash: 'boom' });
    const outcome = await call;
    expect(outcome.ok ? '' : outcome.problem).toMatchObject({ code: 'compute-fault', detail: 'boom' });
  });
});

describe('typed arrays on their way out', () => {
  it('are copies, each given away once, the originals untouched', () => {
    const values = Float64Array.of(1, Number.NaN, 3);
    const pixels = Uint8ClampedArray.of(9, 255);
    const { value, transfer } = forTransfer({
      layers: { a: values, b: values },
      list: [{ bytes: Uint8Array.of(7) }, { pixels }],
    });
    expect(transfer.length).toBe(3);
    expect(value.list[1]?.pixels).toEqual(pixels);
    expect(value.list[1]?.pixels).not.toBe(pixels);
    expect(value.layers.a).toBe(value.layers.b);
    expect(value.layers.a).toEqual(values);
    expect(value.layers.a).not.toBe(values);
    expect([...(value.list[0]?.bytes ?? [])]).toEqual([7]);
  });
});
