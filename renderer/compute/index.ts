import { Compute } from './client.ts';

/** The window's one worker, made at the first call. */
export const compute = new Compute(
  () => new Worker(new URL('./worker.ts', import.meta.url), { type: 'module', name: 'pearlash' }),
);
