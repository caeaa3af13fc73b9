import { KG_PER_LB, M_PER_FT, M2_PER_ACRE } from '../base/units.ts';
import { columnsOf } from './columns.ts';
import { rateFactor, roundTo } from './figures.ts';
import type { FilesInput } from './files.ts';
import { type FileSet, rateOf } from './sets.ts';
import type { LoadLine, Piece, Prescription, ProductTotal } from './types.ts';

/**
 * The plain text beside the files, CRLF: which file is which pass, what each pass covers, spreads on and loads, what a person decided by
 * hand, what ground was left out, and what each column is. Inside the zip of one set (`own`, from 0) its first lines say which that is.
 */
export function columnsText(input: FilesInput, own: number | null): string {
  const { sets, products, leftOut: out } = input;
  const unit = input.settings.rateUnit;
  const passes = passesOf(sets);
  const shown = own === null ? sets : sets.slice(own, own + 1);
  const notes = [...new Set(passes.flatMap(({ one }) => one.pieces.filter(({ note }) => note !== '').map(noteLine)))];
  const apart = new Set(sets.map(({ numbers }) => numbers.join())).size > 1;
  return [
    `Prescription for ${input.planName}`,
    ...(own === null ? [] : whichZip(input, own, passes.length)),
    productsLine(input),
    '',
    ...passes.flatMap(({ one, number }) => passLines(input, one, number)),
    ...(apart
      ? [
          `Each pass covers the whole field${out.length > 0 ? ' but what is left out below' : ''}: ground that a pass leaves out stands in its file at rate 0.`,
          '',
        ]
      : []),
    ...leftOut(input),
    ...(notes.length > 0 ? ['By hand', ...notes, ''] : []),
    ...cellLines(input),
    ...loadLines(input),
    ...columnLines(shown, unit),
    '',
    ...(sets.some(({ channels }) => channels.length > 1)
      ? [
          products.length > 1 && input.settings.products === 'columns'
            ? 'Two products: set each on the channel of its own column, and look that neither is read for the other.'
            : 'Several rate columns: set the one of the pass that is driven, and look that no other is read for it.',
        ]
      : []),
    ...beyond(input),
    'Rates are decision support, and soil tests vary with season and laboratory: local rules, the product label and a licensed or certified adviser come first.',
    'Not on frozen, snow-covered or saturated ground; keep from water, wells and sinkholes what the local code asks, and mind slopes.',
    'Much K on grazed ground can bring grass tetany. Mind dust, the spinner and the road.',
    '',
  ].join('\r\n');
}

interface PassOf {
  readonly number: number;
  readonly one: Prescription;
}
const passesOf = (sets: readonly FileSet[]): PassOf[] => {
  const found = new Map<number, Prescription>();
  for (const { numbers, passes } of sets)
    numbers.forEach((number, i) => {
      const one = passes[i];
      if (one && !found.has(number)) found.set(number, one);
    });
  return [...found].map(([number, one]) => ({ number, one }));
};

function whichZip({ sets, products, settings }: FilesInput, own: number, passes: number): string[] {
  const set = sets[own];
  const [pass] = set?.passes ?? [];
  if (!set || !pass || sets.length < 2) return [];
  const ofPass =
    set.passes.length === 1 && passes > 1 ? [`pass ${(set.numbers[0] ?? 0) + 1} of ${passes}, ${pass.pass}`] : [];
  const ofProduct =
    settings.products === 'files' && products.length > 1 ? [`product ${set.channels[0]?.productName}`] : [];
  return [`This zip is ${[...ofPass, ...ofProduct].join(', ')}.`];
}

function productsLine({ sets, products, settings }: FilesInput): string {
  const where = 'Coordinates: WGS84 longitude and latitude (EPSG:4326).';
  const columns = (product: number): string =>
    [
      ...new Set(
        sets.flatMap(({ channels }) => channels.filter((one) => one.product === product).map((one) => one.column)),
      ),
    ].join(', ');
  if (products.length > 1)
    return `Products ${products.map((name, at) => `${name} (${columns(at)})`).join(' and ')}, rates in ${settings.rateUnit}. ${where}`;
  return `Product ${products[0] ?? ''}, rate in ${settings.rateUnit}. ${where}`;
}

/** The ground that is in no file by the role of its zone. */
function leftOut({ leftOut: out, settings: { rateUnit } }: FilesInput): string[] {
  const lines = (role: string): string[] =>
    out
      .filter((zone) => zone.role === role)
      .map(({ letter, acres }) => `  zone ${letter}: ${areaText(acres, rateUnit === 'kg/ha')}`);
  const [kept, held] = [lines('keep out'), lines('hold back')];
  return [
    ...(kept.length > 0
      ? ["Left out, to keep out by the zone's role: no polygon lies there, and nothing is to be spread", ...kept, '']
      : []),
    ...(held.length > 0
      ? ["Left out, held back by the zone's role: no polygon lies there, and nothing is to be spread", ...held, '']
      : []),
  ];
}

function cellLines({ cells, settings: { rateUnit } }: FilesInput): string[] {
  if (!cells) return [];
  const metric = rateUnit === 'kg/ha';
  const length = (m: number): string => (metric ? `${m.toFixed(1)} m` : `${(m / M_PER_FT).toFixed(0)} ft`);
  return [
    `A record is a cell along the way of driving, ${cells.heading_deg.toFixed(1)} degrees from north: ${length(cells.swath_m)} across, ${length(cells.length_m)} along.`,
    '',
  ];
}

