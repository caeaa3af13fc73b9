/** The invented ground of Hollow Quarter: its outline, its soil, and what the sampler and the lab got wrong. Metres from the south-west corner. */

type XY = readonly [number, number];

/** A quarter section (805 m a side) whose fences are not quite straight; a grassed waterway; a farmstead in the north-east. */
export const FIELD = {
  outer: [
    [2, 0],
    [262, -3],
    [540, 1],
    [803, 4],
    [806, 268],
    [801, 540],
    [804, 806],
    [548, 803],
    [270, 807],
    [-4, 804],
    [-9, 640],
    [-14, 520],
    [-8, 410],
    [1, 300],
    [4, 140],
  ] satisfies XY[],
  waterway: [
    [118, 672],
    [140, 664],
    [182, 630],
    [226, 596],
    [268, 562],
    [312, 508],
    [356, 470],
    [404, 444],
    [446, 404],
    [488, 342],
    [524, 282],
    [552, 226],
    [566, 196],
    [578, 204],
    [570, 238],
    [546, 296],
    [512, 356],
    [472, 418],
    [428, 462],
    [378, 492],
    [336, 528],
    [294, 582],
    [250, 618],
    [204, 652],
    [160, 682],
    [130, 690],
  ] satisfies XY[],
  farmstead: [
    [716, 724],
    [822, 722],
    [824, 824],
    [718, 826],
  ] satisfies XY[],
};

const SEED = 20_260_412;

/** Small seeded generator (mulberry32, public domain): the same numbers on every machine. */
function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** Sum of six uniforms, centred: near enough to a normal of standard deviation 0.7071. */
const wobble = (random: () => number): number => random() + random() + random() + random() + random() + random() - 3;
const hill = (x: number, y: number, cx: number, cy: number, radius_m: number): number =>
  Math.exp(-((x - cx) ** 2 + (y - cy) ** 2) / (2 * radius_m ** 2));
const step = (value: number): number => 1 / (1 + Math.exp(-value));

export interface SamplePoint {
  readonly id: string;
  readonly x_m: number;
  readonly y_m: number;
}

/** One point every 330 ft (2.5 acres), walked back and forth, a few metres off; none in the waterway or the farmstead. */
export function samplePoints(): SamplePoint[] {
  const random = generator(SEED);
  const points: SamplePoint[] = [];
  for (let row = 0; row < 8; row++) {
    for (let i = 0; i < 8; i++) {
      const col = row % 2 === 0 ? i : 7 - i;
      const x_m = 50.3 + col * 100.58 + 9 * wobble(random);
      const y_m = 50.3 + row * 100.58 + 9 * wobble(random);
      if (inside(FIELD.waterway, x_m, y_m) || inside(FIELD.farmstead, x_m, y_m)) continue;
      points.push({ id: `HQ-${String(points.length + 1).padStart(2, '0')}`, x_m, y_m });
    }
  }
  // The receiver lost its correction on the last one: it lies over the west fence.
  return [...points, { id: `HQ-${points.length + 1}`, x_m: -96, y_m: 352 }];
}

interface Soil {
  readonly k_ppm: number;
  readonly ca_ppm: number;
  readonly mg_ppm: number;
  readonly na_ppm: number;
  readonly ph: number;
  readonly bufferPh: number | null;
  readonly cec_meq: number;
}

/** Loam, with heavy flats in the south-west, a sandy rise in the north-west and ground in the north-east manured for years. */
function soilAt(x: number, y: number, random: () => number): Soil {
  const flats = step((300 - y + 0.12 * (430 - x)) / 45) * step((590 - x) / 40);
  const sand = hill(x, y, 410, 668, 112);
  const manure = hill(x, y, 748, 668, 104);
  const cec = Math.max(3.2, 13.5 + 11 * flats - 10.8 * sand + 1.2 * manure + 0.8 * wobble(random));
  const k_ppm = Math.max(38, 128 + 56 * flats - 58 * sand + 560 * manure + 9 * wobble(random));
  const ph = 6.45 + 0.55 * flats - 0.35 * sand + 0.3 * manure + 0.1 * wobble(random);
  const caShare = 0.63 + 0.1 * flats - 0.06 * sand - 0.03 * manure + 0.012 * wobble(random);
  const mgShare = 0.13 + 0.075 * flats - 0.02 * sand + 0.03 * manure + 0.008 * wobble(random);
  const na_ppm = 11 + 5 * flats + 9 * manure + 1.5 * wobble(random);
  const bases_meq = cec * (caShare + mgShare) + k_ppm / 390.98 + na_ppm / 229.9;
  const h_meq = ph >= 6.8 ? 0 : Math.max(0, cec - bases_meq);
  return {
    k_ppm: Math.round(k_ppm),
    ca_ppm: Math.round(cec * caShare * 200.39),
    mg_ppm: Math.round(cec * mgShare * 121.53),
    na_ppm: Math.round(na_ppm),
    ph: Math.round(ph * 10) / 10,
    bufferPh: ph >= 6.8 ? null : Math.round((7 - h_meq / 12) * 100) / 100,
    cec_meq: Math.round((bases_meq + h_meq) * 10) / 10,
  };
}

/**
 * The lab's table, with what goes wrong in real ones: a K that was not run, sodium under the detection limit, one id
 * twice with different values, and an id nobody has a point for.
 */
export function labRows(points: readonly SamplePoint[]): string[][] {
  const random = generator(SEED + 1);
  const header = ['Sample ID', 'K ppm', 'Ca ppm', 'Mg ppm', 'Na ppm', 'pH', 'Buffer pH', 'CEC meq/100g', 'Depth in'];
  const rows = points.map((point) => {
    const soil = soilAt(point.x_m, point.y_m, random);
    return [
      point.id,
      `${soil.k_ppm}`,
      `${soil.ca_ppm}`,
      `${soil.mg_ppm}`,
      `${soil.na_ppm}`,
      soil.ph.toFixed(1),
      soil.bufferPh === null ? '' : soil.bufferPh.toFixed(2),
      soil.cec_meq.toFixed(1),
      '6',
    ];
  });
  const change = (id: string, column: number, text: string): void => {
    const row = rows.find((one) => one[0] === id);
    if (row) row[column] = text;
  };
  change('HQ-17', 1, '');
  change('HQ-30', 4, '<8');
  change('HQ-33', 7, '');
  const twice = rows.find((row) => row[0] === 'HQ-23');
  if (twice)
    rows.splice(rows.indexOf(twice) + 1, 0, [twice[0] ?? '', String(Number(twice[1]) + 41), ...twice.slice(2)]);
  rows.push(['HQ-91', '144', '1890', '231', '12', '6.5', '6.88', '13.9', '6']);
  return [header, ...rows];
}

function inside(ring: readonly XY[], x: number, y: number): boolean {
  let odd = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i] ?? [0, 0];
    const [xj, yj] = ring[j] ?? [0, 0];
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) odd = !odd;
  }
  return odd;
}
