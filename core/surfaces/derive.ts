import { FACTORS } from '../soil/chemistry.ts';
import type { SoilOut } from '../soil/types.ts';
import type { LayerId } from './types.ts';

const DERIVED = {
  kSat_pct: ['k_ppm', 'k'],
  caSat_pct: ['ca_ppm', 'ca'],
  mgSat_pct: ['mg_ppm', 'mg'],
} as const satisfies Partial<Record<LayerId, readonly [LayerId, 'k' | 'ca' | 'mg']>>;

/**
 * Adds K, Ca and Mg saturation in %, cell by cell: 100 x (ppm / factor) / CEC, where both layers are. NaN where either is, or CEC is 0.
 * Saturation is never interpolated itself: a ratio of two surfaces keeps cation and CEC of a cell in step.
 */
export function derive(layers: Partial<Record<LayerId, Float64Array>>, factors: SoilOut['factors']): void {
  const cec = layers.cec_meq;
  if (!cec) return;
  for (const [layer, [from, cation]] of Object.entries(DERIVED)) {
    const cells = layers[from];
    if (!cells) continue;
    const factor = FACTORS[factors][cation];
    const share = cells.map((value_ppm, cell) => {
      const cec_meq = cec[cell] ?? Number.NaN;
      return cec_meq > 0 ? (100 * value_ppm) / factor / cec_meq : Number.NaN;
    });
    layers[layer as keyof typeof DERIVED] = share; // the keys of DERIVED
  }
}
