import { KG_PER_LB, M2_PER_ACRE } from '../base/units.ts';
import { columnsOf, passBase, rateFactor, roundTo } from './columns.ts';
import type { FilesInput } from './files.ts';
import type { Piece, Prescription } from './types.ts';

/**
 * The plain text beside the files, CRLF: which file is which pass, what each pass covers, spreads on and loads, what a person decided by
 * hand, and what each column is. Inside the zip of one pass (`own`, from 0) its first lines say which pass that is.
 */
export function columnsText(input: FilesInput, own: number | null): string {
  const { prescriptions, rateUnit, product } = input;
  const several = prescriptions.length > 1;
  const mine = own === null ? undefined : prescriptions[own];
  const columns = columnsOf(rateUnit);
  const notes = [
    ...new Set(prescriptions.flatMap((one) => one.pieces.filter((piece) => piece.note !== '').map(noteLine))),
  ];
  return [
    `Prescription for ${input.planName}`,
    ...(own !== null && mine && several
      ? [`This zip is pass ${own + 1} of ${prescriptions.length}, ${mine.pass}.`]
      : []),
    `Product ${product}, rate in ${rateUnit}. Coordinates: WGS84 longitude and latitude (EPSG:4326).`,
    '',
    ...prescriptions.flatMap((one, index) => passLines(input, one, index)),
    ...(several
      ? ['Each pass covers the whole field: ground that a pass leaves out stands in its file at rate 0.', '']
      : []),
    ...(notes.length > 0 ? ['By hand', ...notes, ''] : []),
    `${'shapefile'.padEnd(12)}${'GeoJSON'.padEnd(20)}what it is`,
    ...columns.map((column) => `${column.name.padEnd(12)}${column.property.padEnd(20)}${column.what}`),
    '',
    'Check the unit on the controller before spreading. Ground outside every polygon is not to be spread.',
    'Rates are decision support: local rules, the product label and a licensed or certified adviser come first.',
    '',
  ].join('\r\n');
}

function passLines(input: FilesInput, { pass, pieces, totals }: Prescription, index: number): string[] {
  const metric = input.rateUnit === 'kg/ha';
  const factor = rateFactor(input.rateUnit);
  const rates = pieces.map((piece) => piece.rate_lbPerAc * factor).filter((rate) => rate > 0);
  const spread_ac = pieces.reduce((sum, piece) => sum + (piece.rate_lbPerAc > 0 ? piece.acres : 0), 0);
  const least = roundTo(Math.min(...rates), 2);
  const most = roundTo(Math.max(...rates), 2);
  const area = (acres: number): string =>
    metric ? `${(acres * HA_PER_ACRE).toFixed(2)} ha` : `${acres.toFixed(2)} ac`;
  const load = metric
    ? `${(totals.product_lb * KG_PER_LB).toFixed(0)} kg = ${((totals.product_lb * KG_PER_LB) / 1000).toFixed(2)} metric tons`
    : `${totals.product_lb.toFixed(0)} lb = ${totals.product_tons.toFixed(2)} short tons`;
  const base = passBase(input.base, input.prescriptions.length, index);
  return [
    `Pass ${index + 1}, ${pass}: ${base}.zip, ${base}.geojson, shapefile/${base}.shp`,
    rates.length === 0
      ? `  covers ${area(totals.acres)}, spreads on none of it`
      : `  covers ${area(totals.acres)}, spreads on ${area(spread_ac)} at ${least === most ? least : `${least} to ${most}`} ${input.rateUnit}`,
    `  to load: ${load} of ${input.product}`,
    '',
  ];
}
const HA_PER_ACRE = M2_PER_ACRE / 10_000;

const noteLine = (piece: Piece): string => `  zone ${piece.letter}: ${piece.note}`;
