/** What a scan calls, in the order of the text. An empty element opens and closes. Names come without their prefix. */
export interface XmlListener {
  readonly open?: (name: string, attributes: string) => void;
  readonly close?: (name: string) => void;
  /** Text between tags, entities resolved. */
  readonly text?: (text: string) => void;
}

/**
 * Goes through an XML text once, from front to back, without building anything: enough for the parts of a workbook. Null, or
 * what is wrong with it. A document type is refused, since it could make a small text a vast one (ECMA-376 part 2 forbids it in
 * a package anyway); entities other than the five of XML and numbers stay as they are. Of nesting only the depth is judged. Cost: linear.
 */
export function scanXml(text: string, on: XmlListener): string | null {
  let at = 0;
  let depth = 0;
  while (at < text.length) {
    const tag = text.indexOf('<', at);
    if (tag < 0 && text.slice(at).trim() !== '') return 'text after the last tag';
    if (tag < 0) break;
    if (tag > at) on.text?.(resolve(text.slice(at, tag)));
    if (text.startsWith('<!--', tag)) {
      const end = text.indexOf('-->', tag + 4);
      if (end < 0) return 'a comment does not end';
      at = end + 3;
    } else if (text.startsWith('<![CDATA[', tag)) {
      const end = text.indexOf(']]>', tag + 9);
      if (end < 0) return 'a text section does not end';
      on.text?.(text.slice(tag + 9, end));
      at = end + 3;
    } else if (text.startsWith('<?', tag)) {
      const end = text.indexOf('?>', tag + 2);
      if (end < 0) return 'an instruction does not end';
      at = end + 2;
    } else if (text.startsWith('<!', tag)) return 'it has a document type';
    else {
      const end = tagEnd(text, tag + 1);
      if (end < 0) return 'a tag does not end';
      if (text[tag + 1] === '/') {
        if (--depth < 0) return 'an element is closed that was not open';
        on.close?.(local(text.slice(tag + 2, end).trim()));
      } else {
        const empty = text[end - 1] === '/';
        const inside = text.slice(tag + 1, empty ? end - 1 : end);
        const gap = inside.search(/\s/);
        const name = local(gap < 0 ? inside : inside.slice(0, gap));
        on.open?.(name, gap < 0 ? '' : inside.slice(gap));
        if (empty) on.close?.(name);
        else depth++;
      }
      at = end + 1;
    }
  }
  return depth === 0 ? null : 'an element is not closed';
}

/** Where a tag ends: a `>` inside an attribute's quotes is none. */
function tagEnd(text: string, from: number): number {
  const end = text.indexOf('>', from);
  if (end < 0) return -1;
  const quote = text.slice(from, end).search(/["']/);
  if (quote < 0) return end;
  let open = '';
  for (let at = from + quote; at < text.length; at++) {
    const char = text[at] ?? '';
    if (open !== '') {
      if (char === open) open = '';
    } else if (char === '"' || char === "'") open = char;
    else if (char === '>') return at;
  }
  return -1;
}

const local = (name: string): string => name.slice(name.indexOf(':') + 1);

const PATTERNS = new Map<string, RegExp>();

/** An attribute of a tag by its name without a prefix, entities resolved, or null. */
export function attribute(attributes: string, name: string): string | null {
  let pattern = PATTERNS.get(name);
  if (!pattern) {
    pattern = new RegExp(`(?:^|\\s)(?:[\\w.-]+:)?${name}\\s*=\\s*(?:"([^"]*)"|'([^']*)')`);
    PATTERNS.set(name, pattern);
  }
  const found = pattern.exec(attributes);
  return found ? resolve(found[1] ?? found[2] ?? '') : null;
}

const NAMED: Readonly<Record<string, string>> = { lt: '<', gt: '>', amp: '&', quot: '"', apos: "'" };

function resolve(text: string): string {
  if (!text.includes('&')) return text;
  return text.replace(/&(?:#(\d{1,7})|#x([0-9a-fA-F]{1,6})|(\w+));/g, (whole, decimal, hex, name) => {
    if (name !== undefined) return NAMED[name] ?? whole;
    const code = decimal === undefined ? Number.parseInt(hex, 16) : Number(decimal);
    return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : whole;
  });
}
