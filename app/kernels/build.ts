/** `npm run kernels` compiles surfaces.ts (AssemblyScript) into core/surfaces/twin-bytes.ts. Same source and compiler, same bytes. */
import { writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const place = (path: string): string => fileURLToPath(new URL(path, import.meta.url));
export const TWIN_FILE = place('../../core/surfaces/twin-bytes.ts');

/** The module's text as it is to stand in core. */
export async function twinModule(): Promise<string> {
  let bytes: Uint8Array = new Uint8Array(0);
  const { error, stderr } = await asc.main(
    [
      ...['surfaces.ts', '--baseDir', place('.'), '--outFile', 'out.wasm'],
      ...['-O3', '--noAssert', '--runtime', 'stub', '--enable', 'simd'],
    ],
    {
      writeFile(name, contents) {
        if (name === 'out.wasm' && typeof contents !== 'string') bytes = contents;
      },
    },
  );
  if (error) throw new Error(stderr.toString(), { cause: error });
  return [
    '/** Made by `npm run kernels` out of app/kernels/surfaces.ts: a WebAssembly module in base64. Not written by hand. */',
    `export const TWIN_BASE64 =\n  '${Buffer.from(bytes).toString('base64')}';`,
    '',
  ].join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await writeFile(TWIN_FILE, await twinModule());
