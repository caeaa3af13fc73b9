import { fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { decodeText } from '../base/text.ts';
import { builtInKind, kindOfFormat, type NumberKind } from './xlsx-numbers.ts';
import { attribute, scanXml } from './xml-scan.ts';
import { unzipFiles, type ZipLimits } from './zip.ts';

export interface Sheet {
  readonly name: string;
  readonly hidden: boolean;
  /** Text of its part; null for one that holds no cells, such as a chart. */
  readonly xml: string | null;
}

/** What a workbook's parts say, before any cell is read. */
export interface Workbook {
  readonly sheets: readonly Sheet[];
  readonly strings: readonly string[];
  /** By the number of a cell's style. */
  readonly kinds: readonly NumberKind[];
  /** Days count from 1904 instead of 1900. */
  readonly from1904: boolean;
}

/** A lab's workbook unpacks to a few megabytes; XML packs some 20 to 1. */
export const WORKBOOK_LIMITS: ZipLimits = {
  entries: 2000,
  total_bytes: 250_000_000,
  ratio: 200,
  ratioFrom_bytes: 32_000_000,
};

/**
 * A workbook of Office Open XML (ECMA-376, either conformance class): its sheets in their order, shared texts, and what its styles make of numbers.
 * Problems: those of the zip; `xlsx-damaged` (a part is missing or no XML, with the part), `xlsx-kind` (a zip without a workbook).
 */
export function openWorkbook(bytes: Uint8Array, file: string): Result<Workbook> {
  if (bytes[0] !== 0x50 || bytes[1] !== 0x4b) return fail(notAWorkbook(file));
  const unzipped = unzipFiles(bytes, file, WORKBOOK_LIMITS);
  if (!unzipped.ok) return fail(...unzipped.problems);
  const parts = new Map(unzipped.value.map((part) => [part.name.toLowerCase(), part.bytes]));
  const reader = new Parts(parts, file);
  try {
    const main = [...reader.relations('').values()].find((one) => one.type.endsWith('/officeDocument'))?.target;
    const bookPath = main ?? 'xl/workbook.xml';
    if (!reader.has(bookPath)) return fail(notAWorkbook(file));
    const relations = reader.relations(bookPath);
    const target = (type: string) => [...relations.values()].find((one) => one.type.endsWith(`/${type}`))?.target;
    const book = readBook(reader, bookPath);
    const strings = target('sharedStrings');
    const styles = target('styles');
    return ok(
      {
        sheets: book.sheets.map(({ name, hidden, id }) => {
          const relation = relations.get(id);
          const cells = relation?.type.endsWith('/worksheet') === true;
          return { name, hidden, xml: cells && relation ? reader.text(relation.target) : null };
        }),
        strings: strings !== undefined && reader.has(strings) ? readStrings(reader, strings) : [],
        kinds: styles !== undefined && reader.has(styles) ? readStyles(reader, styles) : [],
        from1904: book.from1904,
      },
      unzipped.problems,
    );
  } catch (error) {
    if (error instanceof BadPart) return fail(error.problem);
    throw error;
  }
}

/** Carries a problem out of the walk through the parts; caught in this file only. */
class BadPart extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.message);
    this.problem = problem;
  }
}

interface Relation {
  readonly type: string;
  readonly target: string;
}

class Parts {
  readonly #parts: ReadonlyMap<string, Uint8Array>;
  readonly #file: string;
  constructor(parts: ReadonlyMap<string, Uint8Array>, file: string) {
    this.#parts = parts;
    this.#file = file;
  }

  has(path: string): boolean {
    return this.#parts.has(path.toLowerCase());
  }

