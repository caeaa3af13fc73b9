import { spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { mkdtemp, readdir, rm, stat } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';

/** Electron's executable, or why there is none. */
export type Runtime = { readonly ok: true; readonly executable: string } | { readonly ok: false; readonly why: string };

export interface RuntimeOptions {
  /** Folder of the electron package; null where it is not installed. */
  readonly package: string | null;
  /** Longest without a further byte. */
  readonly still_ms: number;
  readonly onProgress: (received_MB: number) => void;
}

/** The electron package as it is installed, without loading it: loading would fetch the runtime and wait for it. */
export function electronPackage(moduleUrl: string): string | null {
  try {
    return dirname(createRequire(moduleUrl).resolve('electron/package.json'));
  } catch {
    return null;
  }
}

/**
 * The runtime where it is there; otherwise one attempt to fetch it with the package's own installer, in a process of its
 * own that is ended as soon as nothing comes any more.
 */
export async function getRuntime(options: RuntimeOptions): Promise<Runtime> {
  if (options.package === null) return { ok: false, why: 'Electron is not installed' };
  const before = executableOf(options.package);
  if (before !== null) return { ok: true, executable: before };
  const failed = await install(options.package, options);
  const after = failed === null ? executableOf(options.package) : null;
  return after === null ? { ok: false, why: failed ?? 'its runtime is not complete' } : { ok: true, executable: after };
}

/** Where Electron's own launcher would look: a folder that the environment names, else beside the package. */
function executableOf(packageFolder: string): string | null {
  const told = process.env.ELECTRON_OVERRIDE_DIST_PATH;
  const note = join(packageFolder, 'path.txt');
  const inner = existsSync(note) ? readFileSync(note, 'utf8') : null;
  if (!told && inner === null) return null;
  const executable = join(told || join(packageFolder, 'dist'), inner ?? 'electron');
  return existsSync(executable) ? executable : null;
}

/** Null when the installer ended well, else why it did not. */
async function install(packageFolder: string, { still_ms, onProgress }: RuntimeOptions): Promise<string | null> {
  // The installer keeps what it has received in the system's folder for temporary files: one of its own shows the progress.
  const scratch = await mkdtemp(join(tmpdir(), 'pearlash-runtime-'));
  const child = spawn(process.execPath, [join(packageFolder, 'install.js')], {
    env: { ...process.env, TMPDIR: scratch, TEMP: scratch, TMP: scratch, ELECTRON_GET_NO_PROGRESS: '1' },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let said = '';
  child.stderr.on('data', (chunk: Buffer) => {
    said = (said + chunk.toString('utf8')).slice(-4000);
  });
  let received_bytes = 0;
  let lastGain_ms = performance.now();
  let stalled = false;
  const watch = setInterval(async () => {
    const now_bytes = await sizeOf(scratch);
    if (now_bytes > received_bytes) {
      received_bytes = now_bytes;
      lastGain_ms = performance.now();
      onProgress(received_bytes / 1e6);
    } else if (performance.now() - lastGain_ms > still_ms) {
      stalled = true;
      child.kill('SIGKILL');
    }
  }, 500);
  const code = await new Promise<number | null>((resolve) => {
    child.once('error', () => resolve(null));
    child.once('close', resolve);
  });
  clearInterval(watch);
  await rm(scratch, { recursive: true, force: true });
  if (stalled) return `its download stood still for ${still_ms / 1000} s`;
  return code === 0 ? null : `its download failed: ${reasonIn(said)}`;
}

/** The innermost cause that the installer printed: `fetch failed` alone tells a person nothing. */
function reasonIn(said: string): string {
  const code = /\bcode: '([A-Z_]+)'/.exec(said)?.[1];
  const first = /^(?:\w*Error): (.+)$/m.exec(said)?.[1] ?? 'the installer ended early';
  return code === undefined ? first : `${first} (${code})`;
}

async function sizeOf(folder: string): Promise<number> {
  let size = 0;
  const entries = await readdir(folder, { recursive: true, withFileTypes: true }).catch(() => []);
  for (const entry of entries) {
    if (!entry.isFile()) continue;
    size += (await stat(join(entry.parentPath, entry.name)).catch(() => null))?.size ?? 0;
  }
  return size;
}
