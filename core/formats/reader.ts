import { ok, type Result } from '../base/problem.ts';
import type { Dataset, NamedBytes, ReadOptions } from './types.ts';

/** The files that make up one dataset: a main one and those that stand beside it under the same name. */
export interface FileSet {
  /** Base name without folders and ending. */
  readonly name: string;
  /** Named as people see it: with the zip it came in, if it did. */
  readonly main: NamedBytes;
  /** By lower-case ending, without the dot. */
  readonly beside: ReadonlyMap<string, NamedBytes>;
  /** Names of the inputs that it came from, as they were given. */
  readonly inputs: readonly string[];
  /** Files beside it that hold nothing to read, such as indexes. */
  readonly unread: readonly string[];
}

/** One format, as the door sees it. */
export interface FormatReader {
  readonly format: Dataset['format'];
  /** Endings of the main file, lower case. */
  readonly main: readonly string[];
  /** Endings of the files that may stand beside it. */
  readonly beside: readonly string[];
  /** Endings of files beside it that are not needed and not read. */
  readonly unread: readonly string[];
  /** What to say of a file that stands beside a main file which is not there. */
  readonly remedyWithoutMain: string;
  readonly read: (set: FileSet, options: ReadOptions) => Result<readonly Dataset[]>;
}

/** The answer of a reader whose files hold one dataset each. */
export const single = (read: Result<Dataset>): Result<readonly Dataset[]> =>
  read.ok ? ok([read.value], read.problems) : read;
