import { encodeUtf8 } from '../base/text.ts';
import type { FieldSpec } from '../formats/types.ts';
import { rateFactor, roundTo } from './figures.ts';
import { type Channel, type FileSet, rateOf } from './sets.ts';
import type { Piece } from './types.ts';

type RateUnit = 'lb/ac' | 'kg/ha';

export { RATE, RATE_DECIMALS, rateFactor, roundTo } from './figures.ts';

type Value = string | number | null;

/** One column of a set of files: its name in the table, in GeoJSON, what it holds, and its value for each record. */
export interface Column extends FieldSpec {
  readonly property: string;
  readonly what: string;
  readonly values: readonly Value[];
}

/** Most bytes of a text column (dBase III). */
const WIDEST_TEXT = 254;

/**
 * The columns of a set. The first rate stands first, since some controllers take the first numeric column (common practice, no source); each
 * further rate follows with its product and pass. Widths are the usual ones, or wider where a value asks for it; a number that cannot be
 * known is null. Text over 254 bytes is cut by the table's writer, which tells it.
 */
export function columnsOf(set: FileSet, unit: RateUnit): Column[] {
  const { channels } = set;
  const pieces = set.passes[0]?.pieces ?? [];
  const several = set.passes.length > 1;
  const rates = channels.flatMap((channel, index): Column[] => {
    const last = channels[index + 1]?.pass !== channel.pass;
    const own = channels.filter(({ pass }) => pass === channel.pass);
    const mark = suffix(channel);
    const named = own[0] ? suffix(own[0]) : '';
    return [
      rateColumn(set, channel, unit),
      ...(index === 0
        ? [same(pieces, 'UNIT', 'unit', 8, `unit of ${spoken(channels.map(({ column }) => column))}`, unit)]
        : []),
      same(
        pieces,
        `PRODUCT${mark}`,
        `product${mark.toLowerCase()}`,
        40,
        channels.length > 1 ? `product that ${channel.column} is of` : 'product the rate is of',
        channel.productName,
      ),
      ...(last
        ? [
            same(
              pieces,
              `PASS${named}`,
              `pass${named.toLowerCase()}`,
              24,
              several
                ? `pass that ${spoken(own.map(({ column }) => column))} ${own.length > 1 ? 'are' : 'is'} for`
                : 'pass the rate is for',
              channel.passName,
            ),
          ]
        : []),
    ];
  });
  const text = (name: string, property: string, width: number, what: string, of: (piece: Piece) => string): Column =>
    textColumn(name, property, width, what, pieces.map(of));
  const figure = (
    name: string,
    property: string,
    width: number,
    decimals: number,
    what: string,
    of: (piece: Piece) => number,
  ): Column => numberColumn(name, property, width, decimals, what, pieces.map(of));
  return [
    ...rates,
    text('ZONE', 'zone', 8, 'letter of the zone', ({ letter }) => letter),
    figure('ACRES', 'acres', 14, 6, 'area on the WGS84 ellipsoid, acres', ({ acres }) => acres),
    ...set.passes.map((one, pass) => {
      const mark = pass === 0 ? '' : `_${pass + 1}`;
      const both = one.totals.byProduct.length > 1 ? 'of both products in' : 'in';
      return numberColumn(
        (unit === 'kg/ha' ? 'K2O_KGHA' : 'K2O_LBAC') + mark,
        (unit === 'kg/ha' ? 'k2o_kg_per_ha' : 'k2o_lb_per_ac') + mark,
        10,
        2,
        several ? `K2O ${both} the pass ${one.pass}, ${unit}` : `K2O ${both} this pass, ${unit}`,
        one.pieces.map(({ k2o_lbPerAc }) => k2o_lbPerAc * rateFactor(unit)),
      );
    }),
    figure('K_PPM', 'k_ppm', 10, 1, 'soil-test K of the zone, ppm', ({ k_ppm }) => k_ppm),
    figure('K_SAT_PCT', 'k_saturation_pct', 8, 2, 'K base saturation of the zone, %', ({ kSat_pct }) => kSat_pct),
    figure(
      'CEC_MEQ',
      'cec_meq_per_100g',
      8,
      2,
      'cation exchange capacity of the zone, meq/100 g',
      ({ cec_meq }) => cec_meq,
    ),
    text(
      'NOTE',
      'note',
      120,
      'a rate typed by hand, with who, when and why; or why ground is written as 0',
      ({ note }) => note,
    ),
  ];
}

/** `_2` of RATE_2; empty for the first. */
const suffix = ({ column }: Channel): string => column.slice('RATE'.length);
const spoken = (names: readonly string[]): string =>
  names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;

function rateColumn(set: FileSet, channel: Channel, unit: RateUnit): Column {
  const { pieces } = set.passes[channel.pass] ?? { pieces: [] };
  const [first, second] = ['first product', 'second product'];
  const which = set.channels.length === 1 ? 'product' : channel.product === 0 ? first : second;
  const what =
    set.passes.length > 1
      ? `${channel.productName} to spread in the pass ${channel.passName}, in the unit of UNIT`
      : `${which} to spread in this pass, in the unit of UNIT`;
  const values = pieces.map((piece) => rateOf(piece, channel.product) * rateFactor(unit));
  return numberColumn(channel.column, channel.property, 12, channel.decimals, what, values);
}

function numberColumn(
  name: string,
  property: string,
  width: number,
  decimals: number,
  what: string,
  exact: readonly number[],
): Column {
  let least = 0;
  let most = 0;
  const values = exact.map((value) => {
    if (!Number.isFinite(value)) return null;
    const rounded = roundTo(value, decimals);
    if (rounded < least) least = rounded;
    if (rounded > most) most = rounded;
    return rounded;
  });
  const widest = Math.max(least.toFixed(decimals).length, most.toFixed(decimals).length);
  return { name, property, kind: 'number', width: Math.max(width, widest), decimals, what, values };
}

function textColumn(name: string, property: string, width: number, what: string, values: readonly string[]): Column {
  const bytes = new Map<string, number>();
  for (const value of values) if (!bytes.has(value)) bytes.set(value, encodeUtf8(value).length);
  const widest = Math.min(
    WIDEST_TEXT,
    [...bytes.values()].reduce((a, b) => Math.max(a, b), width),
  );
  return { name, property, kind: 'text', width: widest, decimals: 0, what, values };
}

const same = (
  pieces: readonly Piece[],
  name: string,
  property: string,
  width: number,
  what: string,
  value: string,
): Column => textColumn(name, property, width, what, new Array<string>(pieces.length).fill(value));
