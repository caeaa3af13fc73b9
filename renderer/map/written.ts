import type { Piece } from '../../core/handoff/types.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { collection, type FeatureCollection, NOTHING, polygonFeature } from './geojson.ts';
import { colourOf, RAMPS } from './ramps.ts';

/** More records than these are not drawn one by one. */
const MOST_DRAWN = 20_000;

interface WrittenRecord {
  readonly piece: Piece;
  /** Of all products in the passes that are drawn together, lb/ac. */
  readonly rate_lbPerAc: number;
}

const all = (piece: Piece | undefined): number => (piece ? piece.rate_lbPerAc + piece.second_lbPerAc : 0);

/** Passes that can be drawn together: all of them where their records are the same ground, else the first alone. */
export function writtenPasses(out: Pick<PlanOut, 'handoff'>): readonly string[] {
  const prescriptions = out.handoff?.prescriptions ?? [];
  const [first] = prescriptions;
  const same = prescriptions.every(
    ({ pieces }) =>
      pieces.length === first?.pieces.length && pieces.every((piece, i) => piece.acres === first.pieces[i]?.acres),
  );
  return (same ? prescriptions : prescriptions.slice(0, 1)).map(({ pass }) => pass);
}

/** The records of the files with their rates. */
export function writtenRecords(out: Pick<PlanOut, 'handoff'>): readonly WrittenRecord[] {
  const passes = writtenPasses(out);
  const drawn = out.handoff?.prescriptions.filter(({ pass }) => passes.includes(pass)) ?? [];
  return (drawn[0]?.pieces ?? []).map((piece, i) => ({
    piece,
    rate_lbPerAc: drawn.reduce((sum, { pieces }) => sum + all(pieces[i]), 0),
  }));
}

/** The records in the colours of their rates, and the edges of cells. */
export function writtenShapes(out: Pick<PlanOut, 'handoff'>): {
  readonly rates: FeatureCollection;
  readonly edges: FeatureCollection;
} {
  const records = writtenRecords(out);
  if (records.length > MOST_DRAWN) return { rates: NOTHING, edges: NOTHING };
  const rates = collection(
    ...records.map(({ piece, rate_lbPerAc }) =>
      polygonFeature(piece.polygons, { colour: colourOf(RAMPS.rate, rate_lbPerAc) ?? '' }),
    ),
  );
  return { rates, edges: out.handoff?.cells ? rates : NOTHING };
}
