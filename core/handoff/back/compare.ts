import { type Problem, stop } from '../../base/problem.ts';
import { lbPerAc, lbPerAcToKgPerHa, M2_PER_ACRE } from '../../base/units.ts';
import { type Bounds, bounds } from '../../geo/bounds.ts';
import { localFrame, toLocal } from '../../geo/frame.ts';
import { cellCentre } from '../../geo/lattice.ts';
import type { Lattice, LngLat, MultiPolygon } from '../../geo/types.ts';
import { RAD_PER_DEG, strip_m2PerRad } from '../../geo/wgs84.ts';
import type { Prescription } from '../types.ts';
import { burnMiddles } from './burn.kernel.ts';
import type { OpenedPrescription } from './types.ts';

/** What an opened file is held against. */
export interface PlanSide {
  readonly prescriptions: readonly Prescription[];
  /** The spreadable ground. */
  readonly ground: MultiPolygon;
  /** Cells that the differences are drawn on. */
  readonly lattice: Lattice;
  /** Step of the machine: ground that differs by more is counted. */
  readonly step_lbPerAc: number;
}

/** Pass and product of the plan. */
export interface Against {
  readonly pass: string;
  /** 0 is the plan's first product. */
  readonly product: number;
}

/** One zone, or all ground. */
export interface BackLine {
  /** Empty for all ground together. */
  readonly letter: string;
  /** Ground with a rate in both; in the file alone; in the plan alone. Of a zone the second is always 0. */
  readonly both_ac: number;
  readonly fileOnly_ac: number;
  readonly planOnly_ac: number;
  /** Pounds that each puts on its own ground there. */
  readonly planned_lb: number;
  readonly opened_lb: number;
  /** Opened less planned, over the ground that has both; NaN where none has. */
  readonly meanDifference_lbPerAc: number;
  /** The largest difference in size, with its sign, and the first place that has it; null where there is none. */
  readonly greatest_lbPerAc: number;
  readonly greatestAt: LngLat | null;
  /** Of `both_ac`: differs by more than the step. */
  readonly differs_ac: number;
}

export interface BackComparison {
  readonly pass: string;
  readonly product: string;
  /** In the order of the letters. */
  readonly zones: readonly BackLine[];
  readonly all: BackLine;
  /** Points a cell of the lattice was looked at with. */
  readonly pointsPerCell: number;
  /** By how much the bare points miss the polygons' acres, the worse of plan and file: how sure the split of acres is. */
  readonly error_ac: number;
  /** Opened less planned at the middle of each cell of the lattice; NaN where one of them gives no rate. */
  readonly difference_lbPerAc: Float32Array;
  /** The same at every point, with the ground that it stands for: what a map is painted of. */
  readonly points: {
    readonly lattice: Lattice;
    readonly difference_lbPerAc: Float32Array;
    readonly ground_m2: Float64Array;
  };
  readonly step_lbPerAc: number;
  readonly problems: readonly Problem[];
}

/** Points that a field is looked at with, about. */
const POINTS = 250_000;
/** Rates in files are written to two decimals: less than half of that is their rounding. */
const ROUNDING = 0.005;

/** The pass and product of the plan that a file is held against when nobody said: those it names itself, else the first. */
export function againstOf(
  opened: Pick<OpenedPrescription, 'pass' | 'product' | 'column'>,
  prescriptions: readonly Prescription[],
): Against {
  // A task is named after plan and pass.
  const named =
    prescriptions.find((one) => one.pass === opened.pass) ??
    prescriptions.filter((one) => opened.pass.endsWith(one.pass)).sort((a, b) => b.pass.length - a.pass.length)[0];
  const pass = (named ?? prescriptions[0])?.pass ?? '';
  const products = prescriptions[0]?.totals.byProduct.map(({ product }) => product) ?? [];
  const byName = products.indexOf(opened.product);
  return { pass, product: Math.max(byName, 0) };
}

/**
 * The opened file less the plan, zone by zone and in all. Both are read at 1, 9 or 25 points in each cell of the lattice
 * (about 250,000 in all, always with its middle), each standing for an equal share of the ellipsoidal acres of the plan's
 * piece that it lies in, outside the plan for its share of the cell. So a zone's acres are exact, and the points only part them into ground that
 * both have and ground that one has; `error_ac` is by how much the bare points miss the acres. A file of the same
 * polygons and rates gives 0 throughout. What of a file lies past the lattice is in the file alone, by its polygons. Where
 * pieces of a file overlap the first one counts. A difference under half of the file's second decimal is rounding, and is 0.
 *
 * Problems: `back-elsewhere` where file and plan share no ground, with the way that a wrong sign or swapped axes would show.
 * Cost: points + edges of both. Throws where the plan has no such pass.
 */
