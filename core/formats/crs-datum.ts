import { caution, type Problem } from '../base/problem.ts';

/**
 * Datums that lie within about 2 m of WGS84, so that no shift is needed for a field. Names are compared without case,
 * spaces and punctuation. Source: EPSG Geodetic Parameter Dataset, transformations to WGS 84 that are null.
 */
const SAME_AS_WGS84 = [
  /^wgs(19)?84/,
  /^worldgeodeticsystem1984/,
  /^nad(19)?83/,
  /^northamerican(datum)?(of)?1983/,
  /^etrs(19)?89/,
  /^europeanterrestrialreferencesystem(of)?1989/,
  /^gda(1994|94|2020)/,
  /^geocentricdatumofaustralia(1994|2020)/,
  /^nzgd2000/,
  /^newzealandgeodeticdatum2000/,
  /^sirgas/,
  /^sistemadereferenciageocentrico/,
  /^itrf/,
  /^igs\d/,
  /^rgf(19)?93/,
  /^reseaugeodesiquefrancais1993/,
  /^jgd(2000|2011)/,
  /^japan(ese)?geodeticdatum20(00|11)/,
  /^cgcs2000/,
  /^china2000/,
  /^hartebeesthoek94/,
  /^irenet95/,
  /^magnasirgas|^marcogeocentriconacional/,
  /^posgar/,
  /^korea2000|^geocentricdatumofkorea/,
];

/**
 * How far off a position is when the datum is taken for WGS84, in metres. NAD27: 10 to 100 in the 48 states by NADCON;
 * the others measured against GDAL 3.6 with its own shifts.
 */
const ERRORS: readonly (readonly [RegExp, string])[] = [
  [/^(nad(19)?27|northamerican(datum)?(of)?1927)/, '10 to 100 m'],
  [/^(dhdn|deutscheshauptdreiecksnetz)/, '150 m'],
  [/^(amersfoort|rdnew)/, '110 m'],
  [/^campoinchauspe/, '100 m'],
  [/^(ed50|european(datum)?(of)?1950)/, '100 to 150 m'],
  [/^pulkovo/, '150 m'],
  [/^tokyo/, '450 m'],
];

/**
 * A caution where positions stay on another datum than WGS84, with the size of the error; null where that is no matter.
 * `shiftKnown`: the definition or the projection library brings the shift along.
 */
export function datumProblem(datum: string, shiftKnown: boolean, file: string | undefined): Problem | null {
  if (shiftKnown) return null;
  const key = datum
    .toLowerCase()
    .replace(/^d_/, '')
    .replace(/[^a-z0-9]/g, '');
  if (SAME_AS_WGS84.some((same) => same.test(key))) return null;
  const size = ERRORS.find(([pattern]) => pattern.test(key))?.[1];
  const words = datum.replace(/^D_/, '').replaceAll('_', ' ');
  return caution(
    'crs-datum',
    size === undefined
      ? `The coordinates are on the datum "${words}" and no shift to WGS84 is given: they may be off by some hundred metres.`
      : `The coordinates are on the datum "${words}" and no shift to WGS84 is given: they are off by about ${size}.`,
    'Export the file again in WGS84 (EPSG:4326), and compare its place with a file that is known to be right.',
    file === undefined ? undefined : { file },
  );
}
