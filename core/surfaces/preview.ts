import type { FieldGrid } from '../geo/types.ts';
import type { SoilOut } from '../soil/types.ts';
import { derive } from './derive.ts';
import { blankRows, jobOf, LEAST_SAMPLES } from './groups.ts';
import { type IdwJob, idwGrid } from './idw.ts';
import { MEASURED, measuredIds } from './measured.ts';
import type { MeasuredId, SurfacesSettings } from './settings.ts';
import type { LayerId } from './types.ts';
import { wayOf } from './ways.ts';

export interface PreviewInput {
  readonly soil: SoilOut;
  /** Grid of the surfaces that are shown, so that the preview lies on their cells whatever `settings.cell_m` says. */
  readonly grid: FieldGrid;
  /** Settings being tried. */
  readonly settings: SurfacesSettings;
  readonly layer: MeasuredId;
}

/** What a preview may take to work out, beside the pass over the grid's cells. */
const BUDGET_NS = 12e6;

/**
 * What one layer would look like with other settings, coarsely: blocks of `previewStep` x `previewStep` cells, each with the value that
 * `makeSurfaces` gives in the block's middle (the south-western of the middle ones); where one cell a block is within the budget, the surface itself.
 * In cell order; NaN off the ground and where no sample is in the radius. K saturation by the rule of the settings: from K and CEC, or itself.
 *
 * Null with zone composites (no setting changes them) and for a layer that has no surface. Inputs are not changed.
 * Cost: bounded, some tens of milliseconds for 800,000 cells and 2,000 samples. Ours.
 */
export function previewSurface(input: PreviewInput): Float64Array | null {
  const { soil, grid, settings, layer } = input;
  if (soil.kind === 'composites') return null;
  if (measuredIds(settings).includes(layer)) {
    const itself = oneLayer(input, layer, 1);
    if (itself || layer !== 'kSat_pct') return itself && spreadOver(grid, itself);
  }
  const [k, cec] = [oneLayer(input, 'k_ppm', 2), oneLayer(input, 'cec_meq', 2)];
  if (layer !== 'kSat_pct' || !k || !cec) return null;
  const layers: Partial<Record<LayerId, Float64Array>> = {
    k_ppm: spreadOver(grid, k),
    cec_meq: spreadOver(grid, cec),
  };
  derive(layers, soil.factors);
  return layers.kSat_pct ?? null;
}

interface Coarse {
  readonly step: number;
  readonly cols: number;
  readonly values: Float64Array;
}

function oneLayer({ soil, grid, settings }: PreviewInput, layer: MeasuredId, of: number): Coarse | null {
  const samples = soil.samples.filter((sample) => Number.isFinite(MEASURED[layer](sample)));
  if (samples.length < LEAST_SAMPLES) return null;
  const way = wayOf(settings, layer);
  const { lattice, cover_m2 } = grid;
  const step = previewStep(lattice.cols * lattice.rows * of, samples.length, way.power, way.neighbours);
  const [cols, rows] = [Math.ceil(lattice.cols / step), Math.ceil(lattice.rows / step)];
  const wanted = new Float64Array(cols * rows);
  for (let row = 0; row < lattice.rows; row++) {
    const block = Math.floor(row / step) * cols;
    const first = row * lattice.cols;
    for (let at = 0, col = 0; col < lattice.cols; at++)
      for (const end = Math.min(col + step, lattice.cols); col < end; col++)
        if ((cover_m2[first + col] ?? 0) > 0) wanted[block + at] = 1;
  }
  const whole = jobOf({ layers: [layer], samples, way }, grid, { cols, rows, wanted });
  const middle = Math.floor((step - 1) / 2);
  const job: IdwJob = {
    ...whole,
    x0: whole.x0 + middle * whole.dx,
    y0: whole.y0 + middle * whole.dy,
    dx: whole.dx * step,
    dy: whole.dy * step,
  };
  blankRows(job, 0, job.rows);
  idwGrid(job);
  const [values] = job.out;
  return values ? { step, cols, values } : null;
}

/**
 * Side of a preview's blocks in cells: the least at which the work stays in the budget, by what a cell takes (nanoseconds, measured roughly
 * and rounded up): a search that grows with the square of the neighbours, and a weight for each, by `pow` unless the power is a whole or half one.
 */
export function previewStep(cells: number, samples: number, power: number, neighbours: number): number {
  const all = neighbours === 0 || neighbours >= samples;
  const perWeight_ns = power === 2 ? 4 : Number.isInteger(2 * power) && power <= 4 ? 12 : 70;
  const search_ns = all ? 500 : 500 + 30 * neighbours + neighbours * neighbours;
  const perCell_ns = search_ns + perWeight_ns * (all ? samples : neighbours);
  return Math.max(1, Math.ceil(Math.sqrt((cells * perCell_ns) / BUDGET_NS)));
}

/** Gives each cell with ground the value of its block. */
function spreadOver({ lattice, cover_m2 }: FieldGrid, { step, cols, values }: Coarse): Float64Array {
  const out = new Float64Array(cover_m2.length);
  for (let row = 0; row < lattice.rows; row++) {
    const block = Math.floor(row / step) * cols;
    const first = row * lattice.cols;
    for (let at = 0, col = 0; col < lattice.cols; at++) {
      const value = values[block + at] ?? Number.NaN;
      for (const end = Math.min(col + step, lattice.cols); col < end; col++)
        out[first + col] = (cover_m2[first + col] ?? 0) > 0 ? value : Number.NaN;
    }
  }
  return out;
}
