import type { Dropped } from '../browser/harness.ts';
import { seeded } from '../surfaces/oracle.ts';

/** 5,000 acres as a square, about 42.7 N. */
const SIDE_M = 4498.3;
const SAMPLES = 2000;
const [LNG, LAT] = [-94.3, 42.7] as const;
const M_PER_DEG_LAT = 111_090;
const M_PER_DEG_LNG = 81_830;

const place = (x_m: number, y_m: number): [number, number] => [LNG + x_m / M_PER_DEG_LNG, LAT + y_m / M_PER_DEG_LAT];

/** A field of 5,000 acres with 2,000 samples whose K, Ca, Mg and CEC change slowly over it, as raw files. Seeded: the same every time. */
export function largeField(): Dropped[] {
  const chance = seeded(5000);
  const corners = [
    [0, 0],
    [SIDE_M, 0],
    [SIDE_M, SIDE_M],
    [0, SIDE_M],
    [0, 0],
  ] as const;
  const boundary = {
    type: 'Feature',
    properties: {},
    geometry: { type: 'Polygon', coordinates: [corners.map(([x, y]) => place(x, y))] },
  };
  const rows = Array.from({ length: SAMPLES }, (_, i) => {
    const [x, y] = [chance() * SIDE_M, chance() * SIDE_M];
    const wave = Math.sin(x / 700) + Math.cos(y / 900);
    const [lng, lat] = place(x, y);
    const k = 150 + 45 * wave + 40 * (chance() - 0.5);
    const cec = 14 + 3 * Math.cos(x / 1100) + 2 * (chance() - 0.5);
    const ca = 130 * cec + 80 * (chance() - 0.5);
    const mg = 18 * cec + 30 * (chance() - 0.5);
    return [
      i + 1,
      lng.toFixed(7),
      lat.toFixed(7),
      k.toFixed(0),
      ca.toFixed(0),
      mg.toFixed(0),
      cec.toFixed(1),
      '6.4',
    ].join();
  });
  const text = new TextEncoder();
  return [
    { name: 'boundary.geojson', bytes: text.encode(JSON.stringify(boundary)) },
    {
      name: 'lab.csv',
      bytes: text.encode(['SampleID,Longitude,Latitude,K ppm,Ca ppm,Mg ppm,CEC,pH', ...rows].join('\n')),
    },
  ];
}
