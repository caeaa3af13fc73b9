import type { Span } from './types.ts';

/** Where a K test stands against a critical level, or against the two ends of one. In ppm both. */
export function standing(k_ppm: number, critical: Span): string {
  if (k_ppm < critical.least) return 'below the critical level';
  if (k_ppm >= critical.most) return 'at or above the critical level';
  return 'between the two ends of the critical level';
}
