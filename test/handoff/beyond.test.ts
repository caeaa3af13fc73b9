import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import type { MultiPolygon } from '../../core/geo/types.ts';
import { beyondProblems } from '../../core/handoff/beyond.ts';
import { readTaskData } from '../../core/handoff/task-data/read.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { deepFreeze } from '../freeze.ts';
import { bareField, bytesOf, maker, withHandoff } from './shared.ts';
import { box, cellBox, passOf, pieceOf, SIX, six, written, xmlOf } from './task-data/helpers.ts';

const FIELD = box(-94, 42, -93.99, 42.01);
const CORNER: MultiPolygon = [[box(-94, 42, -93.998, 42.002)]];
const HOLE = box(-93.996, 42.004, -93.994, 42.006, true);

const found = (change: Partial<Parameters<typeof beyondProblems>[0]>, outside = 120, lost = 0) =>
  beyondProblems(
    deepFreeze({
      ground: [[FIELD]],
      keepOut: [],
      leftOut: [],
      ratesSettings: { machine: { ...samplePlan().plan.rates.machine, least_lbPerAc: 50, most_lbPerAc: 400 } },
      settings: { outside_lbPerAc: outside, noPosition_lbPerAc: lost },
      ...change,
    }),
  ).map(({ code, severity }) => `${severity} ${code}`);

describe('rates beyond the polygons', () => {
  it('stop where the field has ground that no polygon covers and nothing is to be spread on', () => {
    expect(found({ keepOut: CORNER })).toEqual(['stop handoff-outside']);
    expect(found({ leftOut: CORNER })).toEqual(['stop handoff-outside']);
    expect(found({ ground: [[FIELD, HOLE]] })).toEqual(['stop handoff-outside']);
    expect(found({ keepOut: CORNER }, 0)).toEqual([]);
  });

  it('are a caution each elsewhere', () => {
    expect(found({}, 120, 150)).toEqual(['caution handoff-beyond', 'caution handoff-beyond']);
    expect(found({ keepOut: CORNER }, 0, 150)).toEqual(['caution handoff-beyond']);
  });

  it('are 0 or within what the machine spreads', () => {
    expect(found({}, 49)).toContain('stop handoff-beyond-range');
    expect(found({}, 50)).not.toContain('stop handoff-beyond-range');
    expect(found({}, 400, 401)).toContain('stop handoff-beyond-range');
    expect(found({}, 0, 30)).toContain('stop handoff-beyond-range');
  });
});

describe('the sample field, which has keep-outs,', () => {
  const rates = { outside_lbPerAc: 120, noPosition_lbPerAc: 150 };

  it('writes nothing with a rate outside', async () => {
    const { plan, inputs } = samplePlan();
    const out = await runPlan({ plan: { ...plan, handoff: { ...plan.handoff, ...rates } }, inputs });
    expect(out.handoff).toBeNull();
    expect(out.stages.handoff.problems.map(({ code }) => code)).toContain('handoff-outside');
  });

  it('writes them without keep-outs and holes, with the first pass alone, and says so', async () => {
    const { handoff, out } = await maker(bareField)(withHandoff(rates));
    const told = out.stages.handoff.problems.filter(({ code }) => code === 'handoff-beyond');
    expect(told.map(({ severity }) => severity)).toEqual(['caution', 'caution']);
    const read = readTaskData(bytesOf(handoff.files, 'Hollow_Quarter_taskdata.zip'), 'x.zip');
    if (!read.ok) throw new Error('not read');
    const beyond = read.value.tasks.map(({ zones }) =>
      zones.map(({ rates_lbPerAc }) => Math.round(rates_lbPerAc[0] ?? -1)),
    );
    expect(beyond).toEqual([
      [120, 0, 150],
      [0, 0, 0],
    ]);
    const text = decodeText(bytesOf(handoff.files, 'columns.txt'));
    expect(text).toContain('In the first pass alone:');
    expect(text).not.toContain('nothing is to be spread');
  });
});

describe('cells of keep-outs in the grid', () => {
  it('are 0 at the corner and at the edge of the field, whatever the rate outside is', () => {
    const lattice = { ...SIX, cols: 5, rows: 5 };
    // Rows and columns 1 to 3 are the field; its south-west corner cell and the middle cell of its east side are kept out.
    const boundary: MultiPolygon = [[box(-93.998, 42.001, -93.992, 42.004)]];
    const out = [
      [1, 1],
      [3, 2],
    ];
    const cells = [1, 2, 3]
      .flatMap((row) => [1, 2, 3].map((col) => [col, row] as const))
      .filter(([col, row]) => !out.some(([x, y]) => x === col && y === row));
    const ground = cells.flatMap(([col, row]) => cellBox(lattice, col, row));
    const pieces = cells.map(([col, row]) => pieceOf(cellBox(lattice, col, row), 300));
    const { bytes } = written(
      deepFreeze(
        six([], {
          lattice,
          ground,
          boundary,
          prescriptions: [passOf(pieces, 'a'), passOf(pieces, 'b')],
          outside_lbPerAc: 120,
        }),
      ),
    );
    const read = readTaskData(bytes, 'x.zip');
    if (!read.ok) throw new Error('not read');
    const grid = (outside: number): number[] =>
      [
        [outside, outside, outside, outside, outside],
        [outside, 0, 300, 300, outside],
        [outside, 300, 300, 0, outside],
        [outside, 300, 300, 300, outside],
        [outside, outside, outside, outside, outside],
      ].flat();
    expect(read.value.tasks.map(({ values_lbPerAc }) => [...(values_lbPerAc[0] ?? [])].map(Math.round))).toEqual([
      grid(120),
      grid(0),
    ]);
    expect(xmlOf(bytes).match(/B="13450"/g)).toHaveLength(1);
  });
});
