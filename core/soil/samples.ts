import { caution, type Problem } from '../base/problem.ts';
import { type Chemistry, chemistryOf, type Measured } from './chemistry.ts';
import { type LabDraft, otherRows } from './drafts.ts';
import { placeKey } from './join.ts';
import { differenceProblems, type LabTest, labDifferences } from './lab-differences.ts';
import type { SoilSettings } from './settings.ts';
import type { LabDifference, RuledValue, SoilSample } from './types.ts';
import type { QuantityRole } from './values.ts';

/**
 * Samples out of the kept rows, in their order: rows at one place are merged to the mean of what each has (`soil-same-place`), then CEC
 * and saturation are worked out. What the chemistry finds is added to the reasons of the first row.
 * Mean of pH is the plain mean of the readings. K is multiplied by `kFactor`, the plan's conversion between extractions; the
 * differences compare the lab's figures among themselves, before it.
 */
export function samplesOf(
  rows: readonly LabDraft[],
  settings: SoilSettings,
  kFactor = 1,
): { readonly samples: readonly SoilSample[]; readonly differences: readonly LabDifference[] } {
  const byPlace = new Map<string, LabDraft[]>();
  for (const row of rows) {
    // Composites may share a widest spot and still be two grounds.
    const key = row.spot?.polygons ? `row ${row.record.row}` : placeKey(row);
    const group = byPlace.get(key);
    if (group) group.push(row);
    else byPlace.set(key, [row]);
  }
  const samples: SoilSample[] = [];
  const tests: (LabTest & { readonly id: string; readonly first: LabDraft; readonly own: Chemistry })[] = [];
  for (const group of byPlace.values()) {
    const [first] = group;
    if (!first?.spot) continue;
    if (group.length > 1) for (const row of group) row.reasons.push(samePlace(group, row));
    const byLab = meanOf(group.map((row) => row.values.measured));
    const measured = kFactor === 1 ? byLab : { ...byLab, k_ppm: byLab.k_ppm * kFactor };
    const at = { file: first.file, row: first.record.row };
    const id = [...new Set(group.map((row) => row.id))].join(' / ');
    const chemistry = chemistryOf(measured, settings, at);
    // What the lab says of itself is held against its own K.
    const own = kFactor === 1 ? chemistry : chemistryOf(byLab, settings, at);
    const byRule = group.some((row) => row.values.byRule);
    tests.push({ id, first, own, of: byLab, workedOut: own.workedOut, byRule });
    first.reasons.push(...chemistry.problems);
    samples.push({
      id,
      file: first.file,
      row: first.record.row,
      at: first.spot.at,
      ...(first.spot.polygons ? { polygons: first.spot.polygons } : {}),
      k_ppm: measured.k_ppm,
      ca_ppm: measured.ca_ppm,
      mg_ppm: measured.mg_ppm,
      na_ppm: measured.na_ppm,
      ph: measured.ph,
      bufferPh: measured.bufferPh,
      organicMatter_pct: mean(group.map((row) => row.values.organicMatter_pct)),
      cec_meq: chemistry.cec_meq,
      cecFrom: chemistry.cecFrom,
      h_meq: chemistry.h_meq,
      saturation: chemistry.saturation,
      depth_in: mean(group.map((row) => row.values.depth_in)),
      year: commonYear(group),
      ...ruledOf(group),
    });
  }
  const differ = labDifferences(tests, settings);
  const differences = tests.flatMap(({ id, first, own }, index): readonly LabDifference[] => {
    const found = differ[index] ?? [];
    const at = { file: first.file, row: first.record.row };
    first.reasons.push(...differenceProblems(found, own, at));
    return found.map((one) => ({ id, row: first.record.row, ...one }));
  });
  return { samples, differences };
}

const RULED = {
  k: 'k_ppm',
  ca: 'ca_ppm',
  mg: 'mg_ppm',
  na: 'na_ppm',
  ph: 'ph',
  cec: 'cec_meq',
} as const satisfies Partial<Record<QuantityRole, RuledValue>>;

function ruledOf(group: readonly LabDraft[]): Pick<SoilSample, 'byRule'> {
  const roles = new Set<string>(group.flatMap((row) => row.values.ruled));
  const byRule = Object.entries(RULED).flatMap(([role, value]) => (roles.has(role) ? [value] : []));
  return byRule.length === 0 ? {} : { byRule };
}

function commonYear(group: readonly LabDraft[]): number | null {
  const [year, ...others] = new Set(group.map((row) => row.values.year));
  return others.length === 0 ? (year ?? null) : null;
}

function samePlace(group: readonly LabDraft[], row: LabDraft): Problem {
  return caution(
    'soil-same-place',
    `Row ${otherRows(group, row)} has the same place; the mean of the rows is used.`,
    'Correct the places, or set a row aside by hand.',
    { file: row.file, row: row.record.row },
  );
}

/** Mean of the values there are; NaN of none. */
function mean(values: readonly number[]): number {
  const there = values.filter((value) => !Number.isNaN(value));
  return there.reduce((sum, value) => sum + value, 0) / there.length;
}

function meanOf(all: readonly Measured[]): Measured {
  const of = (pick: (one: Measured) => number): number => mean(all.map(pick));
  return {
    k_ppm: of((one) => one.k_ppm),
    ca_ppm: of((one) => one.ca_ppm),
    mg_ppm: of((one) => one.mg_ppm),
    na_ppm: of((one) => one.na_ppm),
    ph: of((one) => one.ph),
    bufferPh: of((one) => one.bufferPh),
    cec_meq: of((one) => one.cec_meq),
    h_meq: of((one) => one.h_meq),
    sat: {
      k_pct: of((one) => one.sat.k_pct),
      ca_pct: of((one) => one.sat.ca_pct),
      mg_pct: of((one) => one.sat.mg_pct),
      na_pct: of((one) => one.sat.na_pct),
      h_pct: of((one) => one.sat.h_pct),
    },
  };
}
