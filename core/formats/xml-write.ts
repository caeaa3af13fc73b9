/** Attributes of an element in their order; null leaves one out. */
export type XmlAttributes = readonly (readonly [name: string, value: string | number | null])[];

export const XML_DECLARATION = '<?xml version="1.0" encoding="UTF-8"?>';

/**
 * One element as text, its children inside it. Names are the caller's and are not checked; values are escaped. Source: XML 1.0 (5th edition), 2.3 and 3.
 */
export function xmlElement(name: string, attributes: XmlAttributes, children: readonly string[] = []): string {
  const given = attributes
    .map(([key, value]) => (value === null ? '' : ` ${key}="${xmlValue(String(value))}"`))
    .join('');
  return children.length === 0 ? `<${name}${given}/>` : `<${name}${given}>${children.join('')}</${name}>`;
}

/**
 * Text as it stands between the double quotes of an attribute: markup escaped; tab and line breaks as references, since a reader would make spaces of them
 * (XML 1.0, 3.3.3). What XML 1.0 cannot hold at all (other control characters, lone surrogates, U+FFFE, U+FFFF; 2.2) becomes U+FFFD, so that it is seen.
 */
export const xmlValue = (text: string): string =>
  xmlHoldable(text).replace(/[&<>"'\t\n\r]/g, (char) => REFERENCES[char] ?? char);

/** The text with U+FFFD for what XML 1.0 cannot hold. */
export const xmlHoldable = (text: string): string => text.replace(UNHOLDABLE, '\uFFFD');

/** All but the Char of XML 1.0, 2.2. */
const UNHOLDABLE = /[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu;

const REFERENCES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
  '\t': '&#9;',
  '\n': '&#10;',
  '\r': '&#13;',
};
