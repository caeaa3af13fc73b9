import { fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { type Crs, crsOfDefinition, parseCrs } from './crs.ts';
import { crsOfKeys, type GeoKeys, readGeoKeys } from './geo-keys.ts';
import { findPlacing, type Placing } from './place.ts';
import type { TiffImage } from './tiff-image.ts';
import { type Affine, readAffine, toPlane } from './tiff-place.ts';
import { notWhole } from './tiff-problems.ts';
import type { TiffDirectory } from './tiff-tags.ts';

/** Where an image lies, and on what. */
export interface Placed {
  readonly affine: Affine;
  readonly points: boolean;
  readonly placing: Placing;
}

/**
 * Position and system of a directory's image; `told` is the system that a person names where the file names none.
 * Problems: `tif-no-place`, `tif-control-points`, `tif-damaged`, and those of findPlacing.
 */
export function placeImage(
  directory: TiffDirectory,
  image: TiffImage,
  told: string | null,
  name: string,
): Result<Placed> {
  const keys = readGeoKeys(directory);
  const read = readAffine(directory, keys);
  if ('trouble' in read) {
    if (read.trouble === 'damaged') return fail(notWhole(name, 'damaged', 'its pixels have no size'));
    return fail(
      read.trouble === 'control-points'
        ? stop(
            'tif-control-points',
            `${name} is tied to the ground by control points only, which is not read.`,
            'Bring it onto a map grid first (gdalwarp).',
            { file: name },
          )
        : stop(
            'tif-no-place',
            `${name} is a picture without a position on the ground.`,
            'Export it as a GeoTIFF with its position and coordinate system inside.',
            { file: name },
          ),
    );
  }
  const { affine, points } = read;
  const corners = [
    [0, 0],
    [image.width, 0],
    [0, image.height],
    [image.width, image.height],
  ].map(([col = 0, row = 0]) => toPlane(affine, col, row));
  const xs = corners.map(([x]) => x);
  const ys = corners.map(([, y]) => y);
  // Half a pixel past the poles or the date line is how grids of whole degrees are written.
  const slack = (value: number, limit: number, size: number) =>
    Math.abs(value) > limit && Math.abs(value) <= limit + Math.abs(size) ? Math.sign(value) * limit : value;
  const placing = findPlacing({
    file: name,
    extent: [
      slack(Math.min(...xs), 180, affine.a),
      slack(Math.min(...ys), 90, affine.e),
      slack(Math.max(...xs), 180, affine.a),
      slack(Math.max(...ys), 90, affine.e),
    ],
    insideRead: crsInside(keys, name),
    told: told ?? undefined,
  });
  if (!placing.ok) return fail(...placing.problems.map(askForCrs));
  return ok({ affine, points, placing: placing.value }, placing.problems.map(askForCrs));
}

function crsInside(keys: GeoKeys, name: string): Result<Crs> | undefined {
  const keyed = crsOfKeys(keys);
  switch (keyed.how) {
    case 'none':
      return undefined;
    case 'code':
      return parseCrs(keyed.code, name);
    case 'text':
      return parseCrs(keyed.text, name);
    case 'definition':
      return crsOfDefinition(keyed.definition, keyed.name, keyed.datum, name);
    case 'unknown':
      return fail(
        stop('crs-unreadable', `The coordinate system of ${name} cannot be read.`, '', { file: name }, keyed.detail),
      );
  }
}

/** A raster has no .prj beside it, and what it is told stands with it in the plan. */
function askForCrs(problem: Problem): Problem {
  return problem.severity === 'stop' && problem.code.startsWith('crs-')
    ? {
        ...problem,
        remedy:
          'Say which coordinate system it is in (such as EPSG:32615) where the raster is named, or save it again in EPSG:4326.',
      }
    : problem;
}