  text(path: string): string {
    const bytes = this.#parts.get(path.toLowerCase());
    if (!bytes) throw new BadPart(damaged(this.#file, path, 'it is missing'));
    const wide =
      bytes[0] === 0xff && bytes[1] === 0xfe
        ? 'utf-16le'
        : bytes[0] === 0xfe && bytes[1] === 0xff
          ? 'utf-16be'
          : 'utf-8';
    return decodeText(bytes, wide);
  }

  scan(path: string, on: Parameters<typeof scanXml>[1]): void {
    const wrong = scanXml(this.text(path), on);
    if (wrong !== null) throw new BadPart(damaged(this.#file, path, wrong));
  }

  /** What a part points at, by the relation's id; the package itself has the empty path. */
  relations(path: string): ReadonlyMap<string, Relation> {
    const slash = path.lastIndexOf('/') + 1;
    const folder = path.slice(0, slash);
    const beside = `${folder}_rels/${path.slice(slash)}.rels`;
    const found = new Map<string, Relation>();
    if (!this.has(beside)) return found;
    this.scan(beside, {
      open: (name, attributes) => {
        const [id, type, target] = ['Id', 'Type', 'Target'].map((one) => attribute(attributes, one));
        if (name !== 'Relationship' || !id || !type || !target || attribute(attributes, 'TargetMode') === 'External')
          return;
        found.set(id, { type, target: resolvePath(folder, target) });
      },
    });
    return found;
  }
}

/** A target from the folder of the part that names it, or from the package's root. */
function resolvePath(folder: string, target: string): string {
  const path: string[] = [];
  for (const step of (target.startsWith('/') ? target : `${folder}${target}`).split('/')) {
    if (step === '..') path.pop();
    else if (step !== '' && step !== '.') path.push(step);
  }
  return path.join('/');
}

function readBook(
  parts: Parts,
  path: string,
): {
  readonly from1904: boolean;
  readonly sheets: readonly { readonly name: string; readonly hidden: boolean; readonly id: string }[];
} {
  const sheets: { name: string; hidden: boolean; id: string }[] = [];
  let from1904 = false;
  parts.scan(path, {
    open: (name, attributes) => {
      if (name === 'workbookPr') from1904 = isTrue(attribute(attributes, 'date1904'));
      if (name === 'sheet')
        sheets.push({
          name: attribute(attributes, 'name') ?? `sheet ${sheets.length + 1}`,
          hidden: /hidden/i.test(attribute(attributes, 'state') ?? ''),
          id: attribute(attributes, 'id') ?? '',
        });
    },
  });
  return { from1904, sheets };
}

export const isTrue = (value: string | null): boolean => value === '1' || value === 'true';

/** Shared texts in their order: the runs of each joined, readings of East Asian signs left out. */
function readStrings(parts: Parts, path: string): readonly string[] {
  const strings: string[] = [];
  let said = '';
  let inText = false;
  let inReading = false;
  parts.scan(path, {
    open: (name) => {
      if (name === 'si') said = '';
      else if (name === 'rPh') inReading = true;
      else if (name === 't') inText = true;
    },
    close: (name) => {
      if (name === 'si') strings.push(unescaped(said));
      else if (name === 'rPh') inReading = false;
      else if (name === 't') inText = false;
    },
    text: (text) => {
      if (inText && !inReading) said += text;
    },
  });
  return strings;
}

/** `_x000D_` stands for a character that XML cannot hold (ECMA-376 part 1, 22.9.2.19). */
export const unescaped = (text: string): string =>
  text.includes('_x')
    ? text.replace(/_x([0-9a-fA-F]{4})_/g, (_, hex: string) => String.fromCharCode(Number.parseInt(hex, 16)))
    : text;

function readStyles(parts: Parts, path: string): readonly NumberKind[] {
  const own = new Map<number, NumberKind>();
  const kinds: NumberKind[] = [];
  let inCells = false;
  parts.scan(path, {
    open: (name, attributes) => {
      if (name === 'cellXfs') inCells = true;
      else if (name === 'numFmt')
        own.set(Number(attribute(attributes, 'numFmtId')), kindOfFormat(attribute(attributes, 'formatCode') ?? ''));
      else if (name === 'xf' && inCells) {
        const id = Number(attribute(attributes, 'numFmtId') ?? 0);
        kinds.push(own.get(id) ?? builtInKind(id));
      }
    },
    close: (name) => {
      if (name === 'cellXfs') inCells = false;
    },
  });
  return kinds;
}

const notAWorkbook = (file: string): Problem =>
  stop(
    'xlsx-kind',
    `${file} holds no workbook, whatever its ending says.`,
    'Save the workbook again as .xlsx, or the sheet as CSV.',
    {
      file,
    },
  );

/** A part that is missing or cannot be read. */
export const damaged = (file: string, part: string, detail: string): Problem =>
  stop(
    'xlsx-damaged',
    `${file} is damaged: its part ${part} cannot be read.`,
    'Open it in a spreadsheet program and save it again, or save the sheet as CSV.',
    { file },
    detail,
  );
