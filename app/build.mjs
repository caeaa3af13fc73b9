// Builds everything a start needs into dist/: the command, the starter, the loopback host, the desktop program and the
// window. `--hosts` leaves the window out; `--out <folder>` writes somewhere else.
import { chmod, mkdir, rm, symlink, writeFile } from 'node:fs/promises';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { build } from 'esbuild';

const root = resolve(dirname(fileURLToPath(import.meta.url)), '..');
const { values } = parseArgs({ options: { hosts: { type: 'boolean', default: false }, out: { type: 'string' } } });
const out = resolve(values.out ?? join(root, 'dist'));

const shared = {
  absWorkingDir: root,
  bundle: true,
  platform: 'node',
  target: 'node20.19',
  logLevel: 'warning',
  legalComments: 'none',
};

/** Packages written as CommonJS ask for Node's own modules by require, which a bundled module does not have. */
const requireBanner = {
  js: "import { createRequire as pearlashRequire } from 'node:module'; const require = pearlashRequire(import.meta.url);",
};

async function buildNode() {
  await build({
    ...shared,
    format: 'esm',
    splitting: true,
    banner: requireBanner,
    outdir: out,
    entryPoints: {
      'cli/pearlash': 'app/cli/pearlash.ts',
      'cli/worker': 'app/cli/worker.ts',
      start: 'app/start.ts',
      'web/main': 'app/web/main.ts',
    },
    chunkNames: 'shared/[name]-[hash]',
  });
  await chmod(join(out, 'cli', 'pearlash.js'), 0o755);
}

async function buildDesktop() {
  const desktop = { ...shared, external: ['electron'] };
  await build({
    ...desktop,
    format: 'esm',
    target: 'node24',
    banner: requireBanner,
    entryPoints: ['app/electron/main.ts'],
    outfile: join(out, 'electron', 'main.js'),
  });
  // A sandboxed preload is one CommonJS file.
  await build({
    ...desktop,
    format: 'cjs',
    entryPoints: ['app/electron/preload.ts'],
    outfile: join(out, 'electron', 'preload.cjs'),
  });
}

async function buildWindow() {
  const { build: buildWithVite } = await import('vite');
  // Vite's own way to load its settings leaves a folder in node_modules, after which npm reads every package anew.
  await buildWithVite({
    configFile: join(root, 'renderer', 'vite.config.ts'),
    configLoader: 'runner',
    logLevel: 'warn',
  });
}

/** Makes `npx pearlash` work inside the repository: npm links the commands of packages, not the root's own. */
async function linkCommand() {
  const command = join(out, 'cli', 'pearlash.js');
  const folder = join(root, 'node_modules', '.bin');
  const link = join(folder, 'pearlash');
  await mkdir(folder, { recursive: true });
  await rm(link, { force: true });
  if (process.platform === 'win32') {
    await writeFile(`${link}.cmd`, `@node "%~dp0\\..\\..\\dist\\cli\\pearlash.js" %*\r\n`);
  } else {
    await symlink(relative(folder, command), link);
  }
}

await Promise.all(
  ['cli', 'web', 'electron', 'shared'].map((part) => rm(join(out, part), { recursive: true, force: true })),
);
await Promise.all([buildNode(), buildDesktop(), ...(values.hosts ? [] : [buildWindow()])]);
if (!values.out) await linkCommand();
