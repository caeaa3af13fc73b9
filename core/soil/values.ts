import { type ParsedValue, parseValue, type ToldUnit } from '../base/parse-value.ts';
import { caution, type Place, type Problem } from '../base/problem.ts';
import type { DataRecord, Dataset } from '../formats/types.ts';
import { FACTORS, type Measured } from './chemistry.ts';
import { lengthOfColumn, readDepth, type Slice, sliceOf } from './depth.ts';
import { ROLE_NAMES } from './guess.ts';
import { aboveLimit, belowLimit, type Figure, isNotDetected, notANumber, notDetected } from './limits.ts';
import { cellOf, type Mapping, type Use } from './mapping.ts';
import type { ColumnUnit, QUANTITIES, SoilSettings } from './settings.ts';
import { cationPpm, isSameUnit } from './units.ts';
import { isUnusual, unusual } from './usual.ts';
import { readYear } from './year.ts';

export type QuantityRole = (typeof QUANTITIES)[number];

/**
 * What a soil can hold, in ppm, meq/100 g, % or pH: anything else is a slip. Ours, wider than any figure met in the sources
 * (OSU ANR-81 has organic soils to a CEC of 100).
 */
const BOUNDS: Readonly<Record<QuantityRole, readonly [least: number, most: number]>> = {
  k: [0, 5000],
  ca: [0, 30_000],
  mg: [0, 10_000],
  na: [0, 20_000],
  h: [0, 100],
  ph: [2, 12],
  bufferPh: [3, 9],
  cec: [0, 200],
  organicMatter: [0, 100],
  kSat: [0, 100],
  caSat: [0, 150],
  mgSat: [0, 100],
  naSat: [0, 100],
  hSat: [0, 100],
};
/** Where 0 is met in place of a blank, since no soil has it. */
const ZERO_IS_BLANK: ReadonlySet<QuantityRole> = new Set<QuantityRole>(['k', 'ca', 'mg', 'ph', 'bufferPh', 'cec']);

export interface RowValues {
  readonly measured: Measured;
  readonly organicMatter_pct: number;
  readonly depth_in: number;
  readonly slice: Slice;
  /** Year of the test; null where the row tells none. */
  readonly year: number | null;
  /** A cation, CEC or share is told only as a limit or as not detected, so that the row's figures cannot fit each other. */
  readonly byRule: boolean;
  /** Quantities whose value a rule put in the place of a limit or of a word such as not detected. */
  readonly ruled: readonly QuantityRole[];
  /** Why the row cannot be used; empty when it can. */
  readonly against: readonly Problem[];
  /** What to watch in a row that can. */
  readonly watch: readonly Problem[];
  readonly badColumns: readonly string[];
}

/**
 * The values of one lab row in ppm, meq/100 g and %, NaN where not measured, with what speaks against the row.
 *
 * Against it: K blank, 0, or no number; a value told only as below a limit where the plan says so; any value outside of what soils hold
 * (the whole row is then doubtful); another unit in the cell than in the column. Of other values than K, text and limits are
 * said and the row stays. `keep` is a person's word: too high a value is then used, one below 0 left out.
 */
