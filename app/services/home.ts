import { homedir } from 'node:os';
import { join, resolve } from 'node:path';

/** Where the program keeps plans and its memory: PEARLASH_HOME where it is set, else `Pearlash` in the user's folder. */
export const homeFolder = (environment: Readonly<Record<string, string | undefined>>): string =>
  environment.PEARLASH_HOME ? resolve(environment.PEARLASH_HOME) : join(homedir(), 'Pearlash');
