import { execFileSync, spawnSync } from 'node:child_process';
import { it } from 'vitest';

/** True where GDAL's command line tools are installed (Debian: gdal-bin). */
export const hasGdal = ((): boolean => {
  try {
    execFileSync('ogrinfo', ['--version'], { stdio: 'pipe' });
    return true;
  } catch {
    return false;
  }
})();

export type GdalProgram =
  | 'ogrinfo'
  | 'ogr2ogr'
  | 'gdalinfo'
  | 'gdal_translate'
  | 'gdaladdo'
  | 'gdalwarp'
  | 'gdaltransform';

/** Standard output of one of GDAL's programs, given `input`; its exit code other than 0 throws. */
export const gdal = (program: GdalProgram, args: readonly string[], input = ''): string =>
  execFileSync(program, args, { encoding: 'utf8', input, stdio: ['pipe', 'pipe', 'pipe'] });

/** What one of GDAL's programs says on its error stream, where its warnings go; its exit code other than 0 throws. */
export function gdalWarnings(program: GdalProgram, args: readonly string[]): string {
  const { status, stderr } = spawnSync(program, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${program} ended with ${status}: ${stderr}`);
  return stderr;
}

/**
 * A test that needs GDAL. Without it the test says so and is skipped, except in CI, where it fails: nothing may be
 * left out there.
 */
export function itWithGdal(name: string, run: () => void | Promise<void>): void {
  if (hasGdal) it(name, run);
  else if (process.env.CI)
    it(name, () => {
      throw new Error('GDAL is not installed: apt-get install gdal-bin');
    });
  else it.skip(`${name} (NOT RUN: GDAL is not installed, apt-get install gdal-bin)`, run);
}
