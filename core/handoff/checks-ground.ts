import { type Problem, stop } from '../base/problem.ts';
import { toAcres } from '../base/units.ts';
import { area_m2 } from '../geo/area.ts';
import type { CheckInput, Checks } from './checks.ts';
import { partitionOf } from './partition.kernel.ts';
import type { CheckLine, Piece, Prescription } from './types.ts';
import { type Fault, faultOf } from './valid.kernel.ts';

/** Relative difference of area that the files may show: one part in a million. */
export const AREA_TOLERANCE = 1e-6;

/** The largest change of rate between two records that share an edge. */
export interface Step {
  readonly pass: string;
  readonly step_lbPerAc: number;
  readonly letters: readonly [string, string];
}

/**
 * Sound polygons that cover the ground once and wholly, less what zones leave out, in every pass.
 * Problems, all faults of the program that are shown and never written: `handoff-invalid`, `handoff-cover`, `handoff-overlap`, `handoff-gap`.
 */
export function groundChecks(input: CheckInput): Checks & { readonly largestSteps: readonly Step[] } {
  const { prescriptions, ground, leftOut, cells } = input;
  const lines: CheckLine[] = [];
  const problems: Problem[] = [];
  const largestSteps: Step[] = [];
  const [first] = prescriptions;
  if (!first) return { lines, problems, largestSteps };
  const kept = leftOut.length > 0 ? ', less those kept out' : '';
  const ground_ac = toAcres(area_m2(ground)) - toAcres(area_m2(leftOut));
  const off_ac = prescriptions.reduce((worst, { totals }) => larger(worst, totals.acres - ground_ac), 0);
  const covers = Math.abs(off_ac) <= AREA_TOLERANCE * ground_ac;
  const what = cells ? 'Cells' : 'Zones';
  lines.push({
    what: `${what} cover the spreadable acres${kept}`,
    figure: `${off_ac.toFixed(5)} ac over`,
    holds: covers,
  });
  if (!covers) {
    const message = `The records' acres differ from the field's by ${off_ac.toFixed(4)} ac.`;
    problems.push(
      stop('handoff-cover', message, 'Change the cell size or the least acres of a zone, and report the plan.'),
    );
  }

  const fault = firstFault(prescriptions);
  lines.push({
    what: 'Polygons are sound: closed, wound as they must be, meeting nowhere',
    figure: fault ? WORDS[fault.fault] : `${first.pieces.length} looked at`,
    holds: fault === null,
  });
  if (fault) problems.push(invalid(fault));

  let [over_m2, gap_m2] = [0, 0];
  for (const one of distinctShapes(prescriptions)) {
    const records = [...one.pieces.map(({ polygons }) => polygons), leftOut];
    const pairs = prescriptions
      .filter((other) => sameShapes(other, one))
      .map(({ pass, pieces }) => ({ pass, pieces, best: none(pass) }));
    const found = partitionOf(records, ground, (a, b) => {
      for (const pair of pairs) pair.best = steeper(pair.best, pair.pieces[a], pair.pieces[b]);
    });
    over_m2 = Math.max(over_m2, found.over_m2);
    gap_m2 = Math.max(gap_m2, found.gap_m2);
    largestSteps.push(...pairs.map(({ best }) => best));
  }
  const most_m2 = AREA_TOLERANCE * area_m2(ground);
  lines.push(
    { what: 'No two records overlap', figure: `${over_m2.toFixed(3)} m² shared`, holds: over_m2 <= most_m2 },
    { what: 'No gap between records', figure: `${gap_m2.toFixed(3)} m² bare`, holds: gap_m2 <= most_m2 },
  );
  const remedy = 'Turn smoothing of outlines off in the zones stage, and report the plan.';
  if (over_m2 > most_m2) problems.push(stop('handoff-overlap', `Records overlap by ${over_m2.toFixed(2)} m².`, remedy));
  if (gap_m2 > most_m2)
    problems.push(stop('handoff-gap', `Ground of ${gap_m2.toFixed(2)} m² lies in no record.`, remedy));
  return { lines, problems, largestSteps };
}

const larger = (a: number, b: number): number => (Math.abs(b) > Math.abs(a) ? b : a);

/** Passes of the same outlines are looked at once. */
const sameShapes = (a: Prescription, b: Prescription): boolean =>
  a === b ||
  (a.pieces.length === b.pieces.length &&
    a.pieces.every(({ polygons }, i) => sameOutline(polygons, b.pieces[i]?.polygons)));
const sameOutline = (a: Piece['polygons'], b: Piece['polygons'] | undefined): boolean =>
  a === b || (a.length === b?.length && a.every((polygon, i) => polygon === b[i]));
const distinctShapes = (all: readonly Prescription[]): Prescription[] =>
  all.filter((one, i) => all.findIndex((other) => sameShapes(other, one)) === i);

interface Found {
  readonly fault: Fault;
  readonly piece: Piece;
  readonly number: number;
}

function firstFault(prescriptions: readonly Prescription[]): Found | null {
  for (const { pieces } of distinctShapes(prescriptions)) {
    for (const [i, piece] of pieces.entries()) {
      const fault = faultOf(piece.polygons);
      if (fault) return { fault, piece, number: i + 1 };
    }
  }
  return null;
}

const WORDS: Readonly<Record<Fault, string>> = {
  unclosed: 'a ring is not closed',
  'no area': 'a ring holds no ground',
  'wound wrong': 'a ring is wound the wrong way',
  'crosses itself': 'a ring crosses or touches itself',
  'parts meet': 'parts of a record run into one another',
};

function invalid({ fault, piece, number }: Found): Problem {
  const place = piece.polygons[0]?.[0]?.[0];
  return stop(
    'handoff-invalid',
    `Record ${number}, zone ${piece.letter}: ${WORDS[fault]}.`,
    'Turn smoothing of outlines off in the zones stage, or change the cell size, and report the plan.',
    { feature: number, zone: piece.letter, ...(place ? { lngLat: [place[0], place[1]] as const } : {}) },
  );
}

const none = (pass: string): Step => ({ pass, step_lbPerAc: 0, letters: ['', ''] });

function steeper(best: Step, a: Piece | undefined, b: Piece | undefined): Step {
  if (!a || !b) return best;
  const step = Math.max(Math.abs(a.rate_lbPerAc - b.rate_lbPerAc), Math.abs(a.second_lbPerAc - b.second_lbPerAc));
  if (step <= best.step_lbPerAc) return best;
  const letters = [a.letter, b.letter].sort();
  return { pass: best.pass, step_lbPerAc: step, letters: [letters[0] ?? '', letters[1] ?? ''] };
}
