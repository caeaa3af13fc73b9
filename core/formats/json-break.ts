/** A number or word of JSON. */
const PLAIN = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null/y;
const ESCAPE = /\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})/y;
const MARKS = '{}[]:,';

/** What may come next: a value, a name, or what follows a whole value. */
type Next = 'value' | 'value or ]' | 'name' | 'name or }' | ':' | 'after';

/**
 * Where a text stops being JSON (RFC 8259): index of the first character that cannot stand there, the text's length
 * where it ends too early. Engines do not always tell the place. Called for text that has failed already.
 */
export function findJsonBreak(text: string): number {
  const open: ('{' | '[')[] = [];
  let next: Next = 'value';
  let at = skipBlanks(text, 0);
  while (at < text.length) {
    if (next === 'after' && open.length === 0) return at;
    const char = text[at] ?? '';
    const mark = MARKS.includes(char) ? char : undefined;
    const end = mark ? at + 1 : char === '"' ? stringEnd(text, at) : plainEnd(text, at);
    const after: Next | null = end < 0 ? null : step(next, mark, char === '"', open);
    if (after === null) return end < -1 ? text.length : at;
    next = after;
    at = skipBlanks(text, end);
  }
  return text.length;
}

function skipBlanks(text: string, from: number): number {
  let at = from;
  while (at < text.length && ' \t\n\r'.includes(text[at] ?? '')) at++;
  return at;
}

function plainEnd(text: string, at: number): number {
  PLAIN.lastIndex = at;
  return PLAIN.test(text) ? PLAIN.lastIndex : -1;
}

/** Index after a string's closing quote; -1 where the string is none, -2 where the text ends within it. */
function stringEnd(text: string, start: number): number {
  for (let at = start + 1; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (code === 34) return at + 1;
    if (code < 32) return -1;
    if (code !== 92) continue;
    ESCAPE.lastIndex = at;
    if (!ESCAPE.test(text)) return at + 6 > text.length ? -2 : -1;
    at = ESCAPE.lastIndex - 1;
  }
  return -2;
}

/** What may come after a token, or null where the token may not stand there. Keeps `open` up to date. */
function step(next: Next, mark: string | undefined, isString: boolean, open: ('{' | '[')[]): Next | null {
  const inside = open.at(-1);
  if (next === ':') return mark === ':' ? 'value' : null;
  if (next === 'name' || next === 'name or }') {
    if (isString) return ':';
    if (next === 'name' || mark !== '}') return null;
    open.pop();
    return 'after';
  }
  if (next === 'after') {
    if (mark === ',' && inside) return inside === '{' ? 'name' : 'value';
    if (!((mark === '}' && inside === '{') || (mark === ']' && inside === '['))) return null;
    open.pop();
    return 'after';
  }
  if (mark === undefined) return 'after';
  if (mark === ']' && next === 'value or ]') {
    open.pop();
    return 'after';
  }
  if (mark !== '{' && mark !== '[') return null;
  open.push(mark);
  return mark === '{' ? 'name or }' : 'value or ]';
}
