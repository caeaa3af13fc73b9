import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** The folder of the program's own package.json, looked for upwards from a built file or a source. */
export function packageRoot(from: string): string {
  for (let folder = from; ; folder = dirname(folder)) {
    if (existsSync(join(folder, 'package.json'))) return folder;
    if (dirname(folder) === folder) throw new Error(`no package.json above ${from}`);
  }
}

/** The program's version, as package.json has it. */
export function packageVersion(root: string): string {
  const document: unknown = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const version = typeof document === 'object' && document !== null && 'version' in document ? document.version : null;
  return typeof version === 'string' ? version : '0.0.0';
}
