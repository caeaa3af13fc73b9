import { M_PER_FT } from '../../base/units.ts';
import { figure } from '../../rates/text.ts';
import { type Plot, tenth } from './draw.ts';
import type { Box } from './labels.ts';
import type { Measures } from './measures.ts';

const FEET = [50, 100, 200, 300, 500, 1000, 1500, 2000, 3000, 5000, 10_000, 20_000];
const METRES = [20, 50, 100, 150, 200, 300, 500, 1000, 2000, 3000, 5000];

/** North arrow, scale and way of driving, along the foot of the map, and the boxes they take. */
export function bottomOf(
  plot: Plot,
  { metric }: Measures,
  heading_deg: number | null,
): { readonly svg: string; readonly boxes: readonly Box[] } {
  const { width_px, height_px, pxPerMetre } = plot;
  const unit_m = metric ? 1 : M_PER_FT;
  const steps = metric ? METRES : FEET;
  const fits = steps.filter((step) => step * unit_m * pxPerMetre <= width_px * 0.3);
  const step = fits.at(-1) ?? steps[0] ?? 1;
  const length = tenth(Math.min(width_px * 0.6, step * unit_m * pxPerMetre));
  const y = height_px - 16;
  const right = width_px - 20;
  const words = `${figure(step)} ${metric ? 'm' : 'ft'}`;
  const boxes: Box[] = [
    { x: 44, y: height_px - 29, width: 76, height: 44 },
    { x: right - Math.max(length, 60) / 2, y: height_px - 24, width: Math.max(length, 60) + 8, height: 34 },
  ];
  const scale = `<path d="M${tenth(right - length)} ${y - 5}v5h${length}v-5" fill="none" stroke="#000" stroke-width="1.4"/><text x="${right}" y="${y - 8}" text-anchor="end" font-size="12">${words}</text>`;
  const north = `<path d="M20 ${y + 4}v-32M14.5 ${y - 17}l5.5 -12l5.5 12" fill="none" stroke="#000" stroke-width="1.6"/><text x="32" y="${y - 12}" font-size="12">north</text>`;
  if (heading_deg === null) return { svg: `${scale}${north}`, boxes };
  boxes.push({ x: 146, y: height_px - 29, width: 120, height: 44 });
  const drive = `<g transform="translate(108 ${y - 12}) rotate(${tenth(heading_deg)})"><path d="M0 16V-16M-4 -9L0 -16L4 -9M-4 9L0 16L4 9" fill="none" stroke="#000" stroke-width="1.6"/></g><text x="130" y="${y - 12}" font-size="12">way to drive</text>`;
  return { svg: `${scale}${north}${drive}`, boxes };
}
