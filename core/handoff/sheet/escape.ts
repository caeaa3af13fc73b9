const IN_HTML: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Characters that no HTML document may hold (controls, lone surrogates, noncharacters), and those that turn the direction of what follows. */
const NOT_TEXT =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: controls are what is looked for
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufdd0-\ufdef\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/** A person's words as text or attribute value of HTML or SVG; what is no text becomes U+FFFD. Source: HTML Living Standard, 13.1.2. */
export const escapeHtml = (words: string): string =>
  words.replace(NOT_TEXT, '\ufffd').replace(/[&<>"']/g, (one) => IN_HTML[one] ?? '');

/** The same as a quoted CSS string that may stand in a style element: all but letters, digits and spaces by code point. Source: CSS Syntax 3, 4.3.7. */
export const cssString = (words: string): string =>
  `"${Array.from(words.replace(NOT_TEXT, '\ufffd'), (one) =>
    /[A-Za-z0-9 ]/.test(one) ? one : `\\${(one.codePointAt(0) ?? 0xfffd).toString(16)} `,
  ).join('')}"`;
