import { expect } from 'vitest';
import type { Problem, Result } from '../../core/base/problem.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import type { Dataset, NamedBytes, ReadOptions } from '../../core/formats/types.ts';

export const textFile = (name: string, text: string): NamedBytes => ({ name, bytes: encodeUtf8(text) });

/** The value of a success; a failure shows its problems. */
export function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`failed: ${JSON.stringify(result.problems, null, 1)}`);
  return result.value;
}

/** The only dataset of some files. */
export function readOne(
  files: readonly NamedBytes[],
  options?: ReadOptions,
): Dataset & { problems: readonly Problem[] } {
  const result = readFiles(files, options);
  const datasets = value(result);
  expect(datasets).toHaveLength(1);
  const [dataset] = datasets;
  if (!dataset) throw new Error('no dataset');
  return { ...dataset, problems: result.problems };
}

/** Severity and code of each problem, in order. */
export const codes = ({ problems }: { readonly problems: readonly Problem[] }): readonly string[] =>
  problems.map((problem) => `${problem.severity} ${problem.code}`);

export const column = (dataset: Dataset, name: string): readonly unknown[] => {
  const i = dataset.columns.indexOf(name);
  if (i < 0) throw new Error(`no column ${name} among ${dataset.columns.join(', ')}`);
  return dataset.records.map((record) => record.cells[i]);
};
