import { sha256Hex } from '../base/hash.ts';
import { caution, type Problem, type Result, stop } from '../base/problem.ts';
import { KG_PER_LB, M2_PER_ACRE, toAcres } from '../base/units.ts';
import { readFiles } from '../formats/read.ts';
import type { Dataset, NamedBytes } from '../formats/types.ts';
import { area_m2 } from '../geo/area.ts';
import { AREA_TOLERANCE } from './checks.ts';
import { RATE, RATE_2, RATE_DECIMALS } from './columns.ts';
import { MANIFEST_FILE, readManifest } from './manifest.ts';
import type { Manifest, Proof, ProofLine } from './types.ts';

export interface FoundFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/**
 * Reads the written files back and compares them with the plan's figures in their manifest: bytes by SHA-256, records,
 * acres (worked out again from the geometry, to 1e-6) and pounds (rate column x acres, to the rounding of the column), of the second
 * product by its own column where the manifest names one.
 * Proved only when every line holds. Problems: `proof-manifest`, `proof-missing`, `proof-differs`; a caution
 * `proof-stray` for each file a controller might load that the manifest does not name.
 */
export function proveFiles(files: readonly FoundFile[]): Proof {
  const manifestFile = files.find((file) => file.path === MANIFEST_FILE);
  if (!manifestFile) {
    return unproved(
      stop(
        'proof-manifest',
        'The folder holds no manifest.json, so there is nothing to compare with.',
        'Prove the folder that the plan was written to, whole.',
        { file: MANIFEST_FILE },
      ),
    );
  }
  const manifest = readManifest(manifestFile.bytes, MANIFEST_FILE);
  if (!manifest.ok) return { ...unproved(), problems: manifest.problems };

  const byPath = new Map(files.map((file) => [file.path, file.bytes] as const));
  const lines: ProofLine[] = [];
  const problems: Problem[] = [];
  const listed = new Set(manifest.value.files.map((file) => file.path));
  if (listed.size === 0 || manifest.value.passes.length === 0) problems.push(EMPTY_MANIFEST);
  for (const file of manifest.value.files) {
    const bytes = byPath.get(file.path);
    if (!bytes) {
      problems.push(
        stop('proof-missing', `The file ${file.path} is missing.`, 'Write the files again from the plan.', {
          file: file.path,
        }),
      );
      continue;
    }
    const sha256 = sha256Hex(bytes);
    lines.push({
      file: file.path,
      what: 'bytes',
      planned: shortHash(file.sha256),
      found: shortHash(sha256),
      holds: sha256 === file.sha256,
    });
  }
  let acres = 0;
  let pounds = 0;
  for (const pass of manifest.value.passes) {
    const measured: Measured[] = [];
    for (const path of [pass.geojson, pass.shapefileZip, `${pass.shapefileLoose}.shp`]) {
      if (!listed.has(path)) problems.push(unlisted(path, pass.name));
    }
    for (const source of sourcesOf(pass, byPath)) {
      const found = measure(source, manifest.value.rateUnit);
      if (found.ok) {
        lines.push(...compare(source.label, pass, found.value, manifest.value.rateUnit));
        measured.push(found.value);
      } else problems.push(...found.problems);
    }
    acres = Math.max(acres, measured[0]?.acres ?? 0);
    pounds += measured[0] ? measured[0].product_lb + (pass.product2_lb === undefined ? 0 : measured[0].product2_lb) : 0;
  }
  for (const line of lines.filter((one) => !one.holds)) {
    problems.push(
      stop(
        'proof-differs',
        `${line.file}: ${line.what} differ. Planned ${line.planned}, found ${line.found}.`,
        'Do not use the file. Write the files again from the plan.',
        { file: line.file },
      ),
    );
  }
  const proved = !problems.some((problem) => problem.severity === 'stop');
  const strays = files.map((file) => file.path).filter((path) => !listed.has(path) && path !== MANIFEST_FILE);
  problems.push(...strays.filter((path) => SPREADABLE.test(path)).map(stray));
  return { proved, lines, acres, product_tons: pounds / 2000, problems };
}

const EMPTY_MANIFEST = stop(
  'proof-manifest',
  'The manifest names no files or no passes, so nothing can be compared.',
  'Write the files again from the plan.',
  { file: MANIFEST_FILE },
);

/** Files that a rate controller might load. */
const SPREADABLE = /\.(zip|geojson|json|shp|shx|dbf|prj|cpg)$/i;
const stray = (file: string): Problem =>
  caution(
    'proof-stray',
    `${file} lies in the folder and the plan did not write it: nothing is known of it.`,
    'Take it out before the folder is handed on.',
    { file },
  );
