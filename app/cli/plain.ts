// Controls (C0 but tab and line feed, DEL, C1) and marks that turn the reading direction.
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
const UNSEEN = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g;

const shown = (char: string): string => (char.codePointAt(0) ?? 0).toString(16).toUpperCase();

/** Text that cannot steer a terminal: its controls are shown as `\u{1B}`. */
export const plainText = (text: string): string => text.replace(UNSEEN, (char) => `\\u{${shown(char)}}`);

/** JSON with the same characters escaped, so that it reads back as it was. */
export const plainJson = (value: unknown): string =>
  JSON.stringify(value, null, 2).replace(UNSEEN, (char) => `\\u${shown(char).padStart(4, '0')}`);
