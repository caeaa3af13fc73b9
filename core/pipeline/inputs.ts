import type { NamedBytes } from '../formats/types.ts';
import type { Plan } from '../plan/schema.ts';
import type { RunRequest } from './types.ts';

/**
 * Bytes of the plan's inputs at some paths, under the names they came with. Throws when one is not at hand: whoever
 * opens a plan has compared its inputs first (openInputs), so that is the program's mistake.
 */
export function filesOf(request: RunRequest, paths: readonly string[]): NamedBytes[] {
  return paths.map((path) => {
    const entry = request.plan.inputs.find((input) => input.path === path);
    const bytes = request.inputs.get(path);
    if (!entry || !bytes) throw new Error(`the input ${path} is not at hand`);
    return { name: entry.name, bytes };
  });
}

/** Hashes of some inputs, for a stage's key. */
export const hashesOf = (plan: Plan, paths: readonly string[]): string[] =>
  paths.map((path) => `${plan.inputs.find((input) => input.path === path)?.sha256 ?? 'none'} ${path}`);
