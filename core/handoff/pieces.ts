import { LB_PER_SHORT_TON, toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import { cubicFeet } from '../rates/product.ts';
import type { ProductChoice, RatesSettings } from '../rates/settings.ts';
import type { RatesOut, ZoneRate } from '../rates/types.ts';
import type { Zone, ZonesOut } from '../zones/types.ts';
import type { HandoffSettings } from './settings.ts';
import type { Piece, Prescription, ProductTotal, Totals } from './types.ts';

/** What is loaded, and what a pass costs per acre it spreads on, in dollars. */
export interface Loads {
  /** One or two, the plan's first product first, with blends worked out. */
  readonly products: readonly Pick<ProductChoice, 'name' | 'price_perTon' | 'density_lbPerFt3'>[];
  readonly charge_perAc: number;
}

/**
 * One prescription for each pass that spreads anything; the first pass alone when none does, so that a field which
 * needs nothing still gives a file that says 0. Every zone is in every pass: ground without product reads 0; but a zone whose role is
 * to keep out, or to hold back where those are left out, is in none.
 */
export function prescriptionsOf(
  zones: ZonesOut,
  rates: RatesOut,
  settings: HandoffSettings,
  loads: Loads,
  choices: RatesSettings['zones'] = {},
): Prescription[] {
  const byKey = new Map(rates.zones.map((rate) => [rate.key, rate]));
  const names = passNames(rates);
  const all = names.map((pass, index) => {
    const pieces = zones.zones
      .filter((zone) => isWritten(zone, settings.holdBack))
      .flatMap((zone) =>
        piecesOf(zone, byKey.get(zone.key), index, settings.parts, offText(zone, choices[zone.key]?.off === true)),
      );
    return { pass, pieces, totals: totalsOf(pieces, loads) };
  });
  const spreading = all.filter((prescription) => prescription.pieces.some(spreads));
  return spreading.length > 0 ? spreading : all.slice(0, 1);
}

/** Whether a zone has a place in the files: no, where its role is to keep out, or to hold back and such zones are left out. */
export const isWritten = ({ role }: Pick<Zone, 'role'>, holdBack: HandoffSettings['holdBack']): boolean =>
  role !== 'keep out' && !(role === 'hold back' && holdBack === 'left out');

/** True where the pass puts anything on the piece. */
export const spreads = (piece: Piece): boolean => piece.rate_lbPerAc > 0 || piece.second_lbPerAc > 0;

function passNames(rates: RatesOut): string[] {
  const names = rates.totals.byPass.map((pass) => pass.name);
  return names.length > 0 ? names : ['before the season'];
}

function piecesOf(
  zone: Zone,
  rate: ZoneRate | undefined,
  pass: number,
  parts: HandoffSettings['parts'],
  off: string,
): Piece[] {
  if (!rate) throw new Error(`zone ${zone.key} has no rate`);
  const given = rate.passes[pass];
  const groups = parts === 'apart' ? zone.polygons.map((polygon) => [polygon]) : [zone.polygons];
  return groups.map((polygons) => ({
    zoneKey: zone.key,
    letter: zone.letter,
    polygons,
    acres: toAcres(area_m2(polygons)),
    rate_lbPerAc: rate.withheld ? 0 : (rate.products[0]?.rates_lbPerAc[pass] ?? 0),
    second_lbPerAc: rate.withheld ? 0 : (rate.products[1]?.rates_lbPerAc[pass] ?? 0),
    k2o_lbPerAc: rate.withheld ? 0 : (given?.k2o_lbPerAc ?? 0),
    k_ppm: rate.reading.k_ppm,
    kSat_pct: rate.reading.kSat_pct,
    cec_meq: rate.reading.cec_meq,
    note: noteOf(rate, off),
  }));
}

/** Why nothing is spread on a zone by choice or by its role, `left` where it is in no file; empty where it is spread. */
export const offText = ({ role }: Pick<Zone, 'role'>, off: boolean, left = false): string => {
  if (role === 'spread') return off ? 'turned off by choice: written as 0' : '';
  return `${role}, by the zone's role: ${left ? 'left out of the files' : 'written as 0'}`;
};

/**
 * What a person at the spreader should know of the zone's rate; cut to 120 characters by the table. `off`: why nothing is spread there,
 * empty where it is spread.
 */
export function noteOf(rate: ZoneRate, off = ''): string {
  if (rate.withheld) return 'no rate could be worked out: written as 0';
  if (!rate.override) return off;
  const { rate_lbPerAc, who, when, why } = rate.override;
  return `${rate_lbPerAc} lb/ac by hand${[who, when]
    .filter((part) => part !== '')
    .map((part) => `, ${part}`)
    .join('')}: ${why}`;
}

/** Acres, pounds, tons and dollars of some pieces: each product at its price, and the pass's charge where anything is spread. */
export function totalsOf(pieces: readonly Piece[], { products, charge_perAc }: Loads): Totals {
  let acres = 0;
  let spread_ac = 0;
  const pounds = products.map(() => 0);
  for (const piece of pieces) {
    acres += piece.acres;
    if (spreads(piece)) spread_ac += piece.acres;
    for (const [index, rate] of [piece.rate_lbPerAc, piece.second_lbPerAc].entries()) {
      if (index < pounds.length) pounds[index] = (pounds[index] ?? 0) + piece.acres * rate;
    }
  }
  const byProduct = products.map((product, index) => productTotal(product, pounds[index] ?? 0));
  const money = products.reduce(
    (all, product, index) => all + (byProduct[index]?.product_tons ?? 0) * product.price_perTon,
    0,
  );
  return { acres, ...together(byProduct), cost: money + spread_ac * charge_perAc, byProduct };
}

const productTotal = (product: Loads['products'][number], product_lb: number): ProductTotal => ({
  product: product.name,
  product_lb,
  product_tons: product_lb / LB_PER_SHORT_TON,
  cubicFeet: cubicFeet(product_lb, product),
});
const together = (all: readonly ProductTotal[]): Pick<Totals, 'product_lb' | 'product_tons'> => ({
  product_lb: all.reduce((sum, one) => sum + one.product_lb, 0),
  product_tons: all.reduce((sum, one) => sum + one.product_tons, 0),
});

/** The passes' totals together; acres are the field's, not counted once per pass. */
export function addTotals(totals: readonly Totals[]): Totals {
  const byProduct = (totals[0]?.byProduct ?? []).map(({ product }, index): ProductTotal => {
    const all = totals.map((one) => one.byProduct[index]);
    const rooms = all.map((one) => one?.cubicFeet ?? null);
    const product_lb = all.reduce((sum, one) => sum + (one?.product_lb ?? 0), 0);
    return {
      product,
      product_lb,
      product_tons: product_lb / LB_PER_SHORT_TON,
      cubicFeet: rooms.some((room) => room === null) ? null : rooms.reduce<number>((sum, room) => sum + (room ?? 0), 0),
    };
  });
  return {
    acres: totals.reduce((most, one) => Math.max(most, one.acres), 0),
    ...together(byProduct),
    cost: totals.reduce((sum, one) => sum + one.cost, 0),
    byProduct,
  };
}
