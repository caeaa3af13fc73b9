import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { it } from 'vitest';
import { decodeText, encodeUtf8 } from '../../../core/base/text.ts';
import { toAcres } from '../../../core/base/units.ts';
import type { NamedBytes } from '../../../core/formats/types.ts';
import { unzipFiles, zipFiles } from '../../../core/formats/zip.ts';
import { area_m2 } from '../../../core/geo/area.ts';
import type { Lattice, LngLat, MultiPolygon } from '../../../core/geo/types.ts';
import type { TaskDataInput } from '../../../core/handoff/task-data/types.ts';
import { writeTaskData } from '../../../core/handoff/task-data/write.ts';
import type { Piece, Prescription } from '../../../core/handoff/types.ts';

/** A closed rectangle, counter-clockwise; as a hole with `turned`. */
export function box(west: number, south: number, east: number, north: number, turned = false): readonly LngLat[] {
  const ring: LngLat[] = [
    [west, south],
    [east, south],
    [east, north],
    [west, north],
    [west, south],
  ];
  return turned ? ring.toReversed() : ring;
}

export const pieceOf = (polygons: MultiPolygon, rate_lbPerAc: number, second_lbPerAc = 0, zoneKey = '1'): Piece => ({
  zoneKey,
  letter: 'A',
  polygons,
  acres: toAcres(area_m2(polygons)),
  rate_lbPerAc,
  second_lbPerAc,
  k2o_lbPerAc: 0,
  k_ppm: Number.NaN,
  kSat_pct: Number.NaN,
  cec_meq: Number.NaN,
  note: '',
});

export const passOf = (pieces: readonly Piece[], pass = 'before the season'): Prescription => ({
  pass,
  pieces,
  totals: {
    acres: pieces.reduce((sum, { acres }) => sum + acres, 0),
    product_lb: Number.NaN,
    product_tons: Number.NaN,
    cost: 0,
    byProduct: [],
  },
});

/** Two rows of three cells, 0.001 x 0.002 degrees, at 42 N 94 W. */
export const SIX: Lattice = { west_deg: -94, south_deg: 42, dLng_deg: 0.002, dLat_deg: 0.001, cols: 3, rows: 2 };

/** The cell (col, row) of a lattice as a polygon. */
export function cellBox({ west_deg, south_deg, dLng_deg, dLat_deg }: Lattice, col: number, row: number): MultiPolygon {
  const at = (from: number, step: number, times: number): number => Math.round((from + step * times) * 1e9) / 1e9;
  return [
    [
      box(
        at(west_deg, dLng_deg, col),
        at(south_deg, dLat_deg, row),
        at(west_deg, dLng_deg, col + 1),
        at(south_deg, dLat_deg, row + 1),
      ),
    ],
  ];
}

/** The whole of a lattice as ground. */
export const wholeOf = (lattice: Lattice): MultiPolygon => {
  const { west_deg, south_deg, dLng_deg, dLat_deg, cols, rows } = lattice;
  const round = (value: number): number => Math.round(value * 1e9) / 1e9;
  return [[box(west_deg, south_deg, round(west_deg + cols * dLng_deg), round(south_deg + rows * dLat_deg))]];
};

/** Six cells with a rate each, the first in the south-west. */
export function six(rates: readonly number[], change: Partial<TaskDataInput> = {}): TaskDataInput {
  return {
    planName: 'Home quarter',
    path: 'home_iso.zip',
    version: '0.1.0',
    ground: wholeOf(SIX),
    lattice: SIX,
    prescriptions: [passOf(rates.map((rate, cell) => pieceOf(cellBox(SIX, cell % 3, Math.floor(cell / 3)), rate)))],
    products: ['0-0-60'],
    outside_lbPerAc: 0,
    noPosition_lbPerAc: 0,
    shape: 'cells',
    ...change,
  };
}

/** What was written; a Problem throws. */
export function written(input: TaskDataInput) {
  const result = writeTaskData(input);
  if (!result.ok) throw new Error(result.problems.map(({ message }) => message).join('\n'));
  return { ...result.value, problems: result.problems };
}

export function filesOf(bytes: Uint8Array): readonly NamedBytes[] {
  const files = unzipFiles(bytes, 'x.zip');
  if (!files.ok) throw new Error(files.problems.map(({ message }) => message).join('\n'));
  return files.value;
}

export const xmlOf = (bytes: Uint8Array): string => {
  const xml = filesOf(bytes).find(({ name }) => name.endsWith('.XML'));
  return decodeText(xml?.bytes ?? new Uint8Array(0));
};

/** The same zip with its XML changed. It throws where nothing was changed, so that no test is of the plain file. */
export function withXml(bytes: Uint8Array, change: (text: string) => string): Uint8Array {
  return zipFiles(
    filesOf(bytes).map((file) => {
      if (!file.name.endsWith('.XML')) return file;
      const before = decodeText(file.bytes);
      const after = change(before);
      if (after === before) throw new Error('nothing was changed');
      return { ...file, bytes: encodeUtf8(after) };
    }),
  );
}

/** The same zip with its first grid file changed, or left out by null. */
export const withGrid = (bytes: Uint8Array, change: (grid: Uint8Array) => Uint8Array | null): Uint8Array =>
  zipFiles(
    filesOf(bytes).flatMap((file) => {
      if (!file.name.endsWith('GRD00001.BIN')) return [file];
      const grid = change(file.bytes);
      return grid ? [{ ...file, bytes: grid }] : [];
    }),
  );

/** Task data that another writer made, zipped as a person would, its folder inside another where one is told. */
export function foreign(name: string, folder = ''): Uint8Array {
  const from = fileURLToPath(new URL(`foreign/${name}/`, import.meta.url));
  return zipFiles(
    readdirSync(from).map((file) => ({
      name: `${folder}TASKDATA/${file}`,
      bytes: new Uint8Array(readFileSync(`${from}${file}`)),
    })),
  );
}

const hasPython = ((): boolean => {
  try {
    execFileSync('python3', ['--version'], { stdio: 'pipe' });
    return true;
  } catch {
    return false;
  }
})();

/** A test that needs Python's own zip, XML (expat) and number readers. Without it the test says so; in CI it fails. */
export function itWithPython(name: string, run: () => void): void {
  if (hasPython) it(name, run);
  else if (process.env.CI)
    it(name, () => {
      throw new Error('python3 is not installed: apt-get install python3');
    });
  else it.skip(`${name} (NOT RUN: python3 is not installed)`, run);
}
