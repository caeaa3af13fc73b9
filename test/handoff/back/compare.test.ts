import { beforeAll, describe, expect, it } from 'vitest';
import { compareWithPlan, type PlanSide } from '../../../core/handoff/back/compare.ts';
import { lookAtPrescription, readPrescription } from '../../../core/handoff/back/read.ts';
import { taskDataOf } from '../../../core/handoff/back/task-data.ts';
import type { OpenedPrescription } from '../../../core/handoff/back/types.ts';
import type { OutFile } from '../../../core/handoff/types.ts';
import { runPlan } from '../../../core/pipeline/run.ts';
import type { PlanOut } from '../../../core/pipeline/types.ts';
import type { Plan } from '../../../core/plan/schema.ts';
import { samplePlan } from '../../fields/hollow-quarter.ts';
import { geoJson, square } from './files.ts';

async function made(
  change: (plan: Plan) => Plan = (plan) => plan,
): Promise<{ files: readonly OutFile[]; side: PlanSide; out: PlanOut }> {
  const { plan, inputs } = samplePlan();
  const out = await runPlan({ plan: change(plan), inputs });
  if (!out.handoff || !out.field || !out.surfaces) throw new Error('no handoff');
  const side: PlanSide = {
    prescriptions: out.handoff.prescriptions,
    ground: out.field.spreadable,
    lattice: out.surfaces.grid.lattice,
    step_lbPerAc: 5,
  };
  return { files: out.handoff.files, side, out };
}

const named = (files: readonly OutFile[]) =>
  files.map(({ path, bytes }) => ({ name: path.slice(path.lastIndexOf('/') + 1), bytes }));
function opened(files: readonly { name: string; bytes: Uint8Array }[], told = {}): OpenedPrescription {
  const read = readPrescription(files, told);
  if (!read.ok) throw new Error(read.problems.map((problem) => problem.message).join('\n'));
  return read.value;
}

let us: Awaited<ReturnType<typeof made>>;
beforeAll(async () => {
  us = await made();
});

describe('our own files, opened again', () => {
  it('in every format and unit give the plan to the pound, and no difference anywhere', async () => {
    const metric = await made((plan) => ({ ...plan, handoff: { ...plan.handoff, rateUnit: 'kg/ha' } }));
    for (const { files, side, out } of [us, metric]) {
      const pass = out.handoff?.prescriptions[0];
      const ways = [
        files.filter(({ path }) => path.endsWith('.geojson')).slice(0, 1),
        files.filter(({ path, what }) => path.endsWith('.zip') && /shapefile/.test(what)).slice(0, 1),
        files.filter(({ path }) => path.startsWith('shapefile/')).slice(0, 5),
      ];
      for (const way of ways) {
        const one = opened(named(way));
        expect(one.acres).toBeCloseTo(pass?.totals.acres ?? 0, 4);
        // Rates stand in the file to two decimals of their unit.
        expect(Math.abs(one.product_lb - (pass?.totals.product_lb ?? 0))).toBeLessThan(0.005 * one.acres);
        expect(one.product).toBe('0-0-60');
        expect(one.pass).toBe(pass?.pass);
        expect(one.overlap_ac).toBe(0);
        const back = compareWithPlan(one, side);
        expect(back.problems).toEqual([]);
        expect(back.zones.map(({ letter }) => letter)).toEqual(['A', 'B', 'C', 'D', 'E', 'F']);
        for (const line of [...back.zones, back.all]) {
          expect([line.fileOnly_ac, line.planOnly_ac, line.greatest_lbPerAc, line.differs_ac]).toEqual([0, 0, 0, 0]);
          expect(line.meanDifference_lbPerAc).toBe(0);
          expect(line.greatestAt).toBeNull();
        }
        expect([...new Set(back.difference_lbPerAc)].every((value) => value === 0 || Number.isNaN(value))).toBe(true);
        expect(back.all.both_ac).toBeCloseTo(pass?.totals.acres ?? 0, 6);
        expect(back.all.planned_lb).toBeCloseTo(pass?.totals.product_lb ?? 0, 4);
        // Bare points, against acres that are known apart from them: within 1 in 1,000.
        expect(back.error_ac).toBeLessThan(0.001 * one.acres);
      }
    }
  });
});

it('opens the whole folder: each layer by a name of its own, and nothing but the layers asked about', () => {
  const shapes = us.files.filter(({ what }) => /shapefile|records/.test(what));
  const look = lookAtPrescription(named(shapes));
  expect(new Set(look.asked.layers).size).toBe(look.asked.layers.length);
  expect(look.read.problems.map(({ code }) => code)).toEqual(['back-layer-which']);
  const zip = shapes.find(({ path }) => path.endsWith('.zip'));
  expect(readPrescription(named(zip ? [zip] : [])).problems).toEqual([]);
  const table = { name: 'zones.csv', bytes: new TextEncoder().encode('a,b\n1,2,3\n') };
  expect(readPrescription([...named(zip ? [zip] : []), table]).problems.map(({ code }) => code)).toEqual([
    'back-beside',
  ]);
});

