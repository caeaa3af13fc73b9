/**
 * `npm run bench:files`: rectangles written as a shapefile by our writer, by the OGR C API's driver with features made in a loop
 * (compiled here from `ogr-shapefile.c`), and by ogr2ogr out of GeoJSON; and the same bytes written raw, the limit. Milliseconds of processor, one thread; warm is the
 * median of rounds in turn, cold the first call in a fresh process. The gate: our .shp and .shx are OGR's to the byte, our table's records too. What is not installed is named.
 */
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { writeGeoJson } from '../../core/formats/geojson-write.ts';
import { writeShapefile } from '../../core/formats/shapefile-write.ts';
import type { FieldSpec } from '../../core/formats/types.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { median } from './report.ts';

const FIELDS: readonly FieldSpec[] = [
  { name: 'RATE', kind: 'number', width: 12, decimals: 2 },
  { name: 'ZONE', kind: 'text', width: 8, decimals: 0 },
  { name: 'UNIT', kind: 'text', width: 8, decimals: 0 },
  { name: 'ACRES', kind: 'number', width: 14, decimals: 6 },
];
const SIDE_DEG = 1e-4;
const ROUNDS = 7;
const WARM_UPS = 4;
const LIBRARIES = ['-lgdal', '-l:libgdal.so.36', '-l:libgdal.so.34', '-l:libgdal.so.32'];

interface Rectangle {
  readonly polygons: MultiPolygon;
  readonly values: readonly [rate: number, zone: string, unit: string, acres: number];
}

const nine = (degrees: number): number => Number(degrees.toFixed(9));

function rectangles(count: number): Rectangle[] {
  const across = Math.ceil(Math.sqrt(count));
  return Array.from({ length: count }, (_, i) => {
    const [west, south] = [nine(-94 + (i % across) * SIDE_DEG), nine(42 + Math.floor(i / across) * SIDE_DEG)];
    const [east, north] = [nine(west + SIDE_DEG), nine(south + SIDE_DEG)];
    const ring: LngLat[] = [
      [west, south],
      [west, north],
      [east, north],
      [east, south],
      [west, south],
    ];
    return { polygons: [[ring]], values: [((i * 37) % 800) + 0.25, 'B', 'lb/ac', (i % 7) + 0.123456] };
  });
}

const cpu_ms = (run: () => void): number => {
  const before = process.cpuUsage();
  run();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
};

function ours(features: readonly Rectangle[], folder: string): void {
  const written = writeShapefile('ours', FIELDS, features);
  if (!written.ok) throw new Error(JSON.stringify(written.problems));
  for (const { name, bytes } of written.value) writeFileSync(join(folder, name), bytes);
}

/** The reference's program; null where there is no compiler or no library. */
function compiled(folder: string): string | null {
  const program = join(folder, 'ogr');
  const source = new URL('ogr-shapefile.c', import.meta.url).pathname;
  for (const library of LIBRARIES) {
    try {
      execFileSync('cc', ['-O2', '-o', program, source, library], { stdio: 'ignore' });
      return program;
    } catch {
      // The next name of the library.
    }
  }
  return null;
}

/** What differs from OGR's files, in words; empty where nothing does. The header of a table holds the day and the code page. */
function difference(folder: string): string {
  for (const ending of ['shp', 'shx', 'dbf']) {
    const [own, theirs] = ['ours', 'ogr'].map((base) => readFileSync(join(folder, `${base}.${ending}`)));
    if (!own || !theirs) return 'a file is missing';
    const from = ending === 'dbf' ? own.readUInt16LE(8) : 0;
    // OGR ends a table with the same mark, or with none.
    const to = ending === 'dbf' ? own.length - 1 : own.length;
    const start = ending === 'dbf' ? theirs.readUInt16LE(8) : 0;
    if (!own.subarray(from, to).equals(theirs.subarray(start, start + to - from))) return `.${ending} differs`;
  }
  return '';
}

