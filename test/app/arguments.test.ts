import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readArguments } from '../../app/cli/arguments.ts';
import { COMMANDS, OVERVIEW, USAGE } from '../../app/cli/usage.ts';
import { CROPS } from '../../core/rates/crops.ts';

const read = (line: string) => readArguments(line.split(' ').filter(Boolean));
const work = (line: string) => {
  const asked = read(line);
  if (asked.asks !== 'work') throw new Error(`${line}: ${JSON.stringify(asked)}`);
  return asked;
};

describe('what is asked for', () => {
  it.each(['--help', '-h', 'help'])('%s tells all commands', (line) => {
    expect(read(line)).toEqual({ asks: 'text', text: OVERVIEW });
    for (const command of COMMANDS) expect(OVERVIEW).toContain(`pearlash ${command} `);
  });

  it.each(COMMANDS)('%s --help tells its options and the exit codes', (command) => {
    expect(read(`${command} --help`)).toEqual({ asks: 'text', text: USAGE[command] });
    expect(USAGE[command]).toContain('Exit code: 0 done, 1 the input has problems');
    expect(USAGE[command]).toContain('--json');
  });

  it('start-plan --help names every crop, within a terminal', () => {
    for (const { id } of CROPS) expect(USAGE['start-plan']).toContain(id);
    for (const text of [OVERVIEW, ...Object.values(USAGE)]) {
      for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    }
  });

  it('one plan is written to --out itself, several each below it', () => {
    expect(work('build a --out o').jobs).toEqual([{ kind: 'build', plan: resolve('a'), out: resolve('o') }]);
    expect(work('build a --pdf --out o').jobs).toEqual([
      { kind: 'build', plan: resolve('a'), out: resolve('o'), pdf: true },
    ]);
    expect(
      work('build a/plan.json b.pearlash c/a --out o').jobs.map((job) => (job.kind === 'build' ? job.out : '')),
    ).toEqual(['a', 'b', 'a-2'].map((name) => resolve('o', name)));
  });

  it('a new plan, with everything that can be told', () => {
    const line =
      'start-plan --boundary b.zip --keep-out k.shp --points p.geojson --samples s.csv --samples t.csv --crop corn --yield-goal 200.5 --governs ppm --crs EPSG:32615 --name North --out n.pearlash';
    expect(work(line).jobs).toEqual([
      {
        kind: 'start-plan',
        name: 'North',
        boundary: [resolve('b.zip')],
        keepOut: [resolve('k.shp')],
        points: [resolve('p.geojson')],
        samples: [resolve('s.csv'), resolve('t.csv')],
        crop: 'corn',
        yieldGoal: 200.5,
        governs: 'ppm',
        crs: 'EPSG:32615',
        out: resolve('n.pearlash'),
      },
    ]);
  });

  it('a new plan takes the name of its place where none is told', () => {
    const job = work('start-plan --boundary b --samples s --out fields/north.pearlash').jobs[0];
    expect(job).toMatchObject({ name: 'north', points: [], keepOut: [] });
    expect(job).not.toHaveProperty('governs');
  });

  it('how many at once, how long, and for whom', () => {
    expect(work('check a b --jobs 3 --time-limit 7 --json')).toMatchObject({ workers: 3, still_ms: 7000, json: true });
    expect(work('prove a')).toMatchObject({ still_ms: 120_000, json: false });
  });
});

