import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { coverCells } from '../../../core/geo/cover.kernel.ts';
import { makeFieldGrid } from '../../../core/geo/lattice.ts';
import type { MultiPolygon } from '../../../core/geo/types.ts';
import { MOST_GRID_CELLS } from '../../../core/handoff/task-data/grid.ts';
import { readTaskData } from '../../../core/handoff/task-data/read.ts';
import { validateTaskData } from '../../../core/handoff/task-data/validate.ts';
import { writeTaskData } from '../../../core/handoff/task-data/write.ts';
import { deepFreeze } from '../../freeze.ts';
import { box, cellBox, filesOf, itWithPython, passOf, pieceOf, SIX, six, wholeOf, written, xmlOf } from './helpers.ts';

/** Pound 0.45359237 kg, acre 4046.8564224 m2 (both exact): mg/m2 in a lb/ac. */
const MG = 453_592.37 / 4046.8564224;

const gridBytes = (bytes: Uint8Array, name = 'GRD00001'): number[] => [
  ...(filesOf(bytes).find((file) => file.name === `TASKDATA/${name}.BIN`)?.bytes ?? []),
];

const readBack = (bytes: Uint8Array) => {
  const read = readTaskData(bytes, 'x.zip');
  if (!read.ok) throw new Error(read.problems.map(({ message }) => message).join('\n'));
  expect(read.problems).toEqual([]);
  return read.value;
};

describe('the grid of task data', () => {
  it('holds a signed 32-bit little-endian mg/m2 a cell, from the south-west eastward and then northward', () => {
    // By hand: 100 lb/ac x 453592.37 mg/lb / 4046.8564224 m2/ac = 11208.51 -> 11209 = 0x2bc9; 200 -> 22417 = 0x5791; 300 -> 33626 = 0x835a;
    // 400 -> 44834 = 0xaf22; 1000 -> 112085 = 0x1b5d5.
    const { bytes } = written(deepFreeze(six([0, 100, 200, 300, 400, 1000])));
    expect(gridBytes(bytes)).toEqual(
      [
        [0, 0, 0, 0],
        [0xc9, 0x2b, 0, 0],
        [0x91, 0x57, 0, 0],
        [0x5a, 0x83, 0, 0],
        [0x22, 0xaf, 0, 0],
        [0xd5, 0xb5, 1, 0],
      ].flat(),
    );
  });

  it('holds the products of a cell side by side', () => {
    const pieces = [0, 1, 2, 3, 4, 5].map((cell) =>
      pieceOf(cellBox(SIX, cell % 3, Math.floor(cell / 3)), 100, cell === 5 ? 200 : 0),
    );
    const { bytes, out } = written(six([], { prescriptions: [passOf(pieces)], products: ['0-0-60', '0-0-50'] }));
    const grid = gridBytes(bytes);
    expect(grid).toHaveLength(6 * 2 * 4);
    expect(grid.slice(0, 8)).toEqual([0xc9, 0x2b, 0, 0, 0, 0, 0, 0]);
    expect(grid.slice(40)).toEqual([0xc9, 0x2b, 0, 0, 0x91, 0x57, 0, 0]);
    expect(out.tasks.map(({ product }) => product)).toEqual(['0-0-60', '0-0-50']);
    expect(validateTaskData(bytes)).toEqual([]);
  });

  // Its area, 110,428 m2, is that of GeographicLib with edges densified along the parallels (110428.364).
  it('stands in an XML that says all of this', () => {
    expect(xmlOf(written(six([0, 100, 200, 300, 400, 1000], { noPosition_lbPerAc: 100 })).bytes)).toBe(
      `<?xml version="1.0" encoding="UTF-8"?>
<ISO11783_TaskData VersionMajor="4" VersionMinor="3" ManagementSoftwareManufacturer="Pearlash" ManagementSoftwareVersion="0.1.0" DataTransferOrigin="1">
<PDT A="PDT1" B="0-0-60"/>
<VPN A="VPN1" B="0" C="0.008921791" D="1" E="lb/ac"/>
<PFD A="PFD1" C="Home quarter" D="110428"><PLN A="1"><LSG A="1"><PNT A="2" C="42" D="-94"/><PNT A="2" C="42" D="-93.994"/><PNT A="2" C="42.002" D="-93.994"/><PNT A="2" C="42.002" D="-94"/><PNT A="2" C="42" D="-94"/></LSG></PLN></PFD>
<TSK A="TSK1" B="Home quarter" E="PFD1" G="1" H="0" I="254" J="0">
<TZN A="0" B="Outside"><PDV A="0006" B="0" C="PDT1" E="VPN1"/></TZN>
<TZN A="1" B="Grid"><PDV A="0006" B="0" C="PDT1" E="VPN1"/></TZN>
<TZN A="254" B="Position lost"><PDV A="0006" B="11209" C="PDT1" E="VPN1"/></TZN>
<GRD A="42" B="-94" C="0.001" D="0.002" E="3" F="2" G="GRD00001" H="24" I="2" J="1"/>
</TSK>
</ISO11783_TaskData>
`,
    );
  });

  it('has a grid and a task for each pass, numbered, in either edition', () => {
    for (const taskFile of ['4.3', '3.3'] as const) {
      const one = six([100, 100, 100, 100, 100, 100]).prescriptions[0];
      const two = six([0, 0, 0, 0, 0, 50]).prescriptions[0];
      if (!one || !two) throw new Error('no pass');
      const input = six([], { prescriptions: [one, { ...two, pass: 'in season' }], taskFile, rateUnit: 'kg/ha' });
      const { bytes, out } = written(input);
      expect(filesOf(bytes).map(({ name }) => name)).toEqual([
        'TASKDATA/TASKDATA.XML',
        'TASKDATA/GRD00001.BIN',
        'TASKDATA/GRD00002.BIN',
      ]);
      const read = readBack(bytes);
      expect(read.taskFile).toBe(taskFile);
      expect(read.tasks.map(({ id, name }) => [id, name])).toEqual([
        ['TSK1', 'Home quarter, before the season'],
        ['TSK2', 'Home quarter, in season'],
      ]);
      expect(read.tasks[1]?.rateAt(-93.995, 42.0015)[0]).toBeCloseTo(50, 2);
      expect(out.tasks.map(({ pass }) => pass)).toEqual(['before the season', 'in season']);
      expect(validateTaskData(bytes)).toEqual([]);
      expect(xmlOf(bytes)).toContain('<VPN A="VPN1" B="0" C="0.01" D="1" E="kg/ha"/>');
    }
  });
});