export function compareWithPlan(
  opened: OpenedPrescription,
  plan: PlanSide,
  against: Against = againstOf(opened, plan.prescriptions),
): BackComparison {
  const prescription = plan.prescriptions.find(({ pass }) => pass === against.pass);
  if (!prescription) throw new RangeError(`no pass ${against.pass}`);
  const { pieces } = prescription;
  const perCell = pointsFor(plan.lattice);
  const fine = finer(plan.lattice, perCell);
  const planned = burnMiddles(
    fine,
    pieces.map((piece) => piece.polygons),
  );
  const rated = opened.pieces.filter((piece) => !Number.isNaN(piece.rate_lbPerAc));
  const found = burnMiddles(
    fine,
    rated.map((piece) => piece.polygons),
  );
  const plannedRates = pieces.map((piece) => (against.product === 0 ? piece.rate_lbPerAc : piece.second_lbPerAc));
  const rounding = (opened.unit === 'kg/ha' ? ROUNDING / lbPerAcToKgPerHa(lbPerAc(1)) : ROUNDING) + 1e-9;

  const tallies = new Map<string, Tally>();
  for (const letter of pieces.map((piece) => piece.letter).sort(byLetter)) tallies.set(letter, newTally());
  const letters = pieces.map((piece) => tallies.get(piece.letter) ?? newTally());
  const all = newTally();
  const middle = (perCell - 1) / 2;
  const differenceAt = new Float32Array(fine.cols * fine.rows).fill(Number.NaN);
  const ground_m2 = new Float64Array(fine.cols * fine.rows);
  const difference_lbPerAc = new Float32Array(plan.lattice.cols * plan.lattice.rows).fill(Number.NaN);
  const plannedPoints_ac = acresOfPoints(fine, planned, pieces.length);
  const foundPoints_ac = acresOfPoints(fine, found, rated.length);
  const plannedShare = pieces.map(({ acres }, i) => acres / (plannedPoints_ac[i] || 1));
  for (let row = 0; row < fine.rows; row++) {
    const point_ac = pointInRow_ac(fine, row);
    for (let col = 0; col < fine.cols; col++) {
      const point = row * fine.cols + col;
      const inPlan = planned[point] ?? 0;
      const inFile = found[point] ?? 0;
      if (inPlan === 0 && inFile === 0) continue;
      const plannedRate = plannedRates[inPlan - 1] ?? Number.NaN;
      const foundRate = rated[inFile - 1]?.rate_lbPerAc ?? Number.NaN;
      const raw = foundRate - plannedRate;
      const difference = Math.abs(raw) <= rounding ? 0 : raw;
      const ac = point_ac * (plannedShare[inPlan - 1] ?? 1);
      const zone = letters[inPlan - 1];
      for (const tally of zone ? [zone, all] : [all])
        add(tally, ac, plannedRate, foundRate, difference, point, plan.step_lbPerAc);
      differenceAt[point] = difference;
      if (!Number.isNaN(difference)) ground_m2[point] = ac * M2_PER_ACRE;
      if (row % perCell === middle && col % perCell === middle) {
        const cell = ((row - middle) / perCell) * plan.lattice.cols + (col - middle) / perCell;
        difference_lbPerAc[cell] = difference;
      }
    }
  }
  const rated_ac = rated.reduce((sum, piece) => sum + piece.acres, 0) - (opened.overlap_ac ?? 0);
  const found_ac = foundPoints_ac.reduce((sum, one) => sum + one, 0);
  const planned_ac = plannedPoints_ac.reduce((sum, one) => sum + one, 0);
  const inside = within(opened.pieces, plan.lattice);
  if (!inside) {
    // No point stands for what lies past the lattice: it is what the polygons have beyond the points.
    all.fileOnly += Math.max(0, rated_ac - found_ac);
    all.opened_lb = Math.max(all.opened_lb, opened.product_lb);
  }
  return {
    pass: prescription.pass,
    product: prescription.totals.byProduct[against.product]?.product ?? '',
    zones: [...tallies].map(([letter, tally]) => lineOf(letter, tally, fine)),
    all: lineOf('', all, fine),
    pointsPerCell: perCell * perCell,
    error_ac: Math.max(Math.abs(planned_ac - prescription.totals.acres), inside ? Math.abs(found_ac - rated_ac) : 0),
    difference_lbPerAc,
    points: { lattice: fine, difference_lbPerAc: differenceAt, ground_m2 },
    step_lbPerAc: plan.step_lbPerAc,
    problems: all.both > 0 || rated.length === 0 ? [] : [elsewhere(opened, plan.ground)],
  };
}

const byLetter = (a: string, b: string): number => a.length - b.length || (a < b ? -1 : a > b ? 1 : 0);

function pointsFor({ cols, rows }: Lattice): number {
  const side = Math.sqrt(POINTS / Math.max(1, cols * rows));
  return side >= 4 ? 5 : side >= 2 ? 3 : 1;
}

const finer = (lattice: Lattice, times: number): Lattice => ({
  ...lattice,
  dLng_deg: lattice.dLng_deg / times,
  dLat_deg: lattice.dLat_deg / times,
  cols: lattice.cols * times,
  rows: lattice.rows * times,
});

