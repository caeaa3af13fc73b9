import { caution, fail, ok, type Problem, type Result, stop } from '../../base/problem.ts';
import { M2_PER_ACRE, squareMetres } from '../../base/units.ts';
import type { MultiPolygon } from '../../geo/types.ts';
import type { Machine } from '../../rates/machine.ts';
import { type Loads, totalsOf } from '../pieces.ts';
import type { CellSettings } from '../settings.ts';
import type { CellsOut, Piece, Prescription } from '../types.ts';
import { type Group, meltEqual } from './join.kernel.ts';
import { type Cut, cutGround } from './outlines.ts';
import { k2oOfRates, pieceOf } from './piece.ts';
import { cellRates, distinctRates, limitChange } from './rates.ts';
import { ROUNDING_SHARE, type Share, sum_m2, zonesUnder } from './under.ts';

export { longestEdgeHeading } from './heading.ts';

export interface CellsInput {
  /** Spreadable ground, less the zones that are left out. */
  readonly ground: MultiPolygon;
  readonly settings: CellSettings;
  /** What `joinEqual` compares: over all passes where they are columns of one file, so that all have the same records. */
  readonly alike: 'per pass' | 'over all passes';
  readonly machine: Machine;
  readonly loads: Loads;
}

/** Part of the ground that may lie under no zone: what rounding leaves between outlines, of a field of a tenth of an acre too. */
const BARE_SHARE = 1e-5;

/** Rates of both products in one pass, one a cell. */
interface PassRates {
  readonly first: readonly number[];
  readonly second: readonly number[];
}

/**
 * The prescriptions by zones, cut into cells along the way of driving; passes stay in order.
 *
 * Cells: `cutGround`. A cell's rates are the means by area of the zones under it, rounded for the machine (`cellRates`), then limited along
 * the rows (`limitChange`); withheld ground and ground held back count as the 0 they are written as. Readings are means by area of the ground where they are known; K2O goes
 * with the products (`k2oOfRates`). A record bears the zones under it: key and note of the one with most area, and
 * the letters of all with at least 5 %. With `joinEqual` cells that share an edge and have the same rates are one record.
 * Every pass must have the same zones in the same order, as `prescriptionsOf` gives them; anything else throws.
 *
 * Problems: those of `cutGround`; `handoff-cells-bare` stops (ground under no zone), `handoff-cells-ramp` stops (a limit under one step),
 * `handoff-cells-rates` cautions (more different rates than the controller takes).
 * Cost: cells x passes, and the overlay of zones.
 */
export function cellPrescriptions(
  prescriptions: readonly Prescription[],
  input: CellsInput,
): Result<{ prescriptions: Prescription[]; cells: CellsOut }> {
  const { ground, settings, machine, loads } = input;
  const zones = prescriptions[0]?.pieces ?? [];
  for (const { pieces } of prescriptions) {
    const same = pieces.length === zones.length && pieces.every(({ zoneKey }, i) => zoneKey === zones[i]?.zoneKey);
    if (!same) throw new Error('passes have different zones');
  }
  const { ramp_lbPerAc } = settings;
  if (ramp_lbPerAc !== null && ramp_lbPerAc < machine.step_lbPerAc) {
    const message = `A change of ${ramp_lbPerAc} lb/ac from cell to cell is less than one step of the machine, ${machine.step_lbPerAc} lb/ac.`;
    const remedy = 'Allow at least one step, or set no limit.';
    return fail(stop('handoff-cells-ramp', message, remedy, { setting: 'handoff.cells.ramp_lbPerAc' }));
  }
  const { cut, heading_deg, problems: found } = cutGround(ground, settings);
  if (!cut) return fail(...found);
  const problems: Problem[] = [...found];
  const under = zonesUnder(
    cut,
    zones.map(({ polygons }) => polygons),
  );
  const ground_m2 = cut.areas_m2.reduce((sum, m2) => sum + m2, 0);
  const bare_m2 = ground_m2 - under.reduce((sum, shares) => sum + sum_m2(shares), 0);
  if (bare_m2 > BARE_SHARE * ground_m2 || under.some((shares) => shares.length === 0)) {
    const message = `${(bare_m2 / M2_PER_ACRE).toFixed(4)} ac of the ground lie under no zone.`;
    return fail(
      ...problems,
      stop('handoff-cells-bare', message, 'Write the zones as they lie, and report the plan.', {
        setting: 'handoff.shape',
      }),
    );
  }

  const moved = new Set<number>();
  const ratesOf = ({ pieces }: Prescription, of: (piece: Piece) => number): readonly number[] => {
    const rates = cellRates(under, pieces.map(of), machine);
    if (ramp_lbPerAc === null) return rates;
    const limited = limitChange(rates, cut, ramp_lbPerAc, machine);
    limited.moved.forEach((is, cell) => {
      if (is) moved.add(cell);
    });
    return limited.rates;
  };
  const all = prescriptions.map((one): PassRates => {
    const rates = { first: ratesOf(one, firstRate), second: ratesOf(one, secondRate) };
    problems.push(...tooManyRates(one.pass, rates, machine));
    return rates;
  });
  const k2o = k2oOfRates(prescriptions);
  const perPass = settings.joinEqual && input.alike === 'per pass';
  const common = perPass ? [] : groupsOf(cut, settings.joinEqual ? all : null);
  const out = prescriptions.map((one, pass): Prescription => {
    const own = all[pass] ?? { first: [], second: [] };
    const groups = perPass ? groupsOf(cut, [own]) : common;
    const pieces = groups.map((group) =>
      pieceOf(
        group,
        group.cells.map((cell) => ({
          under: under[cell] ?? [],
          rate_lbPerAc: own.first[cell] ?? 0,
          second_lbPerAc: own.second[cell] ?? 0,
        })),
        one.pieces,
        k2o,
      ),
    );
    return { pass: one.pass, pieces, totals: totalsOf(pieces, loads) };
  });
  const cells: CellsOut = {
    heading_deg,
    from: settings.heading_deg === null ? 'longest edge' : 'told',
    swath_m: settings.swath_m,
    length_m: settings.length_m,
    cells: cut.cells.length,
    slivers: cut.slivers,
    mixed: under.filter((shares) => isMixed(shares, zones)).length,
    ramped: moved.size,
    ...against(prescriptions, all, under, machine),
  };
  return ok({ prescriptions: out, cells }, problems);
}

