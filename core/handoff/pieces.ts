import { toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import type { RatesOut, ZoneRate } from '../rates/types.ts';
import type { Zone, ZonesOut } from '../zones/types.ts';
import type { HandoffSettings } from './settings.ts';
import type { Piece, Prescription, Totals } from './types.ts';

/** What a pass costs per ton of product and per acre it covers, in dollars. */
export interface Prices {
  readonly price_perTon: number;
  readonly charge_perAc: number;
}

/**
 * One prescription for each pass that spreads anything; the first pass alone when none does, so that a field which
 * needs nothing still gives a file that says 0. Every zone is in every pass: ground without product reads 0.
 */
export function prescriptionsOf(
  zones: ZonesOut,
  rates: RatesOut,
  settings: HandoffSettings,
  prices: Prices,
): Prescription[] {
  const byKey = new Map(rates.zones.map((rate) => [rate.key, rate]));
  const names = passNames(rates);
  const all = names.map((pass, index) => {
    const pieces = zones.zones.flatMap((zone) => piecesOf(zone, byKey.get(zone.key), index, settings.parts));
    return { pass, pieces, totals: totalsOf(pieces, prices) };
  });
  const spreading = all.filter((prescription) => prescription.pieces.some((piece) => piece.rate_lbPerAc > 0));
  return spreading.length > 0 ? spreading : all.slice(0, 1);
}

function passNames(rates: RatesOut): string[] {
  const names = rates.totals.byPass.map((pass) => pass.name);
  return names.length > 0 ? names : ['before the season'];
}

function piecesOf(zone: Zone, rate: ZoneRate | undefined, pass: number, parts: HandoffSettings['parts']): Piece[] {
  if (!rate) throw new Error(`zone ${zone.key} has no rate`);
  const given = rate.passes[pass];
  const groups = parts === 'apart' ? zone.polygons.map((polygon) => [polygon]) : [zone.polygons];
  return groups.map((polygons) => ({
    zoneKey: zone.key,
    letter: zone.letter,
    polygons,
    acres: toAcres(area_m2(polygons)),
    rate_lbPerAc: rate.withheld ? 0 : (given?.rate_lbPerAc ?? 0),
    k2o_lbPerAc: rate.withheld ? 0 : (given?.k2o_lbPerAc ?? 0),
    k_ppm: rate.reading.k_ppm,
    kSat_pct: rate.reading.kSat_pct,
    cec_meq: rate.reading.cec_meq,
    note: noteOf(rate),
  }));
}

/** What a person at the spreader should know of the zone's rate; cut to 120 characters by the table. */
export function noteOf(rate: ZoneRate): string {
  if (rate.withheld) return 'no rate could be worked out: written as 0';
  if (!rate.override) return '';
  const { rate_lbPerAc, who, when, why } = rate.override;
  return `${rate_lbPerAc} lb/ac by hand${[who, when]
    .filter((part) => part !== '')
    .map((part) => `, ${part}`)
    .join('')}: ${why}`;
}

/** Acres, pounds, tons and dollars of some pieces: product at its price, and the pass's charge where anything is spread. */
export function totalsOf(pieces: readonly Piece[], prices: Prices): Totals {
  let acres = 0;
  let product_lb = 0;
  let spread_ac = 0;
  for (const piece of pieces) {
    acres += piece.acres;
    product_lb += piece.acres * piece.rate_lbPerAc;
    if (piece.rate_lbPerAc > 0) spread_ac += piece.acres;
  }
  const product_tons = product_lb / 2000;
  return {
    acres,
    product_lb,
    product_tons,
    cost: product_tons * prices.price_perTon + spread_ac * prices.charge_perAc,
  };
}

/** The passes' totals together; acres are the field's, not counted once per pass. */
export function addTotals(totals: readonly Totals[]): Totals {
  return totals.reduce<Totals>(
    (sum, one) => ({
      acres: Math.max(sum.acres, one.acres),
      product_lb: sum.product_lb + one.product_lb,
      product_tons: sum.product_tons + one.product_tons,
      cost: sum.cost + one.cost,
    }),
    { acres: 0, product_lb: 0, product_tons: 0, cost: 0 },
  );
}
