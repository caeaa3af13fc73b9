import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodeText, encodeUtf8 } from '../../../core/base/text.ts';
import { zipFiles } from '../../../core/formats/zip.ts';
import { readTaskData } from '../../../core/handoff/task-data/read.ts';
import { validateTaskData } from '../../../core/handoff/task-data/validate.ts';
import { filesOf, foreign, six, withGrid, withXml, written } from './helpers.ts';

const MG = 453_592.37 / 4046.8564224;
const plain = written(six([0, 100, 200, 300, 400, 1000])).bytes;

/** Codes of the Problems that end a reading; it must end in half a second, whatever is in the file. */
function refusal(bytes: Uint8Array): readonly string[] {
  const from = performance.now();
  const read = readTaskData(bytes, 'x.zip');
  expect(performance.now() - from).toBeLessThan(500);
  expect(read.ok).toBe(false);
  for (const { message, remedy } of read.problems) expect(message !== '' && remedy !== '').toBe(true);
  expect(validateTaskData(bytes)).not.toEqual([]);
  return read.problems.map(({ code }) => code);
}

describe("another writer's task data", () => {
  // Three files of a trial writer, each valid against the public schema of its version; figures as they stand in them.
  it.each([
    ['v4t1', '4.2', 1, 15_000],
    ['v4t2', '4.2', 2, 15_000],
    ['v3t2', '3.3', 2, 15_000],
  ] as const)('%s is read: codes or values, either edition', (name, taskFile, type, most) => {
    const bytes = foreign(name);
    const read = readTaskData(bytes, `${name}.zip`);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const [task] = read.value.tasks;
    expect(read.value.taskFile).toBe(taskFile);
    expect(task?.name).toBe('Potash & lime "north" field, a l');
    expect(task?.products).toEqual(['KCl 0-0-60']);
    expect(task?.grid).toMatchObject({
      columns: 12,
      rows: 10,
      type,
      minNorth_deg: 50,
      minEast_deg: 10,
      file: 'GRD00001',
    });
    const mg = [...(task?.values_lbPerAc[0] ?? [])].map((rate) => Math.round(rate * MG));
    expect(mg).toHaveLength(120);
    expect(Math.max(...mg)).toBe(most);
    expect(mg.slice(0, 4)).toEqual([0, 10_000, 10_000, 10_000]);
    expect(task?.rateAt(10.0003, 50.00005)[0]).toBeCloseTo(10_000 / MG, 9);
    expect(task?.rateAt(9, 50)[0]).toBe(0);
    const [part] = read.value.partfields[0]?.boundary ?? [];
    expect(read.value.partfields[0]?.name).toBe('Nord-Süd');
    expect(part?.length).toBe(2);
    expect(validateTaskData(bytes)).toEqual([]);
  });

  it('the same rates are read of codes and of values', () => {
    const [codes, values] = ['v4t1', 'v4t2'].map((name) => readTaskData(foreign(name), name));
    if (!codes?.ok || !values?.ok) throw new Error('not read');
    expect(codes.value.tasks[0]?.values_lbPerAc).toEqual(values.value.tasks[0]?.values_lbPerAc);
  });

  it('may stand in a folder, and have names in small letters', () => {
    const lower = zipFiles(
      filesOf(foreign('v4t2', 'stick/')).map(({ name, bytes }) => ({ name: name.toLowerCase(), bytes })),
    );
    const read = readTaskData(lower, 'x.zip');
    expect(read.ok && read.value.tasks[0]?.rateAt(10.0003, 50.00005)[0]).toBeCloseTo(10_000 / MG, 9);
    expect(validateTaskData(lower)).toEqual([
      'the task data stand in stick/taskdata/taskdata.xml, not in TASKDATA/TASKDATA.XML',
      'GRD GRD00001: its binary file is not named GRD00001.BIN',
    ]);
  });

  it('that sets a volume is read with a caution and without pounds', () => {
    const read = readTaskData(
      withXml(plain, (text) => text.replaceAll('A="0006"', 'A="0001"')),
      'x.zip',
    );
    expect(read.problems.map(({ code, severity }) => [code, severity])).toEqual([['task-data-entity', 'caution']]);
    expect(read.ok && read.value.tasks[0]?.rateAt(-93.999, 42.0005)).toEqual([Number.NaN]);
  });

  it('with values under 0 is read with a caution, as they stand', () => {
    const read = readTaskData(
      withGrid(plain, (grid) => grid.map((byte, at) => (at < 4 ? 0xff : byte))),
      'x.zip',
    );
    expect(read.problems.map(({ code, severity }) => [code, severity])).toEqual([['task-data-negative', 'caution']]);
    expect(read.ok && read.value.tasks[0]?.values_lbPerAc[0]?.[0]).toBeCloseTo(-1 / MG, 12);
  });

  it('without a grid is read with a caution', () => {
    const read = readTaskData(
      withXml(plain, (text) => text.replace(/<GRD[^>]*>/, '')),
      'x.zip',
    );
    expect(read.problems.map(({ code, severity }) => [code, severity])).toEqual([['task-data-no-grid', 'caution']]);
    expect(read.ok && read.value.tasks[0]?.rateAt(-93.999, 42.0005)).toEqual([Number.NaN]);
  });

  it('keeps an attribute out of the text of another one', () => {
    const read = readTaskData(
      withXml(plain, (text) => text.replace('B="0-0-60"', `B="x A='PDT9' C=&quot;y"`)),
      'x.zip',
    );
    expect(read.ok && read.value.tasks[0]?.products).toEqual([`x A='PDT9' C="y`]);
  });
});