function say(name: string, ms: number, base: number, more = ''): void {
  const text = Number.isFinite(ms) ? ms.toFixed(ms < 10 ? 1 : 0) : 'MISSING';
  console.log(`  ${name.padEnd(46)}${text.padStart(8)}${(ms / base).toFixed(2).padStart(9)}x  ${more}`);
}

function compare(count: number): void {
  const folder = mkdtempSync(join(tmpdir(), 'files-'));
  try {
    const features = rectangles(count);
    const rows = new Float64Array(features.length * 6);
    for (const [i, { polygons, values }] of features.entries()) {
      const ring = polygons[0]?.[0] ?? [];
      rows.set([...(ring[0] ?? []), ...(ring[2] ?? []), values[0], values[3]], 6 * i);
    }
    writeFileSync(join(folder, 'rows'), rows);
    const geojson = join(folder, 'in.geojson');
    const properties = ({ values: [RATE, ZONE, UNIT, ACRES] }: Rectangle) => ({ RATE, ZONE, UNIT, ACRES });
    writeFileSync(
      geojson,
      writeGeoJson(
        features.map((one) => ({ polygons: one.polygons, properties: properties(one) })),
        {},
      ),
    );
    const program = compiled(folder);
    const times = { ours: [] as number[], ogr: [] as number[], ogr2ogr: [] as number[], raw: [] as number[] };
    const cold_ms = Number(
      execFileSync(process.execPath, [...process.execArgv, new URL(import.meta.url).pathname, 'cold', String(count)], {
        encoding: 'utf8',
      }),
    );
    for (let i = 0; i < WARM_UPS; i++) ours(features, folder);
    for (let round = 0; round < ROUNDS; round++) {
      times.ours.push(cpu_ms(() => ours(features, folder)));
      if (program)
        times.ogr.push(
          Number(
            execFileSync(program, [join(folder, 'rows'), join(folder, 'ogr.shp'), String(count)], { encoding: 'utf8' }),
          ),
        );
      const shp = readFileSync(join(folder, 'ours.shp'));
      const dbf = readFileSync(join(folder, 'ours.dbf'));
      times.raw.push(
        cpu_ms(() => {
          writeFileSync(join(folder, 'raw.shp'), shp);
          writeFileSync(join(folder, 'raw.dbf'), dbf);
        }),
      );
      const wall = performance.now();
      try {
        rmSync(join(folder, 'cli'), { recursive: true, force: true });
        mkdirSync(join(folder, 'cli'));
        execFileSync('ogr2ogr', [join(folder, 'cli', 'cli.shp'), geojson], { stdio: 'ignore' });
        times.ogr2ogr.push(performance.now() - wall);
      } catch {
        // Named as missing below.
      }
    }
    const base = median(times.ours);
    const fault = program ? difference(folder) : 'not compared';
    console.log(`\n${count} rectangles, 4 attributes: ms, and times ours`);
    say('ours', base, base, `cold ${cold_ms.toFixed(0)}`);
    say('OGR C API, features in a loop', median(times.ogr), base, fault === '' ? 'same bytes' : fault.toUpperCase());
    say('ogr2ogr out of GeoJSON, wall time', median(times.ogr2ogr), base);
    say('the same bytes, raw', median(times.raw), base);
    if (program) {
      const met = median(times.ogr) / base >= 4;
      console.log(`  wanted: 4x the OGR C API: ${met ? 'met' : 'MISSED'}`);
      if (fault !== '') process.exitCode = 1;
    } else console.log('  MISSING: a C compiler or libgdal; to have them: Debian gcc and gdal-bin');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

if (process.argv[2] === 'cold') {
  const folder = mkdtempSync(join(tmpdir(), 'files-'));
  const features = rectangles(Number(process.argv[3]));
  process.stdout.write(String(cpu_ms(() => ours(features, folder))));
  rmSync(folder, { recursive: true, force: true });
} else if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  for (const count of [5000, 100_000]) compare(count);
}
