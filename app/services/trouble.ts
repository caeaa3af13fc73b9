import { type Problem, stop } from '../../core/base/problem.ts';
import type { HostReply } from '../../core/bridge/host-api.ts';

const done = <T>(value: T): HostReply<T> => ({ ok: true, value });
const refused = (problem: Problem): HostReply<never> => ({ ok: false, problem });
export const reply = { done, refused } as const;

/** A failed stage of work as one Problem: the first stop, and how many more there are. */
export function firstOf(problems: readonly Problem[]): Problem {
  const first = problems.find((problem) => problem.severity === 'stop') ?? problems[0];
  if (first === undefined) throw new Error('a failure must name a problem');
  return problems.length === 1 ? first : { ...first, detail: withCount(first.detail, problems.length - 1) };
}

const withCount = (detail: string | undefined, more: number): string =>
  [detail, `${more} more of its kind or beside it.`].filter(Boolean).join(' ');

/** What the system's error codes mean to a person, and what can be done. */
const SYSTEM: Readonly<Record<string, readonly [string, string]>> = {
  ENOENT: ['it is not there', 'Check the path.'],
  EACCES: ['this account may not', 'Choose another folder, or give this account the right to it.'],
  EPERM: ['the system does not allow it', 'Close programs that hold the folder open, or choose another folder.'],
  EROFS: ['the disk is read-only', 'Choose a folder on another disk.'],
  ENOSPC: ['the disk is full', 'Make room on the disk, then do it again.'],
  EBUSY: ['another program holds it', 'Close that program, then do it again.'],
  ENOTDIR: ['a part of the path is a file', 'Choose another folder.'],
  ENAMETOOLONG: ['the path is too long', 'Choose a shorter path.'],
};

/** A failure of the disk as a Problem: code `disk-read` or `disk-write`. Rethrows what no disk gave. */
export function diskTrouble(code: 'disk-read' | 'disk-write', what: string, path: string, error: unknown): Problem {
  const given = error instanceof Error && 'code' in error && typeof error.code === 'string' ? error.code : '';
  if (given === '') throw error;
  const [why, remedy] = SYSTEM[given] ?? [`the system says ${given}`, 'Try another folder.'];
  return stop(code, `${what}: ${why}.`, remedy, { file: path }, given);
}
