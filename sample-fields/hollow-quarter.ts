/**
 * Makes the sample field "Hollow Quarter": an invented quarter section, its soil and the mistakes a real hand-over has.
 * Everything comes from the seed below, so the same script gives the same bytes. Run by `npm run sample-fields`.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { encodeUtf8 } from '../core/base/text.ts';
import { parseCrs } from '../core/formats/crs.ts';
import { writeGeoJson } from '../core/formats/geojson-write.ts';
import { writePointShapefile, writeShapefile } from '../core/formats/shapefile-write.ts';
import { zipFiles } from '../core/formats/zip.ts';
import type { LngLat } from '../core/geo/types.ts';
import { planText } from '../core/plan/open.ts';
import { startPlan } from '../core/plan/start.ts';
import { FIELD, labRows, samplePoints } from './hollow-quarter-soil.ts';

const folder = fileURLToPath(new URL('./hollow-quarter/', import.meta.url));

/** UTM zone 15 north on WGS84, as the ESRI dialect of WKT writes it (EPSG:32615). */
const UTM_15N =
  'PROJCS["WGS_1984_UTM_Zone_15N",GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],' +
  'PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],' +
  'PARAMETER["False_Easting",500000.0],PARAMETER["False_Northing",0.0],PARAMETER["Central_Meridian",-93.0],' +
  'PARAMETER["Scale_Factor",0.9996],PARAMETER["Latitude_Of_Origin",0.0],UNIT["Meter",1.0]]';

/** South-west corner of the field in UTM metres; everything in the soil model is east and north of it. */
const CORNER = { east: 399_540, north: 4_728_520 };

const utm = must(parseCrs(UTM_15N));
const place = (x: number, y: number): readonly [number, number] => [CORNER.east + x, CORNER.north + y];
const toLngLat = (x: number, y: number): LngLat => {
  const [lng, lat] = utm.toLngLat(...place(x, y));
  return [Math.round(lng * 1e8) / 1e8, Math.round(lat * 1e8) / 1e8];
};

const closed = (ring: readonly (readonly [number, number])[]): (readonly [number, number])[] => [
  ...ring,
  ...ring.slice(0, 1),
];
const centimetres = ([x, y]: readonly [number, number]): readonly [number, number] => [
  Math.round(x * 100) / 100,
  Math.round(y * 100) / 100,
];

const boundary = must(
  writeShapefile(
    'boundary',
    [{ name: 'NAME', kind: 'text', width: 24, decimals: 0 }],
    [
      {
        polygons: [
          [closed(FIELD.outer), closed(FIELD.waterway)].map((ring) =>
            ring.map(([x, y]) => centimetres(place(x, y)) as LngLat),
          ),
        ],
        values: ['Hollow Quarter'],
      },
    ],
  ),
).map((part) => (part.name.endsWith('.prj') ? { ...part, bytes: encodeUtf8(UTM_15N) } : part));
const points = samplePoints();
const pointParts = must(
  writePointShapefile(
    'sample-points',
    [{ name: 'SAMPLE_ID', kind: 'text', width: 8, decimals: 0 }],
    points.map((point) => ({ at: centimetres(place(point.x_m, point.y_m)) as LngLat, values: [point.id] })),
    UTM_15N,
  ),
);
const files = [
  { name: 'boundary.zip', bytes: zipFiles(boundary) },
  { name: 'sample-points.zip', bytes: zipFiles(pointParts) },
  {
    name: 'keep-out.geojson',
    bytes: writeGeoJson(
      [{ polygons: [[closed(FIELD.farmstead).map(([x, y]) => toLngLat(x, y))]], properties: { name: 'farmstead' } }],
      { name: 'keep-out' },
    ),
  },
  {
    name: 'lab-results.csv',
    bytes: encodeUtf8(
      labRows(points)
        .map((row) => `${row.join(',')}\r\n`)
        .join(''),
    ),
  },
];

mkdirSync(folder, { recursive: true });
for (const file of files) writeFileSync(`${folder}${file.name}`, file.bytes);

const byName = (name: string) => files.filter((file) => file.name === name);
const started = must(
  startPlan({
    name: 'Hollow Quarter',
    boundary: byName('boundary.zip'),
    keepOut: byName('keep-out.geojson'),
    points: byName('sample-points.zip'),
    samples: byName('lab-results.csv'),
    crop: 'corn',
    yieldGoal: 200,
    governs: 'larger',
  }),
);
// The sample's inputs lie beside its plan under their own names, so that a person finds them.
const named = new Map(started.plan.inputs.map((input) => [input.path, input.name]));
const text = planText({ ...started.plan, rates: { ...started.plan.rates, buildUp_years: 2 } });
const plan = [...named].reduce((json, [path, name]) => json.replaceAll(path, name), text);
writeFileSync(`${folder}plan.json`, plan);
process.stdout.write(`${files.map((file) => file.name).join(', ')} and plan.json, ${points.length} points\n`);

function must<T>(result: { ok: true; value: T } | { ok: false; problems: readonly { message: string }[] }): T {
  if (!result.ok) throw new Error(result.problems.map((problem) => problem.message).join('\n'));
  return result.value;
}