export function readValues(
  record: DataRecord,
  dataset: Dataset,
  mapping: Mapping,
  settings: SoilSettings,
  keep: boolean,
): RowValues {
  const against: Problem[] = [];
  const watch: Problem[] = [];
  const bad = new Set<string>();
  const slice = depthOf(record, dataset, mapping, settings, watch, bad);
  const depth_in = slice.bottom_in - slice.top_in;
  const year = yearOf(record, mapping, watch, bad);
  const density_gPerCm3 = densityOf(record, dataset, mapping, settings, watch, bad);
  const ruled: QuantityRole[] = [];
  const value = (role: QuantityRole): number => {
    const use = mapping.of.get(role);
    if (!use) return Number.NaN;
    const at = { file: mapping.file, row: record.row, column: use.column };
    const cell = parseValue(cellOf(record, mapping, role), dataset.decimal);
    const told = figureOf(role, cell, use.unit, settings, keep, at);
    const figure = toBase(role, told.value, use, { depth_in, density_gPerCm3 }, settings);
    const found = [...told.problems];
    if (told.problems.length > 0) ruled.push(role);
    let stays = figure;
    if (Number.isNaN(figure) && !Number.isNaN(told.value))
      found.push({ problem: noDensity(role, at), against: role === 'k' });
    else if (figure === 0 && ZERO_IS_BLANK.has(role) && !told.zero) {
      found.push({ problem: zero(role, at), against: role === 'k' });
      stays = Number.NaN;
    } else if (figure < BOUNDS[role][0] || figure > BOUNDS[role][1]) {
      found.push({ problem: outOfBounds(role, figure, at), against: !keep || (role === 'k' && figure < 0) });
      if (figure < BOUNDS[role][0]) stays = Number.NaN;
    } else if (told.problems.length === 0 && isUnusual(role, figure))
      found.push({ problem: unusual(role, figure, at), against: false });
    if (found.length > 0) bad.add(use.column);
    for (const one of found) (one.against ? against : watch).push(one.problem);
    return stays;
  };
  const measured: Measured = {
    k_ppm: value('k'),
    ca_ppm: value('ca'),
    mg_ppm: value('mg'),
    na_ppm: value('na'),
    ph: value('ph'),
    bufferPh: value('bufferPh'),
    cec_meq: value('cec'),
    h_meq: value('h'),
    sat: {
      k_pct: value('kSat'),
      ca_pct: value('caSat'),
      mg_pct: value('mgSat'),
      na_pct: value('naSat'),
      h_pct: value('hSat'),
    },
  };
  return {
    measured,
    organicMatter_pct: value('organicMatter'),
    depth_in,
    slice,
    year,
    byRule: ruled.length > 0,
    ruled,
    against,
    watch,
    badColumns: [...bad],
  };
}

/** The figure in the column's own unit. */
function figureOf(
  role: QuantityRole,
  cell: ParsedValue,
  unit: ColumnUnit,
  settings: SoilSettings,
  keep: boolean,
  at: Place,
): Figure {
  const name = ROLE_NAMES[role];
  const isK = role === 'k';
  const none = (problem: Problem): Figure => ({ value: Number.NaN, problems: [{ problem, against: isK }] });
  if (cell.kind === 'blank')
    return isK
      ? none(caution('soil-k-missing', 'K is missing.', 'Type the value in, or leave the row set aside.', at))
      : { value: Number.NaN, problems: [] };
  if (cell.kind === 'text') {
    if (isNotDetected(cell.text)) return notDetected(name, cell.text, isK, settings.notDetected, at);
    return none(notANumber(name, cell.text, isK, at));
  }
  if (cell.unit !== undefined && !isSameUnit(cell.unit, unit)) return none(otherUnit(name, cell.unit, unit, at));
  if (cell.kind === 'number') return { value: cell.value, problems: [] };
  if (cell.kind === 'above') return aboveLimit(name, cell.limit, isK, settings.aboveLimit, keep, at);
  return belowLimit(name, cell.limit, isK, settings.belowLimit, keep, at);
}

const noDensity = (role: QuantityRole, at: Place): Problem =>
  caution(
    'soil-density',
    `${ROLE_NAMES[role]} is in mg/L, and the density of the scooped soil is not known in this row.`,
    'Type the density in, or give one for the whole test under Soil.',
    at,
  );

const otherUnit = (name: string, told: ToldUnit, unit: string, at: Place): Problem =>
  caution(
    'soil-other-unit',
    `${name} is told in ${told} in this cell, and its column is in ${unit}.`,
    'Make the column one unit, or correct what the column is in.',
    at,
  );

const zero = (role: QuantityRole, at: Place): Problem =>
  caution(
    role === 'k' ? 'soil-k-missing' : 'soil-zero',
    `${ROLE_NAMES[role]} is 0, which reads like not measured.`,
    role === 'k'
      ? 'Type the value in, or leave the row set aside.'
      : 'It is taken as not measured; type the value in if it is known.',
    at,
  );