describe('what a cell of the grid gets', () => {
  it('is the mean by area of the pieces under it, so that the pounds stay', () => {
    // Two pieces split the lattice at 1/4 of its second column.
    const [west, split, east] = [-94, -93.9975, -93.994];
    const pieces = [pieceOf([[box(west, 42, split, 42.002)]], 100), pieceOf([[box(split, 42, east, 42.002)]], 200)];
    const { bytes, out } = written(six([], { prescriptions: [passOf(pieces)] }));
    const rates = readBack(bytes).tasks[0]?.values_lbPerAc[0] ?? [];
    [100, 175, 200, 100, 175, 200].forEach((rate, cell) => {
      expect(rates[cell]).toBeCloseTo(rate, 1);
    });
    const [task] = out.tasks;
    // Rounding to whole mg/m2 is all that is lost: half of one is 0.0045 lb/ac.
    expect(Math.abs((task?.grid_lb ?? 0) - (task?.planned_lb ?? 0))).toBeLessThan(0.0045 * 27.3);
  });

  it('is the rate of the zone whose label it bears, whatever the smoothed outline does within it', () => {
    const [west, split, east] = [-94, -93.9975, -93.994];
    const pieces = [
      pieceOf([[box(west, 42, split, 42.002)]], 100, 0, 'low'),
      pieceOf([[box(split, 42, east, 42.002)]], 200, 0, 'high'),
    ];
    const labels = {
      labels: Int16Array.of(7, 7, 9, 7, 9, 9),
      zones: [
        { key: 'low', label: 7 },
        { key: 'high', label: 9 },
      ],
    };
    const prescriptions = [passOf(pieces)];
    const byLabel = readBack(written(six([], { prescriptions, shape: 'zones', labels })).bytes);
    expect([...(byLabel.tasks[0]?.values_lbPerAc[0] ?? [])].map(Math.round)).toEqual([100, 100, 200, 100, 200, 200]);
    // Without labels, the piece that shares most with the cell.
    const byShare = readBack(written(six([], { prescriptions, shape: 'zones' })).bytes);
    expect([...(byShare.tasks[0]?.values_lbPerAc[0] ?? [])].map(Math.round)).toEqual([100, 200, 200, 100, 200, 200]);
    expect(() => writeTaskData(six([], { prescriptions, shape: 'zones', labels: { ...labels, zones: [] } }))).toThrow(
      'has no label',
    );
  });

  it('is the rate outside beyond the field, and 0 on ground within it that no piece covers', () => {
    const lattice = { ...SIX, cols: 5, rows: 5 };
    // Rows and columns 1 to 3 are the field, its middle cell a keep-out area; cell (1, 1) is a zone that is kept out.
    const middle = cellBox(lattice, 2, 2)[0]?.[0] ?? [];
    const ground: MultiPolygon = [[box(-93.998, 42.001, -93.992, 42.004), middle.toReversed()]];
    const cells = [1, 2, 3].flatMap((row) => [1, 2, 3].map((col) => [col, row] as const));
    const pieces = cells
      .filter(([col, row]) => !(col === 2 && row === 2) && !(col === 1 && row === 1))
      .map(([col, row]) => pieceOf(cellBox(lattice, col, row), 300));
    const { bytes, problems } = written(
      six([], { lattice, ground, prescriptions: [passOf(pieces)], outside_lbPerAc: 50, noPosition_lbPerAc: 70 }),
    );
    const [task] = readBack(bytes).tasks;
    expect([...(task?.values_lbPerAc[0] ?? [])].map(Math.round)).toEqual(
      [
        [50, 50, 50, 50, 50],
        [50, 0, 300, 300, 50],
        [50, 300, 0, 300, 50],
        [50, 300, 300, 300, 50],
        [50, 50, 50, 50, 50],
      ].flat(),
    );
    expect(task?.rateAt(0, 0)[0]).toBeCloseTo(50, 2);
    expect(task?.zones.map(({ rates_lbPerAc }) => Math.round(rates_lbPerAc[0] ?? -1))).toEqual([50, 0, 70]);
    expect(problems.map(({ code, severity }) => [code, severity])).toEqual([['task-data-kept-out', 'note']]);
    expect(readBack(bytes).partfields[0]?.boundary).toEqual(ground);
    expect(validateTaskData(bytes)).toEqual([]);
  });

  it('covers several cells of the lattice where there would be too many, and keeps the pounds', () => {
    const grid = makeFieldGrid([[box(-94, 42, -93.98, 42.015)]], 1.4);
    if (!grid.ok) throw new Error('no grid');
    const { lattice } = grid.value;
    expect(lattice.cols * lattice.rows).toBeGreaterThan(MOST_GRID_CELLS);
    const pieces = [
      pieceOf([[box(-94, 42, -93.99, 42.015)]], 100, 0, 'a'),
      pieceOf([[box(-93.99, 42, -93.98, 42.015)]], 300, 0, 'b'),
    ];
    const west = coverCells(lattice, pieces[0]?.polygons ?? []).cover_m2;
    const labels = {
      labels: Int16Array.from(grid.value.cover_m2, (m2, cell) => (m2 === 0 ? 0 : (west[cell] ?? 0) > m2 / 2 ? 1 : 2)),
      zones: [
        { key: 'a', label: 1 },
        { key: 'b', label: 2 },
      ],
    };
    for (const shape of ['cells', 'zones'] as const) {
      const { bytes, out } = written(
        six([], { lattice, ground: [[box(-94, 42, -93.98, 42.015)]], prescriptions: [passOf(pieces)], shape, labels }),
      );
      expect(out.columns * out.rows).toBeLessThanOrEqual(MOST_GRID_CELLS);
      expect([out.columns, out.rows]).toEqual([Math.ceil(lattice.cols / 2), Math.ceil(lattice.rows / 2)]);
      const [task] = out.tasks;
      expect((task?.grid_lb ?? 0) / (task?.planned_lb ?? 1)).toBeCloseTo(1, shape === 'cells' ? 4 : 2);
      const [read] = readBack(bytes).tasks;
      expect(read?.rateAt(-93.9912, 42.007)[0]).toBeCloseTo(100, 1);
      expect(read?.rateAt(-93.9888, 42.007)[0]).toBeCloseTo(300, 1);
    }
  });
});

