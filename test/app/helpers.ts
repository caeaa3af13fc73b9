import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { sha256Hex } from '../../core/base/hash.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import { planText } from '../../core/plan/open.ts';
import { describeInput } from '../../core/plan/pack.ts';
import { emptyPlan, type Plan } from '../../core/plan/schema.ts';

/** A file as a window sends it. */
export interface SentFile {
  readonly path: string;
  readonly bytes: Uint8Array<ArrayBuffer>;
}
const bytesOf = (text: string): Uint8Array<ArrayBuffer> => new Uint8Array(encodeUtf8(text));

/** A folder of the test's own, gone when it ends. */
export async function tempFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'pearlash-test-'));
  onTestFinished(() => rm(folder, { recursive: true, force: true }));
  return folder;
}

export interface PlanForTest {
  readonly plan: Plan;
  readonly text: string;
  readonly inputs: readonly SentFile[];
}

/** A plan that holds some files, as the window would save it. */
export function planWith(
  name: string,
  files: Readonly<Record<string, string>> = { 'lab.csv': 'id,K\n1,120\n' },
): PlanForTest {
  const named = Object.entries(files).map(([file, text]) => ({ name: file, bytes: bytesOf(text) }));
  const entries = named.map(describeInput);
  const plan = { ...emptyPlan(name), inputs: entries };
  const inputs = entries.map((entry, index) => ({ path: entry.path, bytes: named[index]?.bytes ?? new Uint8Array() }));
  return { plan, text: planText(plan), inputs };
}

/** The same plan with its first input under another path, as no window of ours would write it. */
export function withPath({ plan, inputs }: PlanForTest, path: string): PlanForTest {
  const [entry, ...entries] = plan.inputs;
  const [input, ...others] = inputs;
  if (!entry || !input) throw new Error('the plan has no input');
  const moved = { ...plan, inputs: [{ ...entry, path }, ...entries] };
  return { plan: moved, text: JSON.stringify(moved), inputs: [{ ...input, path }, ...others] };
}

/** An export as the window sends it: some files, and a manifest that lists them. */
export function exportOf(files: Readonly<Record<string, string>>): readonly SentFile[] {
  const outs = Object.entries(files).map(([path, text]) => ({ path, bytes: bytesOf(text) }));
  const manifest = {
    format: 'pearlash-manifest',
    version: 1,
    plan: 'test',
    planSha256: '',
    product: '0-0-60',
    rateUnit: 'lb/ac',
    spreadable_ac: 1,
    passes: [],
    files: outs.map(({ path, bytes }) => ({ path, size: bytes.length, sha256: sha256Hex(bytes) })),
  };
  return [...outs, { path: 'manifest.json', bytes: bytesOf(JSON.stringify(manifest)) }];
}

/** Value of an answer that must have gone well. */
export function got<T>(
  answer: { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: unknown },
): T {
  if (!answer.ok) throw new Error(`refused: ${JSON.stringify(answer.problem)}`);
  return answer.value;
}

/** Code of the Problem of an answer that must have been refused. */
export function codeOf(answer: { readonly ok: boolean; readonly problem?: { readonly code: string } }): string {
  if (answer.ok || !answer.problem) throw new Error('was not refused');
  return answer.problem.code;
}
