import { z } from 'zod';
import { RATE_DECIMALS } from './figures.ts';
import type { Manifest, ManifestChannel } from './types.ts';

const count = z.number().int().nonnegative();
const amount = z.number().nonnegative();

/** Version 1: a set a pass, one product or two in columns, no points and no proof. */
const firstSchema = z.object({
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

/** A manifest of version 1 in the terms of today's; null for any other document. */
export function readFirst(document: unknown): Manifest | null {
  const checked = firstSchema.safeParse(document);
  if (!checked.success) return null;
  const { format, version, plan, planSha256, product, product2, rateUnit, spreadable_ac, passes, files } = checked.data;
  const common = { decimals: RATE_DECIMALS, atPoints: null };
  return {
    format,
    version,
    plan,
    planSha256,
    rateUnit,
    spreadable_ac,
    sets: passes.map((pass) => ({
      base: pass.geojson.replace(/\.geojson$/, ''),
      records: pass.records,
      acres: pass.acres,
      channels: [
        {
          ...common,
          pass: pass.name,
          product,
          column: 'RATE',
          property: 'rate',
          planned_lb: pass.product_lb,
          planned_tons: pass.product_tons,
        },
        ...(pass.product2_lb === undefined
          ? []
          : [
              {
                ...common,
                pass: pass.name,
                product: product2 ?? '',
                column: 'RATE_2',
                property: 'rate_2',
                planned_lb: pass.product2_lb,
                planned_tons: pass.product2_tons ?? 0,
              } satisfies ManifestChannel,
            ]),
      ],
      figures: [],
      geojson: pass.geojson,
      shapefileZip: pass.shapefileZip,
      shapefileLoose: pass.shapefileLoose,
    })),
    taskData: null,
    rasters: [],
    points: null,
    files,
    proof: null,
    printed: null,
  };
}
