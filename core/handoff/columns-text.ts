import { KG_PER_LB, M_PER_FT, M2_PER_ACRE } from '../base/units.ts';
import { columnsOf, passBase, rateFactor, roundTo } from './columns.ts';
import type { FilesInput } from './files.ts';
import type { Piece, Prescription, ProductTotal } from './types.ts';

/**
 * The plain text beside the files, CRLF: which file is which pass, what each pass covers, spreads on and loads, what a person decided by
 * hand, what ground was left out, and what each column is. Inside the zip of one pass (`own`, from 0) its first lines say which pass that is.
 */
export function columnsText(input: FilesInput, own: number | null): string {
  const { prescriptions, rateUnit, products } = input;
  const several = prescriptions.length > 1;
  const mine = own === null ? undefined : prescriptions[own];
  const columns = columnsOf(rateUnit, products.length);
  const notes = [
    ...new Set(prescriptions.flatMap((one) => one.pieces.filter((piece) => piece.note !== '').map(noteLine))),
  ];
  return [
    `Prescription for ${input.planName}`,
    ...(own !== null && mine && several
      ? [`This zip is pass ${own + 1} of ${prescriptions.length}, ${mine.pass}.`]
      : []),
    products.length > 1
      ? `Products ${products.join(' (RATE) and ')} (RATE_2), rates in ${rateUnit}. Coordinates: WGS84 longitude and latitude (EPSG:4326).`
      : `Product ${products[0] ?? ''}, rate in ${rateUnit}. Coordinates: WGS84 longitude and latitude (EPSG:4326).`,
    '',
    ...prescriptions.flatMap((one, index) => passLines(input, one, index)),
    ...(several
      ? [
          `Each pass covers the whole field${input.keptOut.length > 0 ? ' but what is left out below' : ''}: ground that a pass leaves out stands in its file at rate 0.`,
          '',
        ]
      : []),
    ...leftOut(input),
    ...(notes.length > 0 ? ['By hand', ...notes, ''] : []),
    `${'shapefile'.padEnd(12)}${'GeoJSON'.padEnd(20)}what it is`,
    ...columns.map((column) => `${column.name.padEnd(12)}${column.property.padEnd(20)}${column.what}`),
    '',
    ...(products.length > 1
      ? ['Two products: set each on the channel of its own column, and look that neither is read for the other.']
      : []),
    'Check the unit on the controller before spreading. Ground outside every polygon is not to be spread.',
    'Rates are decision support, and soil tests vary with season and laboratory: local rules, the product label and a licensed or certified adviser come first.',
    'Not on frozen, snow-covered or saturated ground; keep from water, wells and sinkholes what the local code asks, and mind slopes.',
    'Much K on grazed ground can bring grass tetany. Mind dust, the spinner and the road.',
    '',
  ].join('\r\n');
}

/** The ground that is in no file by the role of its zone. */
function leftOut({ keptOut, rateUnit }: FilesInput): string[] {
  if (keptOut.length === 0) return [];
  const lines = keptOut.map(({ letter, acres }) => `  zone ${letter}: ${areaText(acres, rateUnit === 'kg/ha')}`);
  return ["Left out, to keep out by the zone's role: no polygon lies there, and nothing is to be spread", ...lines, ''];
}

const areaText = (acres: number, metric: boolean): string =>
  metric ? `${(acres * HA_PER_ACRE).toFixed(2)} ha` : `${acres.toFixed(2)} ac`;

function passLines(input: FilesInput, { pass, pieces, totals }: Prescription, index: number): string[] {
  const metric = input.rateUnit === 'kg/ha';
  const area = (acres: number): string => areaText(acres, metric);
  const base = passBase(input.base, input.prescriptions.length, index);
  const several = input.products.length > 1;
  const lines = totals.byProduct.flatMap((load, at) => {
    const of = pieces.map((piece) => ({
      acres: piece.acres,
      rate: at === 0 ? piece.rate_lbPerAc : piece.second_lbPerAc,
    }));
    const rates = of.map(({ rate }) => rate * rateFactor(input.rateUnit)).filter((rate) => rate > 0);
    const spread_ac = of.reduce((sum, { acres, rate }) => sum + (rate > 0 ? acres : 0), 0);
    const least = roundTo(Math.min(...rates), 2);
    const most = roundTo(Math.max(...rates), 2);
    const on =
      rates.length === 0
        ? 'spreads on none of it'
        : `spreads on ${area(spread_ac)} at ${least === most ? least : `${least} to ${most}`} ${input.rateUnit}`;
    return [
      several ? `  ${load.product}: ${on}` : `  covers ${area(totals.acres)}, ${on}`,
      `  to load: ${loadText(load, metric)} of ${load.product}`,
    ];
  });
  return [
    `Pass ${index + 1}, ${pass}: ${base}.zip, ${base}.geojson, shapefile/${base}.shp`,
    ...(several ? [`  covers ${area(totals.acres)}`] : []),
    ...lines,
    '',
  ];
}

/** Pounds and tons, and the room they take where somebody weighed the product. */
function loadText({ product_lb, product_tons, cubicFeet }: ProductTotal, metric: boolean): string {
  const kg = product_lb * KG_PER_LB;
  const load = metric
    ? `${kg.toFixed(0)} kg = ${(kg / 1000).toFixed(2)} metric tons`
    : `${product_lb.toFixed(0)} lb = ${product_tons.toFixed(2)} short tons`;
  if (cubicFeet === null) return load;
  const room = metric ? `${(cubicFeet * M3_PER_FT3).toFixed(1)} m3` : `${cubicFeet.toFixed(0)} cubic feet`;
  return `${load}, ${room} by the density as weighed,`;
}
const M3_PER_FT3 = M_PER_FT ** 3;
const HA_PER_ACRE = M2_PER_ACRE / 10_000;

const noteLine = (piece: Piece): string => `  zone ${piece.letter}: ${piece.note}`;
