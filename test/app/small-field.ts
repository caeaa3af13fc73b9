import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';

/** South-west corner, and steps of some 100 m, of an invented forty. */
const WEST = -93.5;
const SOUTH = 42.1;
const STEP_LNG = 0.00121;
const STEP_LAT = 0.0009;
const STEPS = 4;

const EAST = WEST + STEPS * STEP_LNG;
const NORTH = SOUTH + STEPS * STEP_LAT;

const square = (west: number, south: number, east: number, north: number) => ({
  type: 'FeatureCollection',
  features: [
    {
      type: 'Feature',
      properties: {},
      geometry: {
        type: 'Polygon',
        coordinates: [
          [
            [west, south],
            [east, south],
            [east, north],
            [west, north],
            [west, south],
          ],
        ],
      },
    },
  ],
});

/** Sixteen samples in the middle of their squares: short in the west, with plenty in the east. */
function labText(): string {
  const rows = ['id,lon,lat,K ppm,Ca ppm,Mg ppm,pH,Buffer pH,CEC'];
  for (let row = 0; row < STEPS; row++) {
    for (let column = 0; column < STEPS; column++) {
      const lng = WEST + (column + 0.5) * STEP_LNG;
      const lat = SOUTH + (row + 0.5) * STEP_LAT;
      const k_ppm = 70 + 45 * column + 3 * row;
      rows.push(`${row * STEPS + column + 1},${lng.toFixed(6)},${lat.toFixed(6)},${k_ppm},2100,320,6.4,6.7,16.5`);
    }
  }
  return `${rows.join('\n')}\n`;
}

export interface SmallField {
  readonly boundary: string;
  readonly keepOut: string;
  readonly samples: string;
}

/** Raw files of a small field, as they come from a person, in a folder. */
export async function writeSmallField(folder: string): Promise<SmallField> {
  await mkdir(folder, { recursive: true });
  const files = {
    boundary: join(folder, 'boundary.geojson'),
    keepOut: join(folder, 'farmstead.geojson'),
    samples: join(folder, 'lab.csv'),
  };
  await writeFile(files.boundary, JSON.stringify(square(WEST, SOUTH, EAST, NORTH)));
  await writeFile(files.keepOut, JSON.stringify(square(WEST, SOUTH, WEST + STEP_LNG / 2, SOUTH + STEP_LAT / 2)));
  await writeFile(files.samples, labText());
  return files;
}
