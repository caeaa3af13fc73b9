/**
 * Memory that the surfaces of field L take over the idle process, and the longest stretch without a breath: `node --expose-gc memory.mjs`
 * prints both as JSON, times in milliseconds of processor. Six layers, 12 neighbours, cells of 5 m, errors over settings included.
 */
import { localFrame, toLngLat } from '../../core/geo/frame.ts';
import type { SoilOut, SoilSample } from '../../core/soil/types.ts';
import { makeSurfaces } from '../../core/surfaces/make.ts';
import { surfacesSettingsSchema } from '../../core/surfaces/settings.ts';
import { makeWorkload, processor_ms } from './workloads.ts';

const { x, y, z } = makeWorkload('L');
const side_m = 4498.3;
const frame = localFrame([-94.2, 42.7]);
const at = (px: number, py: number) => toLngLat(frame, [px - side_m / 2, py - side_m / 2]);
const samples = Array.from(x, (px, i): SoilSample => {
  const value = z[i] ?? 0;
  return {
    id: String(i + 1),
    file: 'lab.csv',
    row: i + 2,
    at: at(px, y[i] ?? 0),
    k_ppm: value,
    ca_ppm: 800 + 3 * value,
    mg_ppm: 100 + value / 2,
    na_ppm: 10 + value / 50,
    ph: 5.5 + value / 200,
    bufferPh: 6.8,
    organicMatter_pct: 3,
    cec_meq: 7 + value / 30,
    cecFrom: 'lab',
    h_meq: 2,
    saturation: { k_pct: 3, ca_pct: 60, mg_pct: 15, na_pct: 1, h_pct: 21 },
    depth_in: 6,
    year: 2025,
  };
});
const soil: SoilOut = {
  samples,
  rows: [],
  pointRows: [],
  columns: [],
  kind: 'points',
  factors: 'exact',
  read: samples.length,
  kept: samples.length,
  setAside: 0,
  series: [],
  differences: [],
  nearMisses: [],
  extractant: 'Mehlich-3',
  reading: [],
};
const ground = [[[at(0, 0), at(side_m, 0), at(side_m, side_m), at(0, side_m), at(0, 0)]]];
const settings = surfacesSettingsSchema.parse({ cell_m: 5 });

globalThis.gc?.();
const idle = process.memoryUsage().rss;
let peak = idle;
let longest_ms = 0;
let breath = processor_ms();
const start = breath;
const made = await makeSurfaces(
  { soil, ground, settings },
  {
    goOn: async () => {
      longest_ms = Math.max(longest_ms, processor_ms() - breath);
      peak = Math.max(peak, process.memoryUsage().rss);
      await new Promise((done) => setImmediate(done));
      breath = processor_ms();
      return true;
    },
  },
);
const ms = processor_ms() - start;
longest_ms = Math.max(longest_ms, processor_ms() - breath);
peak = Math.max(peak, process.memoryUsage().rss, process.resourceUsage().maxRSS * 1024);
if (!made.ok) throw new Error(made.problems.map((problem) => problem.message).join('\n'));
console.log(
  JSON.stringify({
    over_MB: (peak - idle) / 1e6,
    idle_MB: idle / 1e6,
    longest_ms,
    ms,
    layers: Object.keys(made.value.layers).length,
  }),
);
