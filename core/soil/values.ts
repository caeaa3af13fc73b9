import { type ParsedValue, parseValue, type ToldUnit } from '../base/parse-value.ts';
import { caution, type Place, type Problem } from '../base/problem.ts';
import type { DataRecord, Dataset } from '../formats/types.ts';
import { FACTORS, lbPerAcToPpm, type Measured } from './chemistry.ts';
import { readDepth } from './depth.ts';
import { ROLE_NAMES } from './guess.ts';
import { cellOf, type Mapping } from './mapping.ts';
import type { ColumnRole, SoilSettings } from './settings.ts';

/** Quantities read as numbers. */
const QUANTITIES = [
  'k',
  'ca',
  'mg',
  'na',
  'h',
  'ph',
  'bufferPh',
  'cec',
  'organicMatter',
  'kSat',
  'caSat',
  'mgSat',
  'naSat',
  'hSat',
] as const satisfies readonly ColumnRole[];
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
  const depth_in = depthOf(record, dataset, mapping, settings, watch, bad);
  const value = (role: QuantityRole): number => {
    const use = mapping.of.get(role);
    if (!use) return Number.NaN;
    const at = { file: mapping.file, row: record.row, column: use.column };
    const cell = parseValue(cellOf(record, mapping, role), dataset.decimal);
    const told = figureOf(role, cell, use.unit, settings, keep, at);
    const figure = toBase(role, told.value, use.unit, depth_in, settings);
    const found = [...told.problems];
    let stays = figure;
    if (figure === 0 && ZERO_IS_BLANK.has(role)) {
      found.push({ problem: zero(role, at), against: role === 'k' });
      stays = Number.NaN;
    } else if (figure < BOUNDS[role][0] || figure > BOUNDS[role][1]) {
      found.push({ problem: outOfBounds(role, figure, at), against: !keep || (role === 'k' && figure < 0) });
      if (figure < BOUNDS[role][0]) stays = Number.NaN;
    }
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
  return { measured, organicMatter_pct: value('organicMatter'), depth_in, against, watch, badColumns: [...bad] };
}

interface Found {
  readonly problem: Problem;
  readonly against: boolean;
}

/** The figure in the column's own unit. */
function figureOf(
  role: QuantityRole,
  cell: ParsedValue,
  unit: string,
  settings: SoilSettings,
  keep: boolean,
  at: Place,
): { readonly value: number; readonly problems: readonly Found[] } {
  const name = ROLE_NAMES[role];
  const isK = role === 'k';
  const none = (problem: Problem) => ({ value: Number.NaN, problems: [{ problem, against: isK }] });
  if (cell.kind === 'blank')
    return isK
      ? none(caution('soil-k-missing', 'K is missing.', 'Type the value in, or leave the row set aside.', at))
      : { value: Number.NaN, problems: [] };
  if (cell.kind === 'text')
    return none(
      caution(
        isK ? 'soil-k-not-a-number' : 'soil-not-a-number',
        `${name} is "${cell.text}", not a number.`,
        isK
          ? 'Type the value in, or the lab’s limit as <20; else leave the row set aside.'
          : 'The row is kept and the value taken as not measured; type it in if it is known.',
        at,
      ),
    );
  if (cell.unit !== undefined && cell.unit !== unit) return none(otherUnit(name, cell.unit, unit, at));
  if (cell.kind === 'number') return { value: cell.value, problems: [] };
  if (cell.kind === 'above')
    return {
      value: cell.limit,
      problems: [
        {
          problem: caution(
            'soil-above-limit',
            `${name} is told only as above ${cell.limit}; the limit is used.`,
            'Ask the lab for the value if this ground matters.',
            at,
          ),
          against: false,
        },
      ],
    };
  return belowLimit(name, cell.limit, isK, settings.belowLimit, keep, at);
}

function belowLimit(
  name: string,
  limit: number,
  isK: boolean,
  rule: SoilSettings['belowLimit'],
  keep: boolean,
  at: Place,
): { readonly value: number; readonly problems: readonly Found[] } {
  const told = `${name} is told only as below ${limit}`;
  if (rule === 'set aside' && !(isK && keep))
    return {
      value: Number.NaN,
      problems: [
        {
          problem: caution(
            'soil-below-limit',
            isK ? `${told}.` : `${told}; it is taken as not measured.`,
            'Say under Soil that half the limit, or the limit, shall stand for it.',
            at,
          ),
          against: isK,
        },
      ],
    };
  const value = rule === 'the limit' ? limit : limit / 2;
  return {
    value,
    problems: [
      {
        problem: caution(
          'soil-below-limit',
          `${told}; ${value} is used, ${rule === 'the limit' ? 'the limit' : 'half the limit'}.`,
          'Change the rule under Soil if the row should be set aside.',
          at,
        ),
        against: false,
      },
    ],
  };
}

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

function toBase(role: QuantityRole, value: number, unit: string, depth_in: number, settings: SoilSettings): number {
  const factors = FACTORS[settings.factors];
  if (role === 'h') return unit === 'ppm' ? value / factors.h : value;
  if (role !== 'k' && role !== 'ca' && role !== 'mg' && role !== 'na') return value;
  if (unit === 'lb/ac') return lbPerAcToPpm(value, depth_in, settings);
  return unit === 'meq/100 g' ? value * factors[role] : value;
}

function depthOf(
  record: DataRecord,
  dataset: Dataset,
  mapping: Mapping,
  settings: SoilSettings,
  watch: Problem[],
  bad: Set<string>,
): number {
  const use = mapping.of.get('depth');
  const cell = cellOf(record, mapping, 'depth');
  if (!use || parseValue(cell, dataset.decimal).kind === 'blank') return settings.depth_in;
  const slice = readDepth(cell, dataset.decimal, use.unit === 'cm' ? 'cm' : 'in');
  const at = { file: mapping.file, row: record.row, column: use.column };
  if (slice === null) {
    bad.add(use.column);
    watch.push(
      caution(
        'soil-depth',
        `Depth is "${String(cell)}", which tells no depth to 48 in.; ${settings.depth_in} in. is used.`,
        'Type the depth in, or change what the column is in.',
        at,
      ),
    );
    return settings.depth_in;
  }
  if (slice.top_in > 0) {
    bad.add(use.column);
    watch.push(
      caution(
        'soil-subsoil',
        `The sample is from ${fix(slice.top_in)} to ${fix(slice.bottom_in)} in., below the surface.`,
        'Set it aside unless it stands for the plow layer.',
        at,
      ),
    );
  }
  return slice.bottom_in - slice.top_in;
}

const fix = (value: number): string => String(Number(value.toFixed(1)));