describe('hostile task data', () => {
  it('changed anyhow is read or refused, and never thrown over', () => {
    const text = decodeText(filesOf(plain)[0]?.bytes ?? new Uint8Array(0));
    const pieces = [
      '"',
      '<',
      '>',
      '/',
      '&',
      ' ',
      '-1',
      '9e99',
      'A="0"',
      '<TZN A="7"/>',
      '<GRD/>',
      '&#0;',
      '=',
      '</TSK>',
      '<!--',
    ];
    const change = fc.record({
      at: fc.nat(text.length),
      cut: fc.nat(12),
      put: fc.oneof(fc.constantFrom(...pieces), fc.string({ unit: 'binary', maxLength: 4 })),
    });
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
        let changed = text;
        for (const { at, cut, put } of changes) changed = `${changed.slice(0, at)}${put}${changed.slice(at + cut)}`;
        const bytes = zipFiles(
          filesOf(plain).map((file) => (file.name.endsWith('.XML') ? { ...file, bytes: encodeUtf8(changed) } : file)),
        );
        const read = readTaskData(bytes, 'x.zip');
        if (read.ok)
          for (const task of read.value.tasks) expect(task.rateAt(-93.999, 42.0005)).toHaveLength(task.products.length);
        else expect(read.problems.some(({ severity }) => severity === 'stop')).toBe(true);
        expect(Array.isArray(validateTaskData(bytes))).toBe(true);
      }),
      { numRuns: 100 },
    );
  });

  it('cut off anywhere is refused', () => {
    for (let length = 0; length < plain.length; length += 37) refusal(plain.slice(0, length));
  });

  it('without XML, with two of it, or with another kind is refused', () => {
    const files = filesOf(plain);
    expect(refusal(zipFiles(files.slice(1)))).toEqual(['task-data-none']);
    const twice = [...files, ...files.map(({ name, bytes }) => ({ name: `b/${name}`, bytes }))];
    expect(refusal(zipFiles(twice))).toEqual(['task-data-several']);
    const one = (text: string) => zipFiles([{ name: 'TASKDATA/TASKDATA.XML', bytes: encodeUtf8(text) }]);
    expect(refusal(one('<html></html>'))).toEqual(['task-data-xml']);
    expect(refusal(one('<ISO11783_TaskData></ISO11783_TaskData>'))).toEqual(['task-data-no-task']);
    expect(refusal(one(''))).toEqual(['task-data-xml']);
    for (const broken of [
      '<ISO11783_TaskData>',
      '<ISO11783_TaskData><TSK></ISO11783_TaskData></TSK>',
      '<ISO11783_TaskData A="1" A="2"/>',
      '<ISO11783_TaskData A=1/>',
      '<ISO11783_TaskData/><ISO11783_TaskData/>',
    ])
      expect(refusal(one(broken))).toEqual(['task-data-xml']);
  });

  it('that swells is refused: entities, depth, elements', () => {
    const one = (text: string) => zipFiles([{ name: 'TASKDATA/TASKDATA.XML', bytes: encodeUtf8(text) }]);
    const bomb = `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><ISO11783_TaskData A="&b;"/>`;
    expect(refusal(one(bomb))).toEqual(['task-data-xml']);
    expect(refusal(one(`${'<ISO11783_TaskData>'.repeat(5000)}${'</ISO11783_TaskData>'.repeat(5000)}`))).toEqual([
      'task-data-xml',
    ]);
    const read = readTaskData(one(`<ISO11783_TaskData>${'<A/>'.repeat(600_000)}</ISO11783_TaskData>`), 'x.zip');
    expect(read.problems.map(({ code }) => code)).toEqual(['task-data-xml']);
  });

  it('with a grid file missing or of another size is refused', () => {
    expect(refusal(withGrid(plain, () => null))).toEqual(['task-data-grid-missing']);
    expect(refusal(withGrid(plain, (grid) => grid.slice(1)))).toEqual(['task-data-grid-size']);
    expect(refusal(withGrid(plain, () => new Uint8Array(0)))).toEqual(['task-data-grid-size']);
    expect(refusal(withGrid(plain, (grid) => new Uint8Array([...grid, 0, 0, 0, 0])))).toEqual(['task-data-grid-size']);
  });

  it.each([
    ['rows and columns without end', 'E="3" F="2"', 'E="4294967295" F="4294967295"', 'task-data-grid-size'],
    ['a billion cells', 'E="3" F="2"', 'E="1000000000" F="1"', 'task-data-grid-size'],
    ['more cells than the standard counts', 'E="3" F="2"', 'E="1e300" F="2"', 'task-data-grid'],
    ['no column', 'E="3" F="2"', 'E="0" F="2"', 'task-data-grid'],
    ['half a column', 'E="3" F="2"', 'E="1.5" F="4"', 'task-data-grid'],
    ['columns that are no number', 'E="3" F="2"', 'E="three" F="2"', 'task-data-grid'],
    ['a cell without size', 'C="0.001"', 'C="0"', 'task-data-grid'],
    ['a place beyond the pole', '<GRD A="42"', '<GRD A="92"', 'task-data-grid'],
    ['a third type', 'I="2" J', 'I="3" J', 'task-data-grid'],
    ['a zone that is missing', 'I="2" J="1"', 'I="2" J="9"', 'task-data-zones'],
    [
      'codes without a zone',
      'E="3" F="2" G="GRD00001" H="24" I="2" J="1"',
      'E="24" F="1" G="GRD00001" H="24" I="1"',
      'task-data-zones',
    ],
    ['a file elsewhere', 'G="GRD00001"', 'G="../GRD00001"', 'task-data-grid-missing'],
    ['two grids', '</TSK>', '<GRD/></TSK>', 'task-data-grid'],
    ['zones of one code', '<TZN A="254"', '<TZN A="0"', 'task-data-zones'],
    [
      'zones that set different things',
      '<TZN A="0" B="Outside"><PDV A="0006"',
      '<TZN A="0" B="Outside"><PDV A="0001"',
      'task-data-zones',
    ],
  ] as const)('with %s is refused', (_, from, to, code) => {
    expect(refusal(withXml(plain, (text) => text.replace(from, to)))).toEqual([code]);
  });
});