describe('wrong usage', () => {
  it.each([
    ['', 'No command'],
    ['bild a', 'bild'],
    ['build', 'needs a plan'],
    ['build a', '--out'],
    ['build a --out', '--out'],
    ['build a --out o --jobs 0', '--jobs'],
    ['build a --out o --jobs 1.5', '--jobs'],
    ['build a --out o --time-limit soon', '--time-limit'],
    ['check', 'needs a plan'],
    ['prove', 'needs a folder'],
    ['prove a --json=yes', '--json'],
    ['start-plan', '--boundary'],
    ['start-plan --boundary b', '--samples'],
    ['start-plan --boundary b --samples s', '--out'],
    ['start-plan b --boundary b --samples s --out o', '"b"'],
    ['start-plan --boundary b --samples s --out o --governs both', 'both'],
    ['start-plan --boundary b --samples s --out o --crop oak', 'corn'],
    [`start-plan --boundary b --samples s --out o --name ${'n'.repeat(201)}`, '200 characters'],
    ['start-plan --boundary b --samples s --out o --yield-goal many', 'many'],
    ['start-plan --boundary b --samples s --out o --column K', 'NAME=what'],
    ['start-plan --boundary b --samples s --out o --column K=k:stone', 'stone'],
    ['start-plan --boundary b --samples s --out o --extractant tea', 'mehlich-3'],
    ['start-plan --boundary b --samples s --out o --column K=k:ppm@8', 'lb/ac@8'],
    ['start-plan --boundary b --samples s --out o --year 1800', '1950 to 2200'],
    ['start-plan --boundary b --samples s --out o --scooped-density 9', '0.3 to 2'],
    ['start-plan --boundary b --samples s --out o --acidity much', '12x7'],
    ['start-plan --boundary b --samples s --out o --saturation both', 'worked-out'],
    ['start-plan --boundary b --samples s --out o --conversion 1.14', 'FACTOR:REGION'],
    ['start-plan --boundary b --samples s --out o --conversion 1.14:Ohio', '--extractant'],
    ['start-plan --boundary b --samples s --out o --same-id 7', 'LAB=POINT'],
    ['start-plan --boundary b --samples s --out o --yield-goal -5', '--yield-goal'],
  ])('%j says why, with the usage', (line, why) => {
    const asked = read(line);
    if (asked.asks !== 'wrong') throw new Error(JSON.stringify(asked));
    expect(asked.why).toContain(why);
    expect(asked.usage).toContain('Exit code');
  });

  it('takes a word for columns, depth and extractant', () => {
    const line =
      'start-plan --boundary b --samples s --out o --column Lab=K=k:lb/ac --column X=CEC:meq --depth 8 --extractant Mehlich-3';
    expect(read(line)).toMatchObject({
      asks: 'work',
      jobs: [
        {
          columns: [
            { column: 'Lab=K', is: 'k', unit: 'lb/ac' },
            { column: 'X', is: 'cec', unit: 'meq/100 g' },
          ],
          depth_in: 8,
          extractant: 'Mehlich-3',
        },
      ],
    });
  });

  it('takes a word for how the soil test is read, and puts nothing else into the plan', () => {
    const line =
      'start-plan --boundary b --samples s --out o --column K=k2o:lb/ac@8 --column Ca=ca:kg/ha@6 --column Mg=mg:mg/100g --sheet Results --year 2024 --depth-told 0-6 --scooped-density 1.1 --acidity 10x6.9 --no-acidity-from 7 --cec summation --saturation lab --factors rounded --below-limit aside --above-limit aside --not-detected zero --extractant mehlich-3 --conversion 0.9:Kansas --same-id 7=HQ-07 --remember --forget';
    const [job] = work(line).jobs;
    if (job?.kind !== 'start-plan') throw new Error('no start');
    expect(job.columns).toEqual([
      { column: 'K', is: 'k', unit: 'lb/ac', oxide: true, of_in: 8 },
      { column: 'Ca', is: 'ca', unit: 'kg/ha', of_in: 6 },
      { column: 'Mg', is: 'mg', unit: 'mg/100 g' },
    ]);
    expect([job.remember, job.forget]).toEqual([true, true]);
    expect(job.soil).toEqual({
      sampleTable: 'Results',
      year: 2024,
      depthTold: '0-6',
      scooped_gPerCm3: 1.1,
      acidity: { form: 'factor x (start - buffer pH)', factor: 10, start: 6.9 },
      noAcidityFrom_ph: 7,
      cec: 'summation',
      saturation: 'lab, else worked out',
      factors: 'rounded',
      belowLimit: 'set aside',
      aboveLimit: 'set aside',
      notDetected: 'zero',
      conversion: { to: 'ammonium acetate', factor: 0.9, region: 'Kansas' },
      sameIds: [{ lab: '7', point: 'HQ-07' }],
    });
    expect(work('start-plan --boundary b --samples s --out o --year 2024').jobs[0]).toMatchObject({
      soil: { year: 2024 },
    });
  });

  it('an option of another command is named, and nothing more', () => {
    expect(read('check a --out o')).toMatchObject({ asks: 'wrong', why: expect.stringContaining('no option --out') });
  });

  it('an option that does not exist is named, and nothing more', () => {
    expect(read('check a --out o')).toMatchObject({ why: expect.stringContaining('no option --out.'), usage: '' });
    const why = 'There is no option --fast. pearlash build --help tells the options.';
    expect(read('build a --out o --fast')).toEqual({ asks: 'wrong', why, usage: '' });
  });
});

it('a crop is known in any case', () => {
  expect(work('start-plan --boundary b --samples s --out o --crop CORN').jobs[0]).toMatchObject({ crop: 'corn' });
});
