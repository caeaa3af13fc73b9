import { cp, mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BuildReport } from '../../app/cli/reports.ts';
import { type Built, buildHosts, type Ended, root, runBuilt } from './built.ts';
import { tempFolder } from './helpers.ts';
import { writeSmallField } from './small-field.ts';

let built: Built;
beforeAll(async () => {
  built = await buildHosts();
}, 60_000);
afterAll(() => built.remove());

const pearlash = (...args: readonly string[]): Promise<Ended> =>
  runBuilt(join(built.folder, 'cli', 'pearlash.js'), args);

const START = ['--crop', 'corn', '--yield-goal', '200'];

async function startedPlan(out = 'plan', ...more: readonly string[]) {
  const folder = await tempFolder();
  const files = await writeSmallField(folder);
  const plan = join(folder, out);
  const { boundary, keepOut, samples } = files;
  const given = ['--boundary', boundary, '--keep-out', keepOut, '--samples', samples, '--name', 'Small forty'];
  const started = await pearlash('start-plan', ...given, ...START, '--out', plan, ...more);
  return { folder, files, plan, started };
}

/** Every file below a folder with its bytes as text. */
async function filesOf(folder: string): Promise<Record<string, string>> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  const texts = await Promise.all(
    files.map(async (file) => [file.slice(folder.length + 1), await readFile(file, 'latin1')] as const),
  );
  return Object.fromEntries(texts);
}

describe('from raw files to proved files', () => {
  it('start-plan prints its guesses, build its figures, prove agrees', async () => {
    const { folder, plan, started } = await startedPlan();
    expect(started).toMatchObject({ code: 0, stderr: '' });
    expect(started.stdout).toContain('"K ppm" is k in ppm');
    expect(started.stdout).toContain('nobody said which one governs');
    expect(started.stdout).toMatch(/depth: .*6 in\./);

    const out = join(folder, 'out');
    const build = await pearlash('build', plan, '--out', out);
    expect(build.code).toBe(0);
    expect(build.stdout).toContain('Small forty');
    expect(build.stdout).toContain('nobody said which');
    expect(build.stdout).toMatch(/total +\d+\.\d ac, [\d,]+ lb = \d+\.\d short tons of 0-0-60/);
    expect(build.stdout).toContain('proved: read back from the disk');
    expect(Object.keys(await filesOf(out))).toEqual(expect.arrayContaining(['manifest.json']));

    const prove = await pearlash('prove', out);
    expect(prove.code).toBe(0);
    expect(prove.stdout).toMatch(/\.geojson +acres/);
    expect(prove.stdout).toMatch(/\.shp +pounds/);
  });

  it('--json says the same as one document on stdout, and acres, tons and zones add up', async () => {
    const { folder, plan } = await startedPlan('plan.pearlash', '--governs', 'ppm');
    const { code, stdout } = await pearlash('build', plan, '--out', join(folder, 'out'), '--json');
    expect(code).toBe(0);
    const document: { ok: boolean; results: BuildReport[] } = JSON.parse(stdout);
    const [report] = document.results;
    if (!report?.totals || !report.field || !report.proof) throw new Error('no result');
    expect(report.governs).toBe('ppm (as told)');
    expect(report.field.spreadable_ac).toBeCloseTo(report.field.boundary_ac - report.field.keepOut_ac, 6);
    const acres = report.zones.reduce((sum, zone) => sum + zone.acres, 0);
    const product_lb = report.zones.reduce((sum, zone) => sum + zone.acres * (zone.rate_lbPerAc ?? 0), 0);
    expect(acres).toBeCloseTo(report.field.spreadable_ac, 4);
    expect(product_lb).toBeGreaterThan(0);
    expect(report.totals.product_lb).toBeCloseTo(product_lb, 3);
    expect(report.proof.proved).toBe(true);
  });

  it('the folder, its plan.json and the packed file give the same bytes, every time', async () => {
    const { folder, files, plan } = await startedPlan();
    const packed = join(folder, 'packed.pearlash');
    const given = ['--boundary', files.boundary, '--keep-out', files.keepOut, '--samples', files.samples];
    await pearlash('start-plan', ...given, '--name', 'Small forty', ...START, '--out', packed);
    const outs = [];
    for (const [index, one] of [plan, join(plan, 'plan.json'), packed].entries()) {
      const out = join(folder, `out-${index}`);
      expect((await pearlash('build', one, '--out', out)).code).toBe(0);
      outs.push(await filesOf(out));
    }
    expect(outs[1]).toEqual(outs[0]);
    expect(outs[2]).toEqual(outs[0]);
  });

  it('several plans are written below --out, and one that stops does not hold up the others', async () => {
    const { folder, plan } = await startedPlan();
    await cp(plan, join(folder, 'second'), { recursive: true });
    await mkdir(join(folder, 'empty'));
    const out = join(folder, 'out');
    const build = await pearlash('build', plan, join(folder, 'empty'), join(folder, 'second'), '--out', out);
    expect(build.code).toBe(1);
    expect((await readdir(out)).sort()).toEqual(['plan', 'second']);
    expect(build.stderr).toContain(join(folder, 'empty'));
  });
});

