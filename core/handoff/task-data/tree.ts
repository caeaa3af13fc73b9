import { attribute, scanXml } from '../../formats/xml-scan.ts';

/** An element of an XML text, with its attributes (entities resolved) and its child elements in their order. */
export interface XmlNode {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly XmlNode[];
}

/** A boundary has an element for each corner; ours, no source. */
const MOST_NODES = 500_000;
const MOST_DEPTH = 16;

interface Open extends XmlNode {
  readonly children: Open[];
}

/**
 * The elements of an XML text as a tree, or in words what is wrong with it. Texts between tags are left out: task data has none. Bounded: 500,000
 * elements, 16 deep; a document type, which could make a small text a vast one, is refused. Source: XML 1.0 (5th edition), 3.1.
 */
export function xmlTree(text: string): XmlNode | string {
  const path: Open[] = [];
  let root: Open | null = null;
  let nodes = 0;
  let wrong = '';
  const broken = scanXml(text, {
    open: (name, given) => {
      if (wrong !== '') return;
      if (++nodes > MOST_NODES) wrong = `it has more than ${MOST_NODES} elements`;
      else if (path.length >= MOST_DEPTH) wrong = `its elements stand more than ${MOST_DEPTH} deep`;
      else if (path.length === 0 && root) wrong = 'it has more than one outermost element';
      if (wrong !== '') return;
      const attributes = attributesOf(given);
      if (typeof attributes === 'string') {
        wrong = `${name}: ${attributes}`;
        return;
      }
      const node: Open = { name, attributes, children: [] };
      path.at(-1)?.children.push(node);
      root ??= node;
      path.push(node);
    },
    close: (name) => {
      if (wrong === '' && path.pop()?.name !== name) wrong = `${name} is closed where it is not open`;
    },
  });
  return broken ?? (wrong !== '' ? wrong : (root ?? 'it has no element'));
}

const ATTRIBUTE = /\s+([A-Za-z_][\w.:-]*)\s*=\s*("[^"<]*"|'[^'<]*')/y;

const NONE: ReadonlyMap<string, string> = new Map();

function attributesOf(given: string): ReadonlyMap<string, string> | string {
  const text = given.trimEnd();
  if (text === '') return NONE;
  const found = new Map<string, string>();
  let at = 0;
  while (at < text.length) {
    ATTRIBUTE.lastIndex = at;
    const match = ATTRIBUTE.exec(text);
    if (!match) return 'its attributes cannot be read';
    const name = match[1] ?? '';
    if (found.has(name)) return `the attribute ${name} comes twice`;
    // The scanner's own way with entities, on this one value.
    found.set(name, attribute(`v=${match[2] ?? ''}`, 'v') ?? '');
    at = ATTRIBUTE.lastIndex;
  }
  return found;
}
