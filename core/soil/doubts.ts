import type { Dataset } from '../formats/types.ts';
import { FACTORS } from './chemistry.ts';
import { type LengthUnit, lengthOfColumn, readDepth, toldUnitOf } from './depth.ts';
import type { Draft } from './guess.ts';
import { keepBack } from './held.ts';
import type { ColumnRole } from './settings.ts';
import { medianBy } from './spread.ts';

const CATIONS = ['k', 'ca', 'mg', 'na'] as const;
type BaseCation = (typeof CATIONS)[number];
const SAT_OF = { k: 'kSat', ca: 'caSat', mg: 'mgSat', na: 'naSat' } as const;
/**
 * Medians below which a column with no unit reads like meq/100 g (ours: a hundredth of a common level in ppm, and above what
 * soils hold in meq).
 */
const MEQ_BELOW: Readonly<Record<BaseCation, number>> = { k: 5, ca: 60, mg: 20, na: 2 };
/** Highest CEC in meq/100 g: organic soils go to 100 (Ohio State University Extension ANR-81, 2019). */
const HIGHEST_CEC = 100;
/** Median K in ppm that is more often met as lb/ac (ours). */
const HIGH_K_PPM = 400;

/**
 * Adds what the values make doubtful to the drafts, and sets a unit that no one told where the values are plain about it.
 *
 * Rules of ours, none published: a lab's own saturation and CEC tell ppm from lb/ac (twice ppm at 6 in.); bases far above the CEC read
 * like lb/ac; coordinates beyond degrees need a CRS; a pH of 40 to 80 reads like a lime test index; K above Ca reads like a swap.
 */
export function doubtsOf(dataset: Dataset, drafts: readonly Draft[]): void {
  const by = new Map<ColumnRole, Draft>(
    drafts.filter((draft) => draft.is !== 'unused').map((draft) => [draft.is, draft]),
  );
  const bases = basesOverCec(dataset, by);
  for (const cation of CATIONS) {
    const draft = by.get(cation);
    if (draft) unitOfCation(dataset, draft, cation, by, bases);
  }
  naAsTheOthers(by);
  swapped(by);
  places(by);
  const ph = by.get('ph');
  if (ph && (ph.spread.median < 3 || ph.spread.median > 10))
    ph.doubts.push(`values about ${show(ph.spread.median)} are no pH`);
  const buffer = by.get('bufferPh');
  if (buffer && buffer.spread.median > 10)
    buffer.doubts.push(
      `values about ${show(buffer.spread.median)} read like a lime test index, ten times the buffer pH`,
    );
  const cec = by.get('cec');
  if (cec && !cec.unitTold && (cec.spread.median > HIGHEST_CEC || (bases > 0.07 && bases < 0.14)))
    keepBack(
      cec,
      `the unit is not told; values about ${show(cec.spread.median)} are no CEC in meq/100 g and would fit mmolc/kg, ten times as much: left unused until the unit is told`,
    );
  else if (cec) {
    const median_meq = cec.spread.median / (cec.unit === 'mmolc/kg' ? 10 : 1);
    if (median_meq > 80 || median_meq < 0.5)
      cec.doubts.push(`values about ${show(cec.spread.median)} are no common CEC in ${cec.unit}`);
  }
  const shares = Object.values(SAT_OF).flatMap((role) => by.get(role) ?? []);
  // Na alone is often below 1 %.
  if (shares.every((sat) => sat.spread.max <= 1 || sat.spread.filled === 0))
    for (const sat of shares) if (sat.spread.max > 0) sat.doubts.push('values to 1 read like a share, not like %');
  const kSat = by.get('kSat');
  if (kSat && kSat.spread.median > 30)
    kSat.doubts.push(`values about ${show(kSat.spread.median)} are no common K saturation in %`);
  const top = by.get('depthTop');
  const bottom = by.get('depth');
  depth(dataset, bottom, top !== undefined);
  if (top && bottom && !top.unitTold) top.unit = bottom.unit;
  if (top && bottom?.is === 'unused') {
    top.is = 'unused';
    top.unit = 'none';
  }
}

function unitOfCation(
  dataset: Dataset,
  draft: Draft,
  cation: BaseCation,
  by: ReadonlyMap<ColumnRole, Draft>,
  bases: number,
): void {
  const { median } = draft.spread;
  const factor = FACTORS.rounded[cation];
  if (!draft.unitTold && median < MEQ_BELOW[cation] && median > 0) {
    draft.unit = 'meq/100 g';
    draft.doubts.push(`the unit is not told; values about ${show(median)} read like meq/100 g`);
    return;
  }
  if (draft.unit !== 'ppm') return;
  const cec = cecFigures(by);
  const sat = by.get(SAT_OF[cation])?.spread.figures;
  const asPpm =
    cec && sat
      ? medianBy(
          dataset.records.length,
          (row) =>
            (100 * (draft.spread.figures[row] ?? Number.NaN)) /
            factor /
            (cec[row] ?? Number.NaN) /
            (sat[row] ?? Number.NaN),
        )
      : Number.NaN;
  if (Math.abs(asPpm - 1) < 0.12) {
    if (!draft.unitTold) draft.because += '; ppm agrees with the lab’s own saturation';
    return;
  }
  if (Math.abs(asPpm - 2) < 0.24) {
    draft.doubts.push('the values are twice what the lab’s own saturation and CEC say: they read like lb/ac');
    if (!draft.unitTold) draft.unit = 'lb/ac';
    return;
  }
  if (bases > 1.3 && bases < 2.3 && !draft.unitTold)
    keepBack(
      draft,
      `the unit is not told; taken as ppm the bases are ${show(bases)} times the CEC, and the values would fit lb/ac, at half the level: left unused until the unit is told`,
    );
  else if (bases > 1.3 && bases < 2.3)
    draft.doubts.push(
      `taken as ppm the bases are ${show(bases)} times the CEC; the values would fit lb/ac, at half the level`,
    );
  else if (!draft.unitTold) draft.doubts.push('the unit is not told: ppm is assumed');
  else if (cation === 'k' && median > HIGH_K_PPM)
    draft.doubts.push(`values about ${show(median)} ppm are high and would also fit lb/ac, at half the level`);
}

