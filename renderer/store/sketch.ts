import { create } from 'zustand';
import type { LngLat } from '../../core/geo/types.ts';

/** What is being drawn on the map by hand. A finished shape is told once; what becomes of it is the asker's. */
export interface SketchTask {
  readonly shape: 'polygon' | 'line' | 'point' | 'brush';
  /** What is drawn, for the strip over the map: `A zone of its own`. */
  readonly says: string;
  /** Width of a brush. */
  readonly width_m?: number;
  /** Lines to which corners are drawn when near: boundary and neighbours. */
  readonly snapTo?: readonly (readonly LngLat[])[];
  /** Positions in order: of a polygon the ring, closed; of a point one. */
  readonly onDone: (positions: readonly LngLat[]) => void;
  /** True where the next one is begun at once: a brush paints on until it is put down. */
  readonly again?: boolean;
}

export const useSketch = create<{ readonly task: SketchTask | null }>()(() => ({ task: null }));

export const startSketch = (task: SketchTask): void => useSketch.setState({ task });
export const endSketch = (): void => useSketch.setState({ task: null });