const unlisted = (file: string, pass: string): Problem =>
  stop(
    'proof-manifest',
    `The manifest does not list ${file} of the pass ${pass}.`,
    'Write the files again from the plan.',
    {
      file,
    },
  );

interface Source {
  readonly label: string;
  readonly files: readonly NamedBytes[];
}

/** The three ways a pass was written: GeoJSON, the zip, and the loose parts together. */
function sourcesOf(pass: Manifest['passes'][number], byPath: ReadonlyMap<string, Uint8Array>): Source[] {
  const sources: Source[] = [];
  for (const path of [pass.geojson, pass.shapefileZip]) {
    const bytes = byPath.get(path);
    if (bytes) sources.push({ label: path, files: [{ name: path, bytes }] });
  }
  const loose = [...byPath]
    .filter(([path]) => path.startsWith(`${pass.shapefileLoose}.`))
    .map(([path, bytes]) => ({ name: path.slice(path.lastIndexOf('/') + 1), bytes }));
  if (loose.length > 0) sources.push({ label: `${pass.shapefileLoose}.shp`, files: loose });
  return sources;
}

interface Measured {
  readonly records: number;
  readonly acres: number;
  readonly product_lb: number;
  /** NaN where the file has no column of a second product. */
  readonly product2_lb: number;
}

function measure(source: Source, unit: Manifest['rateUnit']): Result<Measured> {
  const read = readFiles(source.files);
  if (!read.ok) return read;
  const dataset = read.value.find((one) => one.geometry === 'polygon');
  const rateColumn = dataset ? rateIndex(dataset, RATE) : -1;
  if (!dataset || rateColumn < 0) {
    return {
      ok: false,
      problems: [
        stop(
          'proof-differs',
          `${source.label} holds no polygons with a rate.`,
          'Do not use the file. Write the files again from the plan.',
          { file: source.label },
        ),
      ],
    };
  }
  let acres = 0;
  let product_lb = 0;
  let product2_lb = 0;
  const secondColumn = rateIndex(dataset, RATE_2);
  const lbPerAc = (cell: unknown): number =>
    unit === 'kg/ha' ? (Number(cell) / KG_PER_LB) * (M2_PER_ACRE / 10_000) : Number(cell);
  for (const record of dataset.records) {
    if (record.geometry?.type !== 'MultiPolygon') continue;
    const area_ac = toAcres(area_m2(record.geometry.polygons));
    acres += area_ac;
    product_lb += area_ac * lbPerAc(record.cells[rateColumn]);
    product2_lb += area_ac * (secondColumn < 0 ? Number.NaN : lbPerAc(record.cells[secondColumn]));
  }
  return { ok: true, value: { records: dataset.records.length, acres, product_lb, product2_lb }, problems: [] };
}

const rateIndex = (dataset: Dataset, rate: typeof RATE | typeof RATE_2): number =>
  dataset.columns.findIndex((name) => name === rate.name || name === rate.property);

function compare(
  file: string,
  pass: Manifest['passes'][number],
  found: Measured,
  unit: Manifest['rateUnit'],
): ProofLine[] {
  // The rate column is rounded to its last decimal: each acre may be off by half of it.
  const halfStep_lbPerAc = (0.5 / 10 ** RATE_DECIMALS) * (unit === 'kg/ha' ? M2_PER_ACRE / 10_000 / KG_PER_LB : 1);
  const pounds = (what: ProofLine['what'], planned: number, measured: number): ProofLine => ({
    file,
    what,
    planned: planned.toFixed(1),
    found: measured.toFixed(1),
    holds: Math.abs(measured - planned) <= halfStep_lbPerAc * pass.acres + AREA_TOLERANCE * planned,
  });
  return [
    {
      file,
      what: 'records',
      planned: String(pass.records),
      found: String(found.records),
      holds: found.records === pass.records,
    },
    {
      file,
      what: 'acres',
      planned: pass.acres.toFixed(4),
      found: found.acres.toFixed(4),
      holds: Math.abs(found.acres - pass.acres) <= AREA_TOLERANCE * pass.acres,
    },
    pounds('pounds', pass.product_lb, found.product_lb),
    ...(pass.product2_lb === undefined
      ? []
      : [pounds('pounds of the second product', pass.product2_lb, found.product2_lb)]),
  ];
}

const shortHash = (sha256: string): string => sha256.slice(0, 12);

const unproved = (...problems: Problem[]): Proof => ({ proved: false, lines: [], acres: 0, product_tons: 0, problems });