/** Na is low in either unit: where none is told it goes with Ca. */
function naAsTheOthers(by: ReadonlyMap<ColumnRole, Draft>): void {
  const na = by.get('na');
  const ca = by.get('ca');
  if (na?.is !== 'na' || na.unitTold || ca?.is !== 'ca' || na.unit === ca.unit) return;
  na.unit = ca.unit;
  na.doubts = [`the unit is not told: ${ca.unit} is assumed, as for Ca`];
}

/** CEC in meq/100 g by record, whichever unit its column is in. */
function cecFigures(by: ReadonlyMap<ColumnRole, Draft>): Float64Array | undefined {
  const cec = by.get('cec');
  return cec?.unit === 'mmolc/kg' ? cec.spread.figures.map((value) => value / 10) : cec?.spread.figures;
}

/** Median of bases over CEC with every cation taken as ppm; NaN without K, Ca, Mg and CEC. */
function basesOverCec(dataset: Dataset, by: ReadonlyMap<ColumnRole, Draft>): number {
  const value = (role: ColumnRole, row: number): number => by.get(role)?.spread.figures[row] ?? Number.NaN;
  if (CATIONS.some((cation) => cation !== 'na' && by.get(cation)?.unit !== 'ppm')) return Number.NaN;
  const cec = cecFigures(by);
  return medianBy(dataset.records.length, (row) => {
    const sum =
      value('k', row) / FACTORS.rounded.k +
      value('ca', row) / FACTORS.rounded.ca +
      value('mg', row) / FACTORS.rounded.mg;
    return sum / (cec?.[row] ?? Number.NaN);
  });
}

function swapped(by: ReadonlyMap<ColumnRole, Draft>): void {
  const k = by.get('k');
  const ca = by.get('ca');
  if (k?.is !== 'k' || ca?.is !== 'ca' || k.unit !== ca.unit || k.unit === 'meq/100 g') return;
  if (k.spread.median > ca.spread.median)
    for (const draft of [k, ca]) draft.doubts.push('K is above Ca in most rows: the columns may be swapped');
}

function places(by: ReadonlyMap<ColumnRole, Draft>): void {
  const lng = by.get('lng');
  const lat = by.get('lat');
  if (!lng || !lat) return;
  // The middle of them counts: one slip does not turn degrees into metres.
  const beyond = (draft: Draft, most: number): boolean => Math.abs(draft.spread.median) > most;
  if (beyond(lat, 90) && !beyond(lat, 180) && !beyond(lng, 90)) {
    lat.doubts.push('latitudes beyond 90: the two coordinates may be swapped');
    return;
  }
  if (!beyond(lng, 180) && !beyond(lat, 90)) return;
  for (const draft of [lng, lat]) {
    draft.unit = 'none';
    draft.doubts.push('values beyond degrees: the coordinate system must be told');
  }
}

/** Slices of one profile that a lab is asked for at most (ours); more distinct depths are those of the soil. */
const MOST_DEPTHS = 4;

function depth(dataset: Dataset, draft: Draft | undefined, hasTop: boolean): void {
  if (!draft || draft.spread.filled === 0) return;
  const cells = dataset.records.map((record) => record.cells[draft.index] ?? null);
  const bottoms = (unit: LengthUnit): readonly number[] =>
    cells.flatMap((cell) => readDepth(cell, dataset.decimal, unit)?.bottom_in ?? []).sort((a, b) => a - b);
  // A file of several depths has the plow layer among its shallow ones.
  const shallow = (unit: LengthUnit): number => {
    const sorted = bottoms(unit);
    const several = new Set(sorted).size <= MOST_DEPTHS;
    return sorted[Math.floor((sorted.length - 1) / (several ? 4 : 2))] ?? Number.NaN;
  };
  const told = new Set(cells.flatMap((cell) => toldUnitOf(cell) ?? []));
  const [own] = told;
  if (!draft.unitTold && own !== undefined && told.size === 1) draft.unit = own;
  else if (!draft.unitTold) {
    // Plow-layer samples are 6 to 8 in., 15 to 20 cm.
    draft.unit = shallow('in') > 12 || bottoms('cm').length > bottoms('in').length ? 'cm' : 'in';
    draft.doubts.push(`the unit is not told: ${draft.unit} is assumed`);
  }
  const shallow_in = shallow(lengthOfColumn(draft.unit));
  const ranges = cells.filter((cell) => typeof cell === 'string' && /\d\D*(-|\u2013|to)\D*\d/i.test(cell)).length;
  if (shallow_in <= 14 || ((hasTop || ranges > draft.spread.filled / 2) && !Number.isNaN(shallow_in))) return;
  draft.is = 'unused';
  draft.unit = 'none';
  draft.doubts = [
    Number.isNaN(shallow_in)
      ? 'its cells tell no depth: left unused'
      : `values about ${show(shallow_in)} in. read like the depth of the soil, not of the sample: left unused`,
  ];
}

const show = (value: number): string => String(Number(value.toPrecision(3)));
