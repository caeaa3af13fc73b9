import { execFile, spawn } from 'node:child_process';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

export const root = fileURLToPath(new URL('../..', import.meta.url));

export interface Built {
  /** Folder of the built hosts. */
  readonly folder: string;
  remove(): Promise<void>;
}

/** Builds the hosts from the sources as they are now, beside nothing that a person built. */
export async function buildHosts(): Promise<Built> {
  const folder = join(root, 'out', `test-${process.pid}-${Math.round(performance.now())}`);
  await promisify(execFile)(process.execPath, [join(root, 'app', 'build.mjs'), '--hosts', '--out', folder]);
  return { folder, remove: () => rm(folder, { recursive: true, force: true }) };
}

export interface Ended {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs a built file with Node until it ends. */
export function runBuilt(file: string, args: readonly string[], environment: NodeJS.ProcessEnv = {}): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [file, ...args], { env: { ...process.env, ...environment } });
    let stdout = '';
    let stderr = '';
    child.stdout.on('data', (chunk: Buffer) => {
      stdout += chunk.toString();
    });
    child.stderr.on('data', (chunk: Buffer) => {
      stderr += chunk.toString();
    });
    child.once('error', reject);
    child.once('close', (code) => resolve({ code, stdout, stderr }));
  });
}