function loadLines({ loads, settings: { rateUnit } }: FilesInput): string[] {
  if (loads.length === 0) return [];
  const metric = rateUnit === 'kg/ha';
  const tons = (short: number): string => (metric ? `${(short * T_PER_TON).toFixed(2)} t` : `${short.toFixed(2)} tons`);
  const line = ({ pass, product, full, last_tons, hopper_tons, acresPerLoad }: LoadLine): string =>
    `  ${pass}, ${product}: ${full} of ${tons(hopper_tons)}${last_tons > 0 ? ` and one of ${tons(last_tons)}` : ''}, a full one for ${areaText(acresPerLoad, metric)}`;
  return ['Loads', ...loads.map(line), ''];
}

/** The columns of a set; of several sets alike in all but their pass or product, once. */
function columnLines(sets: readonly FileSet[], unit: 'lb/ac' | 'kg/ha'): string[] {
  const [first] = sets;
  if (!first) return [];
  return [
    `${'shapefile'.padEnd(12)}${'GeoJSON'.padEnd(20)}what it is`,
    ...columnsOf(first, unit).map(({ name, property, what }) => `${name.padEnd(12)}${property.padEnd(20)}${what}`),
  ];
}

function beyond({ settings: { outside_lbPerAc, noPosition_lbPerAc, rateUnit }, products, sets }: FilesInput): string[] {
  const rate = (lbPerAc: number): string => `${roundTo(lbPerAc * rateFactor(rateUnit), 2)} ${rateUnit}`;
  const passes = passesOf(sets).length;
  return [
    outside_lbPerAc > 0
      ? `Check the unit on the controller before spreading. Outside every polygon ${rate(outside_lbPerAc)} of ${products[0] ?? ''} is to be spread, as was decided: set it on the controller.`
      : 'Check the unit on the controller before spreading. Ground outside every polygon is not to be spread.',
    `Where the machine has lost its position: ${rate(noPosition_lbPerAc)}. Set it on the controller; a shapefile or GeoJSON cannot say it.`,
    ...(passes > 1 && (outside_lbPerAc > 0 || noPosition_lbPerAc > 0)
      ? ['In the first pass alone: set both to 0 for every other pass, or it is spread as often as is driven.']
      : []),
  ];
}

const areaText = (acres: number, metric: boolean): string =>
  metric ? `${(acres * HA_PER_ACRE).toFixed(2)} ha` : `${acres.toFixed(2)} ac`;

function passLines(input: FilesInput, { pass, pieces, totals }: Prescription, number: number): string[] {
  const { rateUnit, files } = input.settings;
  const metric = rateUnit === 'kg/ha';
  const area = (acres: number): string => areaText(acres, metric);
  const several = input.products.length > 1;
  const own = input.sets.filter(({ numbers }) => numbers.includes(number));
  const paths = own.flatMap(({ base }) => [
    ...(files.shapefile ? [`${base}.zip`] : []),
    ...(files.geojson ? [`${base}.geojson`] : []),
    ...(files.loose ? [`shapefile/${base}.shp`] : []),
  ]);
  const task = input.taskData ? [input.taskData.out.path] : [];
  const columns = own.flatMap(({ channels, numbers, base }) =>
    channels
      .filter((channel) => numbers[channel.pass] === number)
      .map(({ column, productName }) => ({ column, productName, base })),
  );
  const shared = own.some(({ passes }) => passes.length > 1);
  const lines = totals.byProduct.flatMap((load, at) => {
    const of = pieces.map((piece) => ({ acres: piece.acres, rate: rateOf(piece, at) }));
    const spread_ac = of.reduce((sum, { acres, rate }) => sum + (rate > 0 ? acres : 0), 0);
    let least = Infinity;
    let most = 0;
    for (const { rate } of of) {
      if (rate <= 0) continue;
      least = Math.min(least, rate);
      most = Math.max(most, rate);
    }
    const told = (rate: number): number => roundTo(rate * rateFactor(rateUnit), 2);
    const on =
      most === 0
        ? 'spreads on none of it'
        : `spreads on ${area(spread_ac)} at ${least === most ? told(least) : `${told(least)} to ${told(most)}`} ${rateUnit}`;
    return [
      several ? `  ${load.product}: ${on}` : `  covers ${area(totals.acres)}, ${on}`,
      `  to load: ${loadText(load, metric)} of ${load.product}`,
    ];
  });
  return [
    `Pass ${number + 1}, ${pass}: ${[...paths, ...task].join(', ')}`,
    ...(several ? [`  covers ${area(totals.acres)}`] : []),
    ...(shared ? columns.map(({ column, productName }) => `  column ${column}: ${productName}`) : []),
    ...(input.settings.products === 'files' && several
      ? columns.map(({ base, productName }) => `  files ${base}: ${productName}`)
      : []),
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
/** Metric tons of a short ton. */
const T_PER_TON = (2000 * KG_PER_LB) / 1000;

const noteLine = (piece: Piece): string => `  zone ${piece.letter}: ${piece.note}`;
