import { fail, ok, type Result, stop } from '../../base/problem.ts';
import { decodeGuessed } from '../../base/text.ts';
import { unzipFiles, type ZipLimits } from '../../formats/zip.ts';
import { type XmlNode, xmlTree } from './tree.ts';

/** What a zip of task data holds, before it is understood. */
export interface OpenTaskData {
  readonly root: XmlNode;
  /** Path of the XML in the zip. */
  readonly path: string;
  /** The other files of its folder by their whole names. */
  readonly files: ReadonlyMap<string, Uint8Array>;
}

const LIMITS: ZipLimits = { entries: 2000, total_bytes: 512_000_000, ratio: 200, ratioFrom_bytes: 64_000_000 };
const MOST_XML_BYTES = 64_000_000;
const ROOT = 'ISO11783_TaskData';

/**
 * Opens a zip of task data: TASKDATA.XML in any folder, in capitals or not, and the files beside it.
 * Problems: those of `unzipFiles`; `task-data-none`, `task-data-several`, `task-data-too-large`, `task-data-xml` (broken, or of another kind).
 */
export function openTaskData(bytes: Uint8Array, file: string): Result<OpenTaskData> {
  const unzipped = unzipFiles(bytes, file, LIMITS);
  if (!unzipped.ok) return unzipped;
  const [xml, ...more] = unzipped.value.filter(({ name }) => /(?:^|\/)taskdata\.xml$/i.test(name));
  const again = 'Export the task data again.';
  if (!xml) return fail(stop('task-data-none', `${file} holds no TASKDATA.XML.`, again, { file }));
  if (more.length > 0) {
    const message = `${file} holds ${more.length + 1} files named TASKDATA.XML.`;
    return fail(stop('task-data-several', message, 'Take one folder of task data at a time.', { file }));
  }
  const at = { file: `${file}/${xml.name}` };
  if (xml.bytes.length > MOST_XML_BYTES) {
    const message = `${xml.name} in ${file} has ${Math.round(xml.bytes.length / 1e6)} MB, which is past the limit.`;
    return fail(stop('task-data-too-large', message, again, at));
  }
  const root = xmlTree(decodeGuessed(xml.bytes).text);
  if (typeof root === 'string')
    return fail(stop('task-data-xml', `${xml.name} in ${file} cannot be read as XML.`, again, at, root));
  if (root.name !== ROOT) {
    const message = `${xml.name} in ${file} is no task data: its outermost element is ${root.name.slice(0, 40)}.`;
    return fail(stop('task-data-xml', message, again, at));
  }
  const folder = xml.name.slice(0, xml.name.lastIndexOf('/') + 1);
  const files = new Map<string, Uint8Array>();
  for (const { name, bytes: content } of unzipped.value) {
    const own = name.slice(folder.length);
    if (name !== xml.name && name.startsWith(folder) && !own.includes('/')) files.set(own, content);
  }
  return ok({ root, path: xml.name, files }, unzipped.problems);
}

/** The binary file that a name without ending stands for, in any case; null where there is none. */
export function binaryOf({ files }: OpenTaskData, name: string): Uint8Array | null {
  const wanted = `${name}.bin`.toLowerCase();
  for (const [own, bytes] of files) if (own.toLowerCase() === wanted) return bytes;
  return null;
}

/** Children of one kind. */
export const all = (node: XmlNode, name: string): readonly XmlNode[] =>
  node.children.filter((child) => child.name === name);

/** A number as XML Schema writes decimals and doubles; NaN for anything else, and where there is none. */
export function numberOf(node: XmlNode, attribute: string): number {
  const text = node.attributes.get(attribute)?.trim() ?? '';
  return /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?$/.test(text) ? Number(text) : Number.NaN;
}
