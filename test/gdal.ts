import { execFileSync } from 'node:child_process';
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

/** Standard output of one of GDAL's programs; its exit code other than 0 throws. */
export const gdal = (program: 'ogrinfo' | 'ogr2ogr' | 'gdalinfo', args: readonly string[]): string =>
  execFileSync(program, args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });

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
