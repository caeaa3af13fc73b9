import { describe, expect, it } from 'vitest';
import { runPlan } from '../../core/pipeline/run.ts';
import { describeInput } from '../../core/plan/pack.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { fixture } from '../fixtures/fixtures.ts';

describe('the sample field with its lab table as a workbook', () => {
  it('has the samples, the rates and the tons that it has with the CSV', async () => {
    const { plan, inputs } = samplePlan();
    const [book] = fixture('xlsx/hollow-quarter.xlsx');
    if (!book) throw new Error('no fixture');
    const entry = describeInput(book);
    const swapped: Plan = {
      ...plan,
      inputs: [...plan.inputs.filter((input) => input.path !== 'lab-results.csv'), entry],
      soil: { ...plan.soil, sampleFiles: [entry.path] },
    };
    const [byCsv, byBook] = [
      await runPlan({ plan, inputs }),
      await runPlan({ plan: swapped, inputs: new Map([...inputs, [entry.path, book.bytes]]) }),
    ];
    expect([byBook.soil?.read, byBook.soil?.kept, byBook.soil?.setAside]).toEqual([65, 60, 5]);
    const figures = (out: typeof byCsv) =>
      out.soil?.samples.map(({ id, k_ppm, cec_meq, ca_ppm }) => [id, k_ppm, cec_meq, ca_ppm]);
    expect(figures(byBook)).toEqual(figures(byCsv));
    // The table begins a row lower, under its title.
    expect(byBook.soil?.samples[0]?.row).toBe((byCsv.soil?.samples[0]?.row ?? 0) + 1);
    expect(byBook.rates?.totals).toEqual(byCsv.rates?.totals);
    expect(byBook.problems.filter((problem) => problem.severity === 'stop')).toEqual([]);
  });
});
