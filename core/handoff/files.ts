import { sha256Hex } from '../base/hash.ts';
import { ok, type Problem, type Result } from '../base/problem.ts';
import { encodeUtf8 } from '../base/text.ts';
import { writeGeoJson } from '../formats/geojson-write.ts';
import { writeShapefile } from '../formats/shapefile-write.ts';
import type { NamedBytes } from '../formats/types.ts';
import { zipFiles } from '../formats/zip.ts';
import { type About, columnsOf, passBase, rateFactor, recordOf, roundTo } from './columns.ts';
import { columnsText } from './columns-text.ts';
import { MANIFEST_FILE } from './manifest.ts';
import type { Manifest, OutFile, Prescription } from './types.ts';

/** What the files need to know beside the prescriptions. */
export interface FilesInput {
  readonly planName: string;
  readonly planSha256: string;
  readonly base: string;
  /** One or two, the plan's first product first. */
  readonly products: readonly string[];
  readonly rateUnit: 'lb/ac' | 'kg/ha';
  /** Of what is in the files. */
  readonly spreadable_ac: number;
  /** Zones that are in no file, by their role. */
  readonly keptOut: readonly { readonly letter: string; readonly acres: number }[];
  readonly prescriptions: readonly Prescription[];
  /** The ledger and the surfaces, already written. */
  readonly extras: readonly OutFile[];
}

const COLUMNS_FILE = 'columns.txt';

/**
 * Every file of the handoff: per pass a GeoJSON, a zipped shapefile and the same loose; a text that says which file is which
 * pass and what each column is; the ledger and the surfaces; and manifest.json, the plan's word on what must be in them. Same input, same bytes: no clock, no chance.
 * Problems: those of the shapefile writer.
 */
export function writeFiles(input: FilesInput): Result<OutFile[]> {
  const files: OutFile[] = [];
  const passes: Manifest['passes'][number][] = [];
  const problems: Problem[] = [];
  for (const [index, prescription] of input.prescriptions.entries()) {
    const base = passBase(input.base, input.prescriptions.length, index);
    const about: About = {
      products: input.products,
      rateUnit: input.rateUnit,
      pass: prescription.pass,
      rateFactor: rateFactor(input.rateUnit),
    };
    const shapefile = shapefileOf(base, prescription, about);
    if (!shapefile.ok) return shapefile;
    problems.push(...shapefile.problems);
    const words = `${prescription.pieces.length} records, WGS84, rate in ${input.rateUnit}`;
    files.push({ path: `${base}.geojson`, bytes: geoJsonOf(base, prescription, about), what: words });
    files.push({
      path: `${base}.zip`,
      bytes: zipFiles([...shapefile.value, { name: COLUMNS_FILE, bytes: encodeUtf8(columnsText(input, index)) }]),
      what: `shapefile, zipped; ${input.products.length > 1 ? 'columns RATE and RATE_2' : 'column RATE'} in ${input.rateUnit}`,
    });
    for (const part of shapefile.value)
      files.push({ path: `shapefile/${part.name}`, bytes: part.bytes, what: 'shapefile, loose part' });
    passes.push({
      name: prescription.pass,
      ...toldTotals(prescription),
      product_tons: roundTo(prescription.totals.byProduct[0]?.product_tons ?? 0, 6),
      ...secondTotals(prescription),
      records: prescription.pieces.length,
      geojson: `${base}.geojson`,
      shapefileZip: `${base}.zip`,
      shapefileLoose: `shapefile/${base}`,
    });
  }
  files.push(
    {
      path: COLUMNS_FILE,
      bytes: encodeUtf8(columnsText(input, null)),
      what: 'passes, files and columns, in plain text',
    },
    ...input.extras,
  );
  const manifest: Manifest = {
    format: 'pearlash-manifest',
    version: 1,
    plan: input.planName,
    planSha256: input.planSha256,
    product: input.products[0] ?? '',
    ...(input.products[1] === undefined ? {} : { product2: input.products[1] }),
    rateUnit: input.rateUnit,
    spreadable_ac: roundTo(input.spreadable_ac, 6),
    passes,
    files: files.map((file) => ({ path: file.path, size: file.bytes.length, sha256: sha256Hex(file.bytes) })),
  };
  files.push({
    path: MANIFEST_FILE,
    bytes: encodeUtf8(`${JSON.stringify(manifest, null, 2)}\n`),
    what: "the plan's figures, for the proof",
  });
  return ok(files, problems);
}

/** Rounded, since the last bits of a sine differ from one JavaScript engine to the next, and the files shall not. */
const toldTotals = ({ totals }: Prescription): { acres: number; product_lb: number } => ({
  acres: roundTo(totals.acres, 6),
  product_lb: roundTo(totals.byProduct[0]?.product_lb ?? 0, 3),
});
const secondTotals = ({ totals }: Prescription): { product2_lb?: number; product2_tons?: number } => {
  const second = totals.byProduct[1];
  return second ? { product2_lb: roundTo(second.product_lb, 3), product2_tons: roundTo(second.product_tons, 6) } : {};
};

const shapefileOf = (base: string, prescription: Prescription, about: About): Result<readonly NamedBytes[]> =>
  writeShapefile(
    base,
    columnsOf(about.rateUnit, about.products.length),
    prescription.pieces.map((piece) => ({ polygons: piece.polygons, values: recordOf(piece, about) })),
  );

function geoJsonOf(base: string, prescription: Prescription, about: About): Uint8Array {
  const columns = columnsOf(about.rateUnit, about.products.length);
  const features = prescription.pieces.map((piece) => {
    const record = recordOf(piece, about);
    return {
      polygons: piece.polygons,
      properties: Object.fromEntries(columns.map((column, i) => [column.property, record[i] ?? null])),
    };
  });
  return writeGeoJson(features, {
    name: base,
    prescription: {
      product: about.products[0] ?? '',
      ...(about.products[1] === undefined ? {} : { product2: about.products[1] }),
      rateUnit: about.rateUnit,
      pass: about.pass,
      ...toldTotals(prescription),
      ...secondTotals(prescription),
    },
  });
}
