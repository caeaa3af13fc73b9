import { z } from 'zod';
import { fail, ok, type Result, stop } from '../base/problem.ts';
import { decodeText } from '../base/text.ts';
import type { Manifest } from './types.ts';

/** Name of the manifest beside the files it lists. */
export const MANIFEST_FILE = 'manifest.json';

const count = z.number().int().nonnegative();
const amount = z.number().nonnegative();

const manifestSchema = z.object({
  format: z.literal('pearlash-manifest'),
  version: z.literal(1),
  plan: z.string(),
  planSha256: z.string(),
  product: z.string(),
  product2: z.string().optional(),
  rateUnit: z.enum(['lb/ac', 'kg/ha']),
  spreadable_ac: amount,
  passes: z.array(
    z.object({
      name: z.string(),
      acres: amount,
      product_lb: amount,
      product_tons: amount,
      product2_lb: amount.optional(),
      product2_tons: amount.optional(),
      records: count,
      geojson: z.string(),
      shapefileZip: z.string(),
      shapefileLoose: z.string(),
    }),
  ),
  files: z.array(z.object({ path: z.string(), size: count, sha256: z.string() })),
});

/** The document without keys that are there and undefined, which zod's optional keys allow and the type does not. */
function told({ product2, passes, ...rest }: z.infer<typeof manifestSchema>): Manifest {
  return {
    ...rest,
    ...(product2 === undefined ? {} : { product2 }),
    passes: passes.map(({ product2_lb, product2_tons, ...pass }) => ({
      ...pass,
      ...(product2_lb === undefined ? {} : { product2_lb }),
      ...(product2_tons === undefined ? {} : { product2_tons }),
    })),
  };
}

/** A manifest out of its bytes. Problem: `proof-manifest` when they are not a manifest of this version. */
export function readManifest(bytes: Uint8Array, file: string): Result<Manifest> {
  const remedy = 'Prove a folder that this program wrote, whole.';
  let document: unknown;
  try {
    document = JSON.parse(decodeText(bytes));
  } catch (error) {
    return fail(stop('proof-manifest', 'The manifest is not readable JSON.', remedy, { file }, String(error)));
  }
  const checked = manifestSchema.safeParse(document);
  if (!checked.success) {
    const first = checked.error.issues[0];
    return fail(
      stop(
        'proof-manifest',
        `The manifest is not valid: ${first?.path.join('.') ?? ''} ${first?.message ?? ''}.`,
        remedy,
        { file },
      ),
    );
  }
  return ok(told(checked.data));
}