/** Ground of the points that each shape has, by its number less 1. */
function acresOfPoints(fine: Lattice, numbers: Int32Array, shapes: number): Float64Array {
  const acres = new Float64Array(shapes);
  for (let row = 0; row < fine.rows; row++) {
    const point_ac = pointInRow_ac(fine, row);
    for (let point = row * fine.cols; point < (row + 1) * fine.cols; point++) {
      const at = (numbers[point] ?? 0) - 1;
      if (at >= 0) acres[at] = (acres[at] ?? 0) + point_ac;
    }
  }
  return acres;
}

function pointInRow_ac(lattice: Lattice, row: number): number {
  const south = lattice.south_deg + row * lattice.dLat_deg;
  const strip = strip_m2PerRad(south, south + lattice.dLat_deg) * RAD_PER_DEG * lattice.dLng_deg;
  return strip / M2_PER_ACRE;
}

interface Tally {
  both: number;
  fileOnly: number;
  planOnly: number;
  planned_lb: number;
  opened_lb: number;
  difference: number;
  greatest: number;
  greatestAt: number;
  differs: number;
}
const newTally = (): Tally => ({
  both: 0,
  fileOnly: 0,
  planOnly: 0,
  planned_lb: 0,
  opened_lb: 0,
  difference: 0,
  greatest: 0,
  greatestAt: -1,
  differs: 0,
});

function add(
  tally: Tally,
  ac: number,
  planned: number,
  found: number,
  difference: number,
  point: number,
  step: number,
): void {
  const [inPlan, inFile] = [!Number.isNaN(planned), !Number.isNaN(found)];
  if (inPlan) tally.planned_lb += planned * ac;
  if (inFile) tally.opened_lb += found * ac;
  if (!inPlan || !inFile) {
    if (inPlan) tally.planOnly += ac;
    else tally.fileOnly += ac;
    return;
  }
  tally.both += ac;
  tally.difference += difference * ac;
  if (Math.abs(difference) > step) tally.differs += ac;
  if (Math.abs(difference) > Math.abs(tally.greatest)) {
    tally.greatest = difference;
    tally.greatestAt = point;
  }
}

const lineOf = (letter: string, tally: Tally, fine: Lattice): BackLine => ({
  letter,
  both_ac: tally.both,
  fileOnly_ac: tally.fileOnly,
  planOnly_ac: tally.planOnly,
  planned_lb: tally.planned_lb,
  opened_lb: tally.opened_lb,
  meanDifference_lbPerAc: tally.both > 0 ? tally.difference / tally.both : Number.NaN,
  greatest_lbPerAc: tally.greatest,
  greatestAt: tally.greatestAt < 0 ? null : cellCentre(fine, tally.greatestAt),
  differs_ac: tally.differs,
});

function within(pieces: OpenedPrescription['pieces'], lattice: Lattice): boolean {
  const box = bounds(pieces.flatMap((piece) => piece.polygons));
  return (
    box.west >= lattice.west_deg &&
    box.south >= lattice.south_deg &&
    box.east <= lattice.west_deg + lattice.cols * lattice.dLng_deg &&
    box.north <= lattice.south_deg + lattice.rows * lattice.dLat_deg
  );
}

const KM = 1000;

/** Where a file lies that shares no ground with the plan, and whether a turned sign or swapped axes would bring it home. */
function elsewhere(opened: OpenedPrescription, ground: MultiPolygon): Problem {
  const box = bounds(opened.pieces.flatMap((piece) => piece.polygons));
  const home = bounds(ground);
  const [lng, lat] = middleOf(box);
  const [x, y] = toLocal(localFrame(middleOf(home)), [lng, lat]);
  const away_km = Math.hypot(x, y) / KM;
  const file = opened.files[0] ?? opened.name;
  const turned = [
    { at: [-lng, lat], what: 'its longitudes have the wrong sign' },
    { at: [lng, -lat], what: 'its latitudes have the wrong sign' },
    { at: [-lng, -lat], what: 'its longitudes and latitudes have the wrong sign' },
    { at: [lat, lng], what: 'its latitudes and longitudes are swapped' },
  ].find(({ at: [east = 0, north = 0] }) => inBox(home, east, north));
  return stop(
    'back-elsewhere',
    turned
      ? `${file} shares no ground with the field: ${turned.what}.`
      : `${file} shares no ground with the field: its middle lies ${away_km < 10 ? away_km.toFixed(1) : Math.round(away_km)} km away.`,
    turned ? 'Write it again with the coordinates of the field.' : 'Check that it is the file of this field.',
    { file, lngLat: [lng, lat] },
  );
}

const middleOf = (box: Bounds): LngLat => [(box.west + box.east) / 2, (box.south + box.north) / 2];
const inBox = (box: Bounds, lng: number, lat: number): boolean =>
  lng >= box.west && lng <= box.east && lat >= box.south && lat <= box.north;
