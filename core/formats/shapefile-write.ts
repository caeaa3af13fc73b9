import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { encodeUtf8 } from '../base/text.ts';
import type { LngLat } from '../geo/types.ts';
import { WGS84_PRJ } from './crs.ts';
import { type CellOut, writeDbf } from './dbf-write.ts';
import { pointShapes, polygonShapes, type Shapes } from './shp-records.kernel.ts';
import type { FeatureOut, FieldSpec, NamedBytes } from './types.ts';

/**
 * A polygon shapefile in WGS84: .shp, .shx, .dbf, .prj and .cpg named `base`. Coordinates as given; each feature is one
 * record of all its parts and holes, outer rings clockwise and holes counter-clockwise, closed. Same input, same bytes.
 *
 * Problems: `shp-no-features`; those of `writeDbf`; caution `shp-no-geometry` (a feature without parts, a null shape).
 * Throws on a coordinate that is not finite. Source: ESRI Shapefile Technical Description, July 1998.
 */
export function writeShapefile(
  base: string,
  fields: readonly FieldSpec[],
  features: readonly FeatureOut[],
): Result<readonly NamedBytes[]> {
  if (features.length === 0) return nothing(base);
  const shapes = polygonShapes(features);
  const problems = shapes.empty.map((i) =>
    caution(
      'shp-no-geometry',
      `Feature ${i + 1} has no ground and is written without a shape.`,
      'Leave it out, or check why it is empty.',
      { file: `${base}.shp`, feature: i + 1 },
    ),
  );
  return bundle(
    base,
    shapes,
    writeDbf(fields, features.length, (i) => features[i]?.values ?? [], `${base}.dbf`),
    WGS84_PRJ,
    problems,
  );
}

/**
 * A point shapefile, coordinates as given. `prj` is the text of the .prj that they are in; WGS84 without it.
 * Problems and source as for `writeShapefile`.
 */
export function writePointShapefile(
  base: string,
  fields: readonly FieldSpec[],
  points: readonly { readonly at: LngLat; readonly values: readonly CellOut[] }[],
  prj: string = WGS84_PRJ,
): Result<readonly NamedBytes[]> {
  if (points.length === 0) return nothing(base);
  return bundle(
    base,
    pointShapes(points),
    writeDbf(fields, points.length, (i) => points[i]?.values ?? [], `${base}.dbf`),
    prj,
    [],
  );
}

const nothing = (base: string): Result<never> =>
  fail(
    stop('shp-no-features', `There is nothing to write to ${base}.shp.`, 'Check why no feature came out.', {
      file: `${base}.shp`,
    }),
  );

function bundle(
  base: string,
  { shp, shx }: Shapes,
  dbf: Result<Uint8Array>,
  prj: string,
  problems: readonly Problem[],
): Result<readonly NamedBytes[]> {
  if (!dbf.ok) return fail(...problems, ...dbf.problems);
  return ok(
    [
      { name: `${base}.shp`, bytes: shp },
      { name: `${base}.shx`, bytes: shx },
      { name: `${base}.dbf`, bytes: dbf.value },
      { name: `${base}.prj`, bytes: encodeUtf8(prj) },
      { name: `${base}.cpg`, bytes: encodeUtf8('UTF-8') },
    ],
    [...problems, ...dbf.problems],
  );
}