const firstRate = (piece: Piece): number => piece.rate_lbPerAc;
const secondRate = (piece: Piece): number => piece.second_lbPerAc;

/** Records as lists of cells: each cell its own, or melted by the rates of the passes given. */
function groupsOf({ cells, areas_m2 }: Cut, by: readonly PassRates[] | null): readonly Group[] {
  if (by === null)
    return cells.map((polygons, cell) => ({ cells: [cell], polygons, m2: squareMetres(areas_m2[cell] ?? 0) }));
  return meltEqual(
    cells,
    cells.map((_, cell) => by.map(({ first, second }) => `${first[cell]} ${second[cell]}`).join()),
  );
}

function isMixed(shares: readonly Share[], zones: readonly Piece[]): boolean {
  const least_m2 = sum_m2(shares) * ROUNDING_SHARE;
  return new Set(shares.filter(({ m2 }) => m2 >= least_m2).map(({ zone }) => zones[zone]?.zoneKey)).size > 1;
}

function tooManyRates(pass: string, rates: PassRates, machine: Machine): Problem[] {
  const most = machine.distinctRates;
  const count = Math.max(distinctRates(rates.first), distinctRates(rates.second));
  if (most === null || count <= most) return [];
  return [
    caution(
      'handoff-cells-rates',
      `The cells of the pass ${pass} have ${count} different rates; the controller takes ${most}.`,
      'Set no limit on change from cell to cell, or write the zones as they lie.',
      { setting: 'rates.machine' },
    ),
  ];
}

/** Product more or less than by zones, and ground off its zone's rate by more than half a step in the pass and product with most of it. */
function against(
  prescriptions: readonly Prescription[],
  all: readonly PassRates[],
  under: readonly (readonly Share[])[],
  machine: Machine,
): Pick<CellsOut, 'change_lb' | 'over_ac' | 'under_ac'> {
  let change_lb = 0;
  let over_ac = 0;
  let under_ac = 0;
  prescriptions.forEach(({ pieces }, pass) => {
    for (const [rates, of] of [
      [all[pass]?.first ?? [], firstRate],
      [all[pass]?.second ?? [], secondRate],
    ] as const) {
      let [over_m2, under_m2] = [0, 0];
      under.forEach((shares, cell) => {
        for (const { zone, m2 } of shares) {
          const piece = pieces[zone];
          const off = (rates[cell] ?? 0) - (piece ? of(piece) : 0);
          change_lb += (off * m2) / M2_PER_ACRE;
          if (off > machine.step_lbPerAc / 2) over_m2 += m2;
          if (off < -machine.step_lbPerAc / 2) under_m2 += m2;
        }
      });
      over_ac = Math.max(over_ac, over_m2 / M2_PER_ACRE);
      under_ac = Math.max(under_ac, under_m2 / M2_PER_ACRE);
    }
  });
  return { change_lb, over_ac, under_ac };
}
