import { FACTORS } from '../soil/chemistry.ts';
import type { SoilOut } from '../soil/types.ts';
import type { LayerId } from './types.ts';

type Layers = Partial<Record<LayerId, Float64Array>>;

/**
 * Adds what follows from the measured layers, cell by cell, where the layers that it takes are there:
 *
 * K, Ca and Mg saturation in % = 100 x (ppm / factor) / CEC; Ca + Mg share of the CEC in % = their sum; K:Mg by equivalents =
 * (K ppm / factor) / (Mg ppm / factor). Factors are of the samples' set. NaN where a part is, where the CEC is not above 0, or the Mg
 * below K:Mg is not. A K saturation that was interpolated itself stays as it is; otherwise a ratio of two surfaces keeps cation and CEC
 * of a cell in step.
 */
export function derive(layers: Layers, factors: SoilOut['factors']): void {
  for (const step of deriving(layers, factors)) step();
}

/** The work of `derive`, a layer a step, for who breathes in between; in their order, each after the one before was done. */
export function deriving(layers: Layers, factors: SoilOut['factors']): readonly (() => void)[] {
  const { k, ca, mg } = FACTORS[factors];
  const { cec_meq, k_ppm, ca_ppm, mg_ppm } = layers;
  const steps: (() => void)[] = [];
  const add = (id: LayerId, make: () => Float64Array): void => {
    steps.push(() => {
      layers[id] = make();
    });
  };
  if (cec_meq && k_ppm && !layers.kSat_pct) add('kSat_pct', () => share_pct(k_ppm, k, cec_meq));
  if (cec_meq && ca_ppm) add('caSat_pct', () => share_pct(ca_ppm, ca, cec_meq));
  if (cec_meq && mg_ppm) add('mgSat_pct', () => share_pct(mg_ppm, mg, cec_meq));
  steps.push(() => {
    const { caSat_pct, mgSat_pct } = layers;
    if (caSat_pct && mgSat_pct) layers.caMgShare_pct = cellByCell(caSat_pct, mgSat_pct, (ofCa, ofMg) => ofCa + ofMg);
  });
  if (k_ppm && mg_ppm)
    add('kMg_ratio', () => cellByCell(k_ppm, mg_ppm, (ofK, ofMg) => (ofMg > 0 ? ofK / k / (ofMg / mg) : Number.NaN)));
  return steps;
}

/** Share of the CEC that a cation holds. */
const share_pct = (cells_ppm: Float64Array, factor: number, cells_meq: Float64Array): Float64Array =>
  cellByCell(cells_ppm, cells_meq, (value_ppm, cec_meq) =>
    cec_meq > 0 ? (100 * value_ppm) / factor / cec_meq : Number.NaN,
  );

/** A plain loop: `map` of typed arrays is several times slower, and these are millions of cells. */
function cellByCell(a: Float64Array, b: Float64Array, of: (a: number, b: number) => number): Float64Array {
  const out = new Float64Array(a.length);
  for (let cell = 0; cell < out.length; cell++) out[cell] = of(a[cell] ?? Number.NaN, b[cell] ?? Number.NaN);
  return out;
}