describe('task data', () => {
  it('refuses a rate that a signed 32-bit number cannot hold', () => {
    const result = writeTaskData(six([1, 2, 3, 4, 5, 2_147_483_648 / MG]));
    expect(result.ok).toBe(false);
    expect(result.problems.map(({ code, remedy }) => [code, remedy !== ''])).toEqual([['task-data-rate', true]]);
    expect(writeTaskData(six([1, 2, 3, 4, 5, 2_147_483_646 / MG])).ok).toBe(true);
  });

  it('throws on what only the program can get wrong', () => {
    expect(() => writeTaskData(six([1, 2, 3, 4, 5, Number.NaN]))).toThrow(RangeError);
    expect(() => writeTaskData(six([1, 2, 3, 4, 5, 6], { products: [] }))).toThrow(RangeError);
    expect(() => writeTaskData(six([1, 2, 3, 4, 5, 6], { prescriptions: [] }))).toThrow(RangeError);
    expect(() => writeTaskData(six([1], { ground: wholeOf({ ...SIX, cols: 4 }) }))).toThrow(RangeError);
    const labels = { labels: new Int16Array(5), zones: [] };
    expect(() => writeTaskData(six([1, 2, 3, 4, 5, 6], { labels, shape: 'zones' }))).toThrow(RangeError);
  });

  it('is the same bytes each time', () => {
    const input = six([10, 20, 30, 40, 50, 60]);
    expect(written(input).bytes).toEqual(written(input).bytes);
  });

  itWithPython("is read alike by Python's own zip, XML and number readers", () => {
    const name = 'Süd "Żółć" <&> \'40\'\t🌽';
    const input = six([0, 100, 200.5, 300, 400, 1000], { planName: name, products: ['KCl & "potash"'] });
    const folder = mkdtempSync(`${tmpdir()}/task-data-`);
    try {
      writeFileSync(`${folder}/x.zip`, written(input).bytes);
      const script = fileURLToPath(new URL('outside.py', import.meta.url));
      const said: unknown = JSON.parse(execFileSync('python3', [script, `${folder}/x.zip`], { encoding: 'utf8' }));
      expect(said).toEqual({
        root: 'ISO11783_TaskData',
        product: 'KCl & "potash"',
        field: name,
        points: 5,
        tasks: [
          { name, values: [0, 11209, Math.round(200.5 * MG), 33626, 44834, 112085], columns: 3, south: 42, west: -94 },
        ],
      });
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
