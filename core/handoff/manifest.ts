import { z } from 'zod';
import { fail, ok, type Result, stop } from '../base/problem.ts';
import { decodeText } from '../base/text.ts';
import { readFirst } from './manifest-first.ts';
import type { Manifest } from './types.ts';

/** Name of the manifest beside the files it lists. */
export const MANIFEST_FILE = 'manifest.json';
/** Name of the page for people; it is made after the proof. */
export const SHEET_FILE = 'sheet.html';

const count = z.number().int().nonnegative();
const amount = z.number().nonnegative();

const manifestSchema = z.object({
  format: z.literal('pearlash-manifest'),
  version: z.literal(2),
  plan: z.string(),
  planSha256: z.string(),
  rateUnit: z.enum(['lb/ac', 'kg/ha']),
  spreadable_ac: amount,
  sets: z.array(
    z.object({
      base: z.string(),
      records: count,
      acres: amount,
      channels: z.array(
        z.object({
          pass: z.string(),
          product: z.string(),
          column: z.string(),
          property: z.string(),
          decimals: count,
          planned_lb: amount,
          planned_tons: amount,
          atPoints: z.string().nullable(),
        }),
      ),
      figures: z.array(z.object({ column: z.string(), property: z.string(), planned: z.number() })),
      geojson: z.string().nullable(),
      shapefileZip: z.string().nullable(),
      shapefileLoose: z.string().nullable(),
    }),
  ),
  taskData: z
    .object({
      path: z.string(),
      columns: count,
      rows: count,
      tasks: z.array(
        z.object({
          pass: z.string(),
          product: z.string(),
          planned_lb: amount,
          grid_lb: amount,
          outside_lbPerAc: amount,
          noPosition_lbPerAc: amount,
        }),
      ),
      shown: z.object({ scale: z.number(), decimals: count, unit: z.string() }),
    })
    .nullable(),
  rasters: z.array(
    z.object({ path: z.string(), pass: z.string(), product: z.string(), cells: count, sum: z.number() }),
  ),
  points: z
    .object({
      seed: count,
      west_deg: z.number(),
      south_deg: z.number(),
      east_deg: z.number(),
      north_deg: z.number(),
      drawn: count.max(1_000_000),
      inside: count,
      inner: z.string().nullable(),
    })
    .nullable(),
  files: z.array(z.object({ path: z.string(), size: count, sha256: z.string() })),
  proof: z
    .object({
      proved: z.boolean(),
      comparisons: count,
      points: count,
      pointsCompared: count,
      greatestDifference: amount.nullable(),
    })
    .nullable(),
  printed: z.object({ path: z.string(), size: count, sha256: z.string() }).nullable(),
});

/** A manifest out of its bytes, of version 1 too. Problem: `proof-manifest` when they are none that is known. */
export function readManifest(bytes: Uint8Array, file: string): Result<Manifest> {
  const remedy = 'Prove a folder that this program wrote, whole.';
  let document: unknown;
  try {
    document = JSON.parse(decodeText(bytes));
  } catch (error) {
    return fail(stop('proof-manifest', 'The manifest is not readable JSON.', remedy, { file }, String(error)));
  }
  const first = readFirst(document);
  if (first) return ok(first);
  const checked = manifestSchema.safeParse(document);
  if (checked.success) return ok(checked.data);
  const issue = checked.error.issues[0];
  return fail(
    stop(
      'proof-manifest',
      `The manifest is not valid: ${issue?.path.join('.') ?? ''} ${issue?.message ?? ''}.`,
      remedy,
      { file },
    ),
  );
}

/** The manifest as the bytes of its file. */
export const manifestText = (manifest: Manifest): string => `${JSON.stringify(manifest, null, 2)}\n`;

/**
 * True where both are the manifest of the same plan and files, whether or not the files were read back since: what the proof adds, its own member and
 * the page for people, printed or not, is left out of account.
 */
export function samePlanned(a: Manifest, b: Manifest): boolean {
  const planned = ({ files, ...rest }: Manifest): string =>
    JSON.stringify({ ...rest, proof: null, printed: null, files: files.filter(({ path }) => path !== SHEET_FILE) });
  return planned(a) === planned(b);
}
