import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { NamedBytes } from '../../core/formats/types.ts';
import { readPlan } from '../../core/plan/open.ts';
import type { Plan } from '../../core/plan/schema.ts';

const folder = fileURLToPath(new URL('../../sample-fields/hollow-quarter/', import.meta.url));

/** A file of the sample field as a person would hand it over. */
export const sampleFile = (name: string): NamedBytes => ({
  name,
  bytes: new Uint8Array(readFileSync(`${folder}${name}`)),
});

/** The sample field's plan and the bytes of its inputs. */
export function samplePlan(): { plan: Plan; inputs: Map<string, Uint8Array> } {
  const read = readPlan(readFileSync(`${folder}plan.json`, 'utf8'));
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join('\n'));
  return {
    plan: read.value,
    inputs: new Map(read.value.inputs.map((input) => [input.path, sampleFile(input.path).bytes])),
  };
}
