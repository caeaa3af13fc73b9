import { MEASURED_IDS, type MeasuredId } from '../../core/surfaces/settings.ts';
import type { SampleResidual, SurfacesOut } from '../../core/surfaces/types.ts';
import { useResults } from './results.ts';

/** What the other samples say of one, in one quantity. */
export interface Residual extends SampleResidual {
  readonly quantity: MeasuredId;
}

export const rowKey = (row: { readonly file: string; readonly row: number }): string => `${row.file}\n${row.row}`;

/** Residuals of every row that is a spatial outlier in some quantity, by row; K first. */
export function outliersByRow(
  surfaces: Pick<SurfacesOut, 'residuals'> | null,
): ReadonlyMap<string, readonly Residual[]> {
  const found = new Map<string, Residual[]>();
  for (const quantity of MEASURED_IDS)
    for (const residual of surfaces?.residuals[quantity] ?? []) {
      if (!residual.outlier) continue;
      const list = found.get(rowKey(residual));
      if (list) list.push({ ...residual, quantity });
      else found.set(rowKey(residual), [{ ...residual, quantity }]);
    }
  return found;
}

/** Made once for each set of surfaces: every row of a long table asks for it. */
const made = new WeakMap<object, ReadonlyMap<string, readonly Residual[]>>();
const NONE: ReadonlyMap<string, readonly Residual[]> = new Map();

export function useOutliers(): ReadonlyMap<string, readonly Residual[]> {
  const surfaces = useResults((results) => results.out?.surfaces ?? null);
  if (!surfaces) return NONE;
  const known = made.get(surfaces);
  if (known) return known;
  const found = outliersByRow(surfaces);
  made.set(surfaces, found);
  return found;
}
