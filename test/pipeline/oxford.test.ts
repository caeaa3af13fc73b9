import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { localFrame, toLngLat } from '../../core/geo/frame.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import { startPlan } from '../../core/plan/start.ts';

/**
 * The whole job on a real soil survey: 126 augerings on a 100 m grid near Oxford (Burrough & McDonnell 1998; data set
 * `oxford` of the R package gstat, GPL-2+; see test/fixtures/opendata/NOTICE). Its local metres are laid on
 * longitude and latitude about an arbitrary place, since the data name none.
 */
const csv = readFileSync(fileURLToPath(new URL('../fixtures/opendata/oxford-samples.csv', import.meta.url)), 'utf8');
const [head = '', ...lines] = csv.trim().split(/\r?\n/);
const names = head.split(',').map((name) => name.replaceAll('"', ''));
const rows = lines.map((line) =>
  Object.fromEntries(line.split(',').map((cell, i) => [names[i] ?? '', Number(cell.replaceAll('"', ''))])),
);
const x = rows.map((row) => row.XCOORD ?? Number.NaN);
const y = rows.map((row) => row.YCOORD ?? Number.NaN);
const frame = localFrame([-1.2, 51.7]);

const table = [
  'Lng,Lat,K ppm,Mg ppm,CEC meq/100g',
  ...rows.map((row, i) => {
    const [lng, lat] = toLngLat(frame, [x[i] ?? 0, y[i] ?? 0]);
    return [lng.toFixed(8), lat.toFixed(8), row.POT1, row.MG1, row.CEC1].join(',');
  }),
].join('\n');
const edge = 50;
const corners = [
  [Math.min(...x) - edge, Math.min(...y) - edge],
  [Math.max(...x) + edge, Math.min(...y) - edge],
  [Math.max(...x) + edge, Math.max(...y) + edge],
  [Math.min(...x) - edge, Math.max(...y) + edge],
] as const;
const ring = [...corners, corners[0]].map(([px, py]) => toLngLat(frame, [px, py]));
const boundary = JSON.stringify({
  type: 'Feature',
  properties: {},
  geometry: { type: 'Polygon', coordinates: [ring] },
});

describe('a plan on the Oxford soils', async () => {
  const started = startPlan({
    name: 'Oxford',
    boundary: [{ name: 'boundary.geojson', bytes: encodeUtf8(boundary) }],
    samples: [{ name: 'oxford.csv', bytes: encodeUtf8(table) }],
    crop: 'corn',
    yieldGoal: 150,
  });
  if (!started.ok) throw new Error(started.problems.map((problem) => problem.message).join('\n'));
  const out = await runPlan(started.value);

  it('keeps or sets aside every one of the 126 rows', () => {
    expect(out.soil?.read).toBe(126);
    expect(out.soil?.kept).toBeGreaterThan(100);
  });

  it('covers the field with zones and keeps the pounds', () => {
    const width = (corners[1][0] - corners[0][0]) * (corners[2][1] - corners[1][1]);
    // The rectangle was laid out in a flat frame: over 2 km at this latitude the ellipsoid agrees to a few parts in 10,000.
    expect((out.field?.spreadable_ac ?? 0) * 4046.8564224).toBeGreaterThan(width * 0.999);
    expect((out.field?.spreadable_ac ?? 0) * 4046.8564224).toBeLessThan(width * 1.001);
    const zoned = out.zones?.zones.reduce((sum, zone) => sum + zone.acres, 0) ?? 0;
    expect(zoned / (out.field?.spreadable_ac ?? 1)).toBeCloseTo(1, 6);
  });

  it('ends with files that prove, or with a reason for every zone that has no rate', () => {
    if (out.handoff) expect(proveFiles(out.handoff.files).proved).toBe(true);
    else {
      expect(out.stages.handoff.problems.length).toBeGreaterThan(0);
      for (const zone of out.rates?.zones.filter((one) => one.withheld) ?? [])
        expect(zone.withheld?.remedy.length).toBeGreaterThan(10);
    }
  });

  it('holds the survey’s own range: the mean of the K surface lies between the least and largest sample', () => {
    const k = out.soil?.samples.map((sample) => sample.k_ppm) ?? [];
    for (const zone of out.zones?.zones ?? []) {
      expect(zone.stats.k_ppm?.mean).toBeGreaterThanOrEqual(Math.min(...k));
      expect(zone.stats.k_ppm?.mean).toBeLessThanOrEqual(Math.max(...k));
    }
  });
});