it('opens our own task data: the grid as a prescription, cut at the field, whose steps are all that differs', () => {
  const zip = us.files
    .filter(({ path }) => path.endsWith('.zip'))
    .find(({ bytes }) => taskDataOf(named([{ path: 'x.zip', bytes, what: '' }])) !== null);
  if (!zip) throw new Error('no task data');
  const [file] = named([zip]);
  if (!file) throw new Error('no file');
  const look = lookAtPrescription([file]);
  const tasks = us.side.prescriptions.length;
  expect(look.asked.layers.length).toBe(tasks);
  expect(look.read.problems.map(({ code }) => code)).toEqual(tasks > 1 ? ['back-layer-which'] : []);
  const pass = us.side.prescriptions[0];
  const one = opened([file], { layer: look.asked.layers[0] });
  expect([one.format, one.unit, one.product]).toEqual(['task data', 'lb/ac', '0-0-60']);
  expect(one.acres).toBeCloseTo(pass?.totals.acres ?? 0, 3);
  // Cells against smoothed outlines: about a thousandth of the pounds.
  expect(Math.abs(one.product_lb / (pass?.totals.product_lb ?? 1) - 1)).toBeLessThan(0.002);
  const back = compareWithPlan(one, us.side);
  expect(back.pass).toBe(pass?.pass);
  expect(back.all.both_ac).toBeCloseTo(pass?.totals.acres ?? 0, 1);
  expect(Math.abs(back.all.meanDifference_lbPerAc)).toBeLessThan(1);
  expect(back.all.differs_ac).toBeLessThan(0.05 * one.acres);
});

it('tells a zone that was changed in the file: how much, where, and what that comes to', () => {
  const file = us.files.find(({ path }) => path.endsWith('.geojson'));
  const text = JSON.parse(new TextDecoder().decode(file?.bytes)) as {
    features: { properties: { zone: string; rate: number } }[];
  };
  for (const { properties } of text.features) if (properties.zone === 'C') properties.rate += 40;
  const one = opened([{ name: 'rx.geojson', bytes: new TextEncoder().encode(JSON.stringify(text)) }]);
  const back = compareWithPlan(one, us.side);
  const c = back.zones.find(({ letter }) => letter === 'C');
  expect(c?.meanDifference_lbPerAc).toBeCloseTo(40, 6);
  expect(c?.greatest_lbPerAc).toBeCloseTo(40, 6);
  expect(c?.differs_ac).toBeCloseTo(c?.both_ac ?? 0, 9);
  expect((c?.opened_lb ?? 0) - (c?.planned_lb ?? 0)).toBeCloseTo(40 * (c?.both_ac ?? 0), 4);
  const acres = us.side.prescriptions[0]?.pieces
    .filter((piece) => piece.letter === 'C')
    .reduce((all, piece) => all + piece.acres, 0);
  expect(c?.both_ac).toBeCloseTo(acres ?? 0, 6);
  expect(back.zones.filter(({ letter }) => letter !== 'C').every((line) => line.greatest_lbPerAc === 0)).toBe(true);
  expect(back.all.greatestAt).toEqual(c?.greatestAt);
  const differing = [...back.difference_lbPerAc].filter((value) => value !== 0 && !Number.isNaN(value));
  expect(differing.length).toBeGreaterThan(0);
  expect(new Set(differing)).toEqual(new Set([40]));
});

it('tells ground that only one of the two has', () => {
  const [piece] = us.side.prescriptions[0]?.pieces ?? [];
  const corner = piece?.polygons[0]?.[0]?.[0];
  if (!corner) throw new Error('no piece');
  // Far larger than the field: all of it is covered, most of the file is not the plan's.
  const all = opened([
    geoJson([{ polygons: square(corner[0] - 0.02, corner[1] - 0.02, 0.04), values: { rate: 0, unit: 'lb/ac' } }]),
  ]);
  const back = compareWithPlan(all, us.side);
  expect(back.all.planOnly_ac).toBe(0);
  expect(Math.abs(back.all.fileOnly_ac + back.all.both_ac - all.acres)).toBeLessThanOrEqual(back.error_ac + 1e-6);
  expect(back.all.opened_lb).toBe(0);
  const part = opened([
    geoJson([{ polygons: square(corner[0], corner[1], 0.001), values: { rate: 100, unit: 'lb/ac' } }]),
  ]);
  const small = compareWithPlan(part, us.side);
  expect(small.all.both_ac + small.all.planOnly_ac).toBeCloseTo(back.all.both_ac, 6);
  expect(Math.abs(small.all.both_ac + small.all.fileOnly_ac - part.acres)).toBeLessThan(0.05);
});

it('says where a file lies that shares no ground, and what turned it away', () => {
  const file = us.files.find(({ path }) => path.endsWith('.geojson'));
  const text = new TextDecoder().decode(file?.bytes);
  const east = opened([{ name: 'rx.geojson', bytes: new TextEncoder().encode(text.replaceAll('[-9', '[9')) }]);
  const back = compareWithPlan(east, us.side);
  expect(back.problems.map(({ code, message }) => [code, message])).toEqual([
    ['back-elsewhere', 'rx.geojson shares no ground with the field: its longitudes have the wrong sign.'],
  ]);
  const far = compareWithPlan(
    opened([geoJson([{ polygons: square(-80, 40), values: { rate: 1, unit: 'lb/ac' } }])]),
    us.side,
  );
  expect(far.problems[0]?.message).toMatch(/its middle lies \d+ km away/);
});