describe('what is not as it should be', () => {
  it('prove finds a file that was changed after it was written', async () => {
    const { folder, plan } = await startedPlan();
    const out = join(folder, 'out');
    await pearlash('build', plan, '--out', out);
    const name = (await readdir(out)).find((file) => file.endsWith('.geojson')) ?? '';
    const text = await readFile(join(out, name), 'utf8');
    await writeFile(
      join(out, name),
      text.replace(/"rate_?[^"]*":\s*\d+/i, (rate) => `${rate}1`),
    );
    const prove = await pearlash('prove', out);
    expect(prove.code).toBe(1);
    expect(prove.stderr).toContain(name);
    expect(prove.stdout).toContain('NOT proved');
  });

  it('check names file and row of a value that is none, and still uses the rest', async () => {
    const { folder, files } = await startedPlan();
    const text = await readFile(files.samples, 'utf8');
    await writeFile(files.samples, text.replace('\n3,', '\n3,').replace(',163,', ',n.d.,'));
    const plan = join(folder, 'second');
    const given = ['--boundary', files.boundary, '--samples', files.samples];
    await pearlash('start-plan', ...given, ...START, '--out', plan);
    const check = await pearlash('check', plan);
    expect(check.code).toBe(0);
    expect(check.stderr).toMatch(/lab\.csv, row \d+/);
    expect(check.stdout).toContain('16 = ');
  });

  it('a file that cannot be read stops with its name and a remedy, as one JSON document too', async () => {
    const { folder, files } = await startedPlan();
    const cut = join(folder, 'cut.zip');
    await writeFile(cut, Buffer.from('504b0304', 'hex'));
    const args = ['start-plan', '--boundary', cut, '--samples', files.samples, ...START, '--out', join(folder, 'none')];
    const plain = await pearlash(...args);
    expect(plain).toMatchObject({ code: 1 });
    expect(plain.stderr).toMatch(/^stop: .*\[cut\.zip/m);
    const json = await pearlash(...args, '--json');
    expect(json.code).toBe(1);
    expect(JSON.parse(json.stdout)).toMatchObject({
      ok: false,
      results: [{ problems: [{ severity: 'stop', at: { file: 'cut.zip' } }] }],
    });
    expect(await readdir(folder)).not.toContain('none');
  });

  it('an input that is not the plan’s any more stops the build, and nothing is written', async () => {
    const { folder, plan } = await startedPlan();
    const [input] = await readdir(join(plan, 'inputs'));
    await rm(join(plan, 'inputs', input ?? ''));
    const build = await pearlash('build', plan, '--out', join(folder, 'out'));
    expect(build.code).toBe(1);
    expect(build.stderr).toContain('Put the file back');
    expect(await readdir(folder)).not.toContain('out');
  });

  it('files of a person are never replaced', async () => {
    const { folder, plan, started } = await startedPlan();
    expect(started.code).toBe(0);
    const build = await pearlash('build', plan, '--out', folder);
    expect(build.code).toBe(1);
    expect(build.stderr).toContain('no export of Pearlash wrote');
    const again = await pearlash('start-plan', '--boundary', 'b', '--samples', 's', '--out', plan);
    expect(again.code).toBe(1);
    expect(again.stderr).toContain('There is something at the place of the new plan already.');
  });

  it.each([
    [['build', 'x', '--out', 'y', '--fast'], 2],
    [['nothing'], 2],
    [[], 2],
    [['build', 'not-there', '--out', 'y'], 1],
    [['prove', 'not-there'], 1],
    [['--help'], 0],
    [['build', '--help'], 0],
    [['--version'], 0],
  ])('%j ends with %i', async (args, code) => {
    const ended = await pearlash(...args);
    expect(ended.code).toBe(code);
    if (code === 2) expect(ended).toMatchObject({ stdout: '', stderr: expect.stringContaining('Exit code:') });
    if (code === 0) expect(ended).toMatchObject({ stdout: expect.stringMatching(/./), stderr: '' });
  });
});

describe('npm start', () => {
  it('--once does the main job on the sample field and ends', async () => {
    const home = await tempFolder();
    const ended = await runBuilt(join(built.folder, 'start.js'), ['--once'], { PEARLASH_HOME: home, DISPLAY: '' });
    expect(ended).toMatchObject({ code: 0, stderr: '' });
    expect(ended.stdout).toMatch(/total +\d+\.\d ac, .* short tons of 0-0-60/);
    expect(ended.stdout).toContain('proved: read back from the disk');
    expect(ended.stdout.trim().split('\n').length).toBeLessThan(10);
    const again = await runBuilt(join(built.folder, 'start.js'), ['--once'], { PEARLASH_HOME: home, DISPLAY: '' });
    expect(again.stdout).toBe(ended.stdout);
  });

  it('leaves the repository as it is', async () => {
    const fields = await readdir(join(root, 'sample-fields'), { recursive: true });
    expect(fields.filter((file) => file.includes('handoff'))).toEqual([]);
  });
});
