import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { packageRoot, packageVersion } from './package-root.ts';
import { homeFolder } from './services/home.ts';

/** Where the parts of the program lie, seen from any file of it, built or not. */
export interface Program {
  readonly root: string;
  readonly version: string;
  /** The built window. */
  readonly window: string;
  readonly sampleFields: string;
  /** Where plans are kept. */
  readonly home: string;
}

export function findProgram(moduleUrl: string): Program {
  const root = packageRoot(dirname(fileURLToPath(moduleUrl)));
  return {
    root,
    version: packageVersion(root),
    window: join(root, 'dist', 'renderer'),
    sampleFields: join(root, 'sample-fields'),
    home: homeFolder(process.env),
  };
}
