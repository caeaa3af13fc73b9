import type { Problem } from '../base/problem.ts';
import type { Zone } from '../zones/types.ts';
import { type Ground, type Worked, workLedger } from './ledger.ts';
import { type ByHand, overrideOf, splitByHand } from './override.ts';
import type { Override, RatesSettings } from './settings.ts';
import { productsOf } from './spread.ts';
import { type Stop, stopsOf } from './stops.ts';
import type { ZoneGround } from './zone-history.ts';

/** A zone with its own plan, ground and account. */
export interface Account {
  readonly zone: Zone;
  readonly plan: RatesSettings;
  readonly ground: Ground;
  readonly known: ZoneGround;
  readonly worked: Worked;
}

/** Whether a zone may have its rate, and which. */
export interface Settled {
  readonly override: Override | null;
  /** True: nothing is spread here, by choice, and no rate was typed. */
  readonly off: boolean;
  readonly stops: readonly Stop[];
  /** Stops that hold, a hand-typed rate or not. */
  readonly refused: readonly Stop[];
  readonly withheld: Problem | null;
  readonly byHand: ByHand | null;
  /** One list a product, one rate a pass; null where withheld or not worked. */
  readonly rates_lbPerAc: readonly (readonly number[])[] | null;
}

/**
 * Looks whether a zone may have a rate, and gives it. A hand-typed rate stands over what keeps a rate from being worked out, and is all of
 * the first product; a zone turned off gets 0. `blocked`: why no zone may have a worked rate; null where each may.
 */
export function settle({ zone, plan, ground, worked }: Account, blocked: Problem | null): Settled {
  const override = overrideOf(plan.overrides, zone.key);
  const off = ground.off && !override;
  const governs = plan.follows === null ? plan.governs : 'ppm';
  const stops = off
    ? []
    : [...stopsOf(zone, ground, worked, plan, governs), ...(blocked ? [{ problem: blocked, byHand: true }] : [])];
  const refused = override ? stops.filter((one) => !one.byHand) : stops;
  const withheld = refused[0]?.problem ?? null;
  const byHand = override ? splitByHand(override.rate_lbPerAc, worked.caps, worked.holding.light, plan.machine) : null;
  const nothing = plan.passes.map(() => 0);
  const products = productsOf(plan);
  const typedRates = byHand ? products.map((_, index) => (index === 0 ? byHand.rates_lbPerAc : nothing)) : null;
  const given = off ? products.map(() => nothing) : (typedRates ?? worked.products_lbPerAc);
  return { override, off, stops, refused, withheld, byHand, rates_lbPerAc: withheld ? null : given };
}

/** The account once more, with what a budget leaves the zone; as it is where there is none. */
export function paidFor(account: Account, money: Ground['money']): Account {
  if (money === null) return account;
  const ground = { ...account.ground, money };
  return { ...account, ground, worked: workLedger(ground, account.plan, account.plan.governs) };
}
