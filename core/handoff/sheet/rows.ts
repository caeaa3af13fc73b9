import type { RatesSettings } from '../../rates/settings.ts';
import type { ZoneRate } from '../../rates/types.ts';
import type { Zone } from '../../zones/types.ts';
import { isWritten } from '../pieces.ts';
import type { Piece, Prescription } from '../types.ts';
import type { SheetInput } from './types.ts';

/** One zone in one pass, as its pieces in the files have it. */
export interface ZoneRow {
  readonly zone: Zone;
  readonly given: ZoneRate;
  /** Null where the zone is in no file. */
  readonly rates_lbPerAc: readonly number[] | null;
  /** All products together; 0 where it is in no file. */
  readonly rate_lbPerAc: number;
  readonly acres: number;
  /** One a product. */
  readonly pounds: readonly number[];
  readonly why: string;
}

/** The rows of a pass, in the zones' order. Where records are cells, acres and rates are the zone's own: what it asks; pounds are of the cells that name it. */
export function rowsOf(input: SheetInput, prescription: Prescription): readonly ZoneRow[] {
  const products = prescription.totals.byProduct.length;
  return input.zones.zones.flatMap((zone) => {
    const given = input.rates.zones.find(({ key }) => key === zone.key);
    if (!given) return [];
    const pieces = prescription.pieces.filter(({ zoneKey }) => zoneKey === zone.key);
    const rates = isWritten(zone, input.settings.holdBack)
      ? ratesOf(input, prescription, given, pieces[0]).slice(0, products)
      : null;
    const pounds = Array.from({ length: products }, (_, index) =>
      pieces.reduce(
        (sum, { acres, ...piece }) => sum + acres * (index === 0 ? piece.rate_lbPerAc : piece.second_lbPerAc),
        0,
      ),
    );
    return [
      {
        zone,
        given,
        rates_lbPerAc: rates,
        rate_lbPerAc: (rates ?? []).reduce((sum, rate) => sum + rate, 0),
        acres:
          input.handoff.cells === null && pieces.length > 0
            ? pieces.reduce((sum, piece) => sum + piece.acres, 0)
            : zone.acres,
        pounds,
        why: whyOf(zone, given, input.ratesSettings).replace(
          'of pounds',
          input.settings.rateUnit === 'kg/ha' ? 'of kilograms' : 'of pounds',
        ),
      },
    ];
  });
}

/** A zone's rates, one a product: as its records have them, or, where records are cells over several zones, as the rates stage gave them. */
function ratesOf(
  { handoff, rates }: SheetInput,
  { pass }: Prescription,
  given: ZoneRate,
  piece: Piece | undefined,
): readonly number[] {
  if (handoff.cells === null && piece) return [piece.rate_lbPerAc, piece.second_lbPerAc];
  const at = rates.totals.byPass.findIndex(({ name }) => name === pass);
  return [0, 1].map((product) => (given.withheld ? 0 : (given.products[product]?.rates_lbPerAc[at] ?? 0)));
}

/** Why a zone gets what it gets, in the trade's words. */
export function whyOf(zone: Zone, given: ZoneRate, plan: RatesSettings): string {
  if (zone.role === 'keep out') return 'to keep out, by its role';
  if (given.override) return 'typed by hand';
  if (zone.role === 'hold back') return 'held back, by its role';
  if (given.withheld) return 'withheld: no rate could be worked out';
  const own = plan.zones[zone.key] ?? {};
  if (own.off === true) return 'turned off by choice';
  if (plan.follows !== null) return 'by the published guide';
  const { k_ppm, kSat_pct } = given.reading;
  const pounds = k_ppm < (own.floor_ppm ?? plan.floor_ppm);
  const share = kSat_pct < (own.floor_pct ?? plan.floor_pct);
  if (pounds && share) return 'short of both';
  if (pounds) return 'short of pounds';
  if (share) return 'short of share';
  return kSat_pct > (own.rangeTop_pct ?? plan.rangeTop_pct) ? 'above the range' : 'enough; crop line only';
}
