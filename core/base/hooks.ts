import type { Stage } from './problem.ts';

/** How long work reports and lets go: passed in, since core knows no clock and no event loop. */
export interface RunHooks {
  /** Called between chunks of work: stage, how much is done of how much. */
  readonly progress?: (stage: Stage, done: number, total: number) => void;
  /** Awaited between chunks, so that a message can come in; false cancels. */
  readonly goOn?: () => Promise<boolean>;
}

/** Thrown by work whose `goOn` said no. Caught by the pipeline only. */
export class Cancelled extends Error {
  override readonly name = 'Cancelled';
}

/** Reports, then waits for leave to go on. Throws Cancelled when refused. */
export async function breathe(hooks: RunHooks, stage: Stage, done: number, total: number): Promise<void> {
  hooks.progress?.(stage, done, total);
  if (hooks.goOn && !(await hooks.goOn())) throw new Cancelled();
}
