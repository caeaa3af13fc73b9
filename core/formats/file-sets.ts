import { type Problem, stop } from '../base/problem.ts';
import type { FileSet, FormatReader } from './reader.ts';
import { refuse, refusedByEnding } from './refuse.ts';
import type { NamedBytes } from './types.ts';

/** A file on its way in. */
export interface Incoming {
  /** Path within its source, by which parts find each other. */
  readonly path: string;
  /** Name for people: with the zip it came in. */
  readonly shown: string;
  /** Name of the input as given. */
  readonly input: string;
  readonly bytes: Uint8Array;
}

export interface GroupedFiles {
  readonly sets: readonly { readonly reader: FormatReader; readonly set: FileSet }[];
  /** Parts without their main file, and empty main files. */
  readonly problems: readonly Problem[];
  /** Files that no reader takes. */
  readonly refused: readonly Problem[];
}

interface Named extends Incoming {
  readonly base: string;
  readonly ending: string;
}

/**
 * Files of one source put together: a main file with what stands beside it under the same path, without regard to case.
 * Every file ends in a set, in `problems` or in `refused`.
 */
export function groupFiles(files: readonly Incoming[], readers: readonly FormatReader[]): GroupedFiles {
  const refused: Problem[] = [];
  const seen = new Set<string>();
  const named: Named[] = [];
  for (const file of files) {
    const key = file.path.toLowerCase();
    if (seen.has(key)) {
      refused.push(refuse('twice', file.shown));
      continue;
    }
    seen.add(key);
    named.push(nameOf(file, readers));
  }
  const problems: Problem[] = [];
  const sets: { reader: FormatReader; set: FileSet }[] = [];
  const used = new Set<Named>();
  const families = new Map<string, Named[]>();
  for (const file of named) families.set(file.base, [...(families.get(file.base) ?? []), file]);
  for (const file of named) {
    const reader = readers.find((one) => one.main.includes(file.ending));
    if (!reader) continue;
    used.add(file);
    if (file.bytes.length === 0) {
      problems.push(
        stop('file-empty', `${file.shown} is empty: 0 bytes.`, 'Copy or send the file again.', { file: file.shown }),
      );
      continue;
    }
    const family = (families.get(file.base) ?? []).filter((one) => one !== file);
    const parts = family.filter((one) => reader.beside.includes(one.ending));
    const unread = family.filter((one) => reader.unread.includes(one.ending));
    for (const one of [...parts, ...unread]) used.add(one);
    sets.push({ reader, set: setOf(file, parts, unread) });
  }
  return {
    sets,
    problems: [...problems, ...alone(named, used, readers)],
    refused: [...refused, ...rest(named, used, readers)],
  };
}

function nameOf(file: Incoming, readers: readonly FormatReader[]): Named {
  const path = file.path.toLowerCase();
  const double = readers
    .flatMap((reader) => reader.unread)
    .find((ending) => ending.includes('.') && path.endsWith(`.${ending}`));
  const dot = double === undefined ? path.lastIndexOf('.') : path.length - double.length - 1;
  const plain = dot <= path.lastIndexOf('/');
  return { ...file, base: plain ? path : path.slice(0, dot), ending: plain ? '' : path.slice(dot + 1) };
}

function setOf(main: Named, parts: readonly Named[], unread: readonly Named[]): FileSet {
  const last = main.path.slice(main.path.lastIndexOf('/') + 1);
  const shownBytes = (file: Named): NamedBytes => ({ name: file.shown, bytes: file.bytes });
  return {
    name: last.slice(0, last.length - main.ending.length - 1),
    main: shownBytes(main),
    beside: new Map(parts.map((part) => [part.ending, shownBytes(part)] as const)),
    inputs: [...new Set([main, ...parts, ...unread].map((file) => file.input))],
    unread: unread.map((file) => file.shown),
  };
}

/** One Problem for each family of parts whose main file is not there. */
function alone(named: readonly Named[], used: Set<Named>, readers: readonly FormatReader[]): Problem[] {
  const families = new Map<string, { readonly reader: FormatReader; readonly names: string[] }>();
  for (const file of named) {
    const reader = readers.find((one) => one.beside.includes(file.ending) || one.unread.includes(file.ending));
    if (used.has(file) || !reader) continue;
    used.add(file);
    const family = families.get(file.base) ?? { reader, names: [] };
    family.names.push(file.shown);
    families.set(file.base, family);
  }
  return [...families.values()].map(({ reader, names }) =>
    stop(
      'file-part-alone',
      `${names.join(', ')} ${names.length === 1 ? 'is part' : 'are parts'} of a ${reader.format} whose .${reader.main[0]} is missing.`,
      reader.remedyWithoutMain,
      { file: names[0] ?? '' },
    ),
  );
}

const rest = (named: readonly Named[], used: ReadonlySet<Named>, readers: readonly FormatReader[]): Problem[] =>
  named
    .filter((file) => !used.has(file) && !readers.some((reader) => reader.main.includes(file.ending)))
    .map((file) => (file.ending === '' ? refuse('no-ending', file.shown) : refusedByEnding(file.ending, file.shown)));