function outOfBounds(role: QuantityRole, figure: number, at: Place): Problem {
  const [least, most] = BOUNDS[role];
  const unit = role === 'k' || role === 'ca' || role === 'mg' || role === 'na' ? ' ppm' : '';
  return caution(
    'soil-out-of-bounds',
    `${ROLE_NAMES[role]} of ${Number(figure.toPrecision(6))}${unit} is not within ${least} to ${most}, what a soil can hold.`,
    'Check the cell, the unit of the column, and that the row has not slipped sideways; keep the row by hand if it is right.',
    at,
  );
}

function toBase(
  role: QuantityRole,
  value: number,
  use: Use,
  row: { readonly depth_in: number; readonly density_gPerCm3: number },
  settings: SoilSettings,
): number {
  // mmolc/kg is a tenth of meq/100 g, and g/kg a tenth of a percent.
  if (use.unit === 'mmolc/kg' && (role === 'h' || role === 'cec')) return value / 10;
  if (use.unit === 'g/kg' && role === 'organicMatter') return value / 10;
  if (role === 'h') return use.unit === 'ppm' || use.unit === 'mg/kg' ? value / FACTORS[settings.factors].h : value;
  if (role !== 'k' && role !== 'ca' && role !== 'mg' && role !== 'na') return value;
  return cationPpm(value, role, { ...use, ...row, depth_in: use.of_in ?? row.depth_in }, settings);
}

/** Depth of a row where nothing tells it. */
const plainSlice = (settings: SoilSettings): Slice => ({
  top_in: 0,
  bottom_in: settings.depth_in,
  told: `0-${fix(settings.depth_in)} in`,
});

function depthOf(
  record: DataRecord,
  dataset: Dataset,
  mapping: Mapping,
  settings: SoilSettings,
  watch: Problem[],
  bad: Set<string>,
): Slice {
  const use = mapping.of.get('depth');
  const cell = cellOf(record, mapping, 'depth');
  if (!use || parseValue(cell, dataset.decimal).kind === 'blank') return plainSlice(settings);
  const unit = lengthOfColumn(use.unit);
  const slice = mapping.of.has('depthTop')
    ? sliceOf(cellOf(record, mapping, 'depthTop'), cell, dataset.decimal, unit)
    : readDepth(cell, dataset.decimal, unit);
  if (slice !== null) return slice;
  bad.add(use.column);
  watch.push(
    caution(
      'soil-depth',
      `Depth is "${String(cell)}", which tells no depth to 48 in.; ${settings.depth_in} in. is used.`,
      'Type the depth in, or change what the column is in.',
      { file: mapping.file, row: record.row, column: use.column },
    ),
  );
  return plainSlice(settings);
}

function yearOf(record: DataRecord, mapping: Mapping, watch: Problem[], bad: Set<string>): number | null {
  const use = mapping.of.get('date');
  const cell = cellOf(record, mapping, 'date');
  const year = readYear(cell);
  if (use && year === null && cell !== null) {
    bad.add(use.column);
    watch.push(
      caution('soil-date', `Date is "${String(cell)}", which tells no year.`, 'Type the date as 2026-03-01.', {
        file: mapping.file,
        row: record.row,
        column: use.column,
      }),
    );
  }
  return year;
}

/** Density of the row's scooped soil in g/cm3: its own column first, then the plan's; NaN where neither tells it. */
function densityOf(
  record: DataRecord,
  dataset: Dataset,
  mapping: Mapping,
  settings: SoilSettings,
  watch: Problem[],
  bad: Set<string>,
): number {
  const use = mapping.of.get('density');
  const plan = settings.scooped_gPerCm3 ?? Number.NaN;
  const cell = parseValue(cellOf(record, mapping, 'density'), dataset.decimal);
  if (!use || cell.kind === 'blank') return plan;
  if (cell.kind === 'number' && cell.value >= 0.3 && cell.value <= 2) return cell.value;
  bad.add(use.column);
  watch.push(
    caution(
      'soil-density-odd',
      `Density is "${cell.kind === 'number' ? cell.value : String(cellOf(record, mapping, 'density'))}", not within 0.3 to 2 g/cm3.`,
      Number.isNaN(plan) ? 'Type it in.' : `${plan} g/cm3 is used; type the right one in if it is known.`,
      { file: mapping.file, row: record.row, column: use.column },
    ),
  );
  return plan;
}

const fix = (value: number): string => String(Number(value.toFixed(1)));
