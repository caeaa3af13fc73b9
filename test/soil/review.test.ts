import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { readFiles } from '../../core/formats/read.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import { startPlan } from '../../core/plan/start.ts';
import { guessColumns } from '../../core/soil/guess.ts';
import { sampleFile } from '../fields/hollow-quarter.ts';

const csv = (text: string) => ({ name: 'lab.csv', bytes: encodeUtf8(text) });

function guessed(cells: readonly string[]) {
  const read = readFiles([csv(`ID,K\n${cells.map((cell, i) => `${i + 1},${cell}`).join('\n')}\n`)]);
  const dataset = read.ok ? read.value[0] : undefined;
  if (!dataset) throw new Error('no table');
  return guessColumns(dataset).find(({ is }) => is === 'k');
}

describe('a unit that stands in cells', () => {
  it('speaks for the column where more than half carry it', () => {
    expect(guessed(['240 lb/ac', '250 lb/ac', '260'])?.unit).toBe('lb/ac');
  });

  it('speaks for its own cells alone where few carry it, and that is in doubt', () => {
    const k = guessed(['120', '130', '140', '280 lb/ac', '150']);
    expect(k?.unit).toBe('ppm');
    expect(k?.doubt).toContain('1 of 5 cells name lb/ac');
  });
});

describe('tests of several years', () => {
  it('say which samples the year in use leaves without a test', async () => {
    const lines = new TextDecoder().decode(sampleFile('lab-results.csv').bytes).trimEnd().split(/\r?\n/);
    const [head = '', ...rows] = lines;
    const dated = [`${head},Date`, ...rows.map((row, i) => `${row},${i < 50 ? '2021-12-29' : '2022-01-03'}`)].join(
      '\n',
    );
    const started = startPlan({
      name: 'x',
      boundary: [sampleFile('boundary.zip')],
      points: [sampleFile('sample-points.zip')],
      samples: [csv(dated)],
      crop: 'corn',
      yieldGoal: 200,
    });
    if (!started.ok) throw new Error(started.problems[0]?.message);
    const out = await runPlan(started.value);
    const said = out.problems.find(({ code }) => code === 'soil-series-without');
    expect(said?.severity).toBe('caution');
    expect(said?.message).toMatch(/^\d\d samples have no test of the year and depth in use/);
  }, 30_000);
});
