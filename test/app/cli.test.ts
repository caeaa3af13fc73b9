import { spawn } from 'node:child_process';
import { cp, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { isBuiltin } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { BuildReport } from '../../app/cli/reports.ts';
import { BRIDGE_PATH, decodeMessage, encodeMessage, TOKEN_FRAGMENT, TOKEN_HEADER } from '../../core/bridge/codec.ts';
import { type Built, buildHosts, type Ended, root, runBuilt } from './built.ts';
import { tempFolder } from './helpers.ts';
import { type SmallField, writeSmallField } from './small-field.ts';

const START = ['--crop', 'corn', '--yield-goal', '200'];

let built: Built;
let home: string;
let files: SmallField;
/** The plan made from the raw files once, as a folder; a test that changes it takes a copy. */
let plan: string;
let started: Ended;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), 'pearlash-cli-'));
  built = await buildHosts();
  files = await writeSmallField(join(home, 'raw'));
  plan = join(home, 'small-forty');
  started = await startPlan(plan);
}, 60_000);
afterAll(async () => {
  await Promise.all([built.remove(), rm(home, { recursive: true, force: true })]);
});

const pearlash = (...args: readonly string[]): Promise<Ended> =>
  runBuilt(join(built.folder, 'cli', 'pearlash.js'), args);

function startPlan(out: string, ...more: readonly string[]): Promise<Ended> {
  const { boundary, keepOut, samples } = files;
  const given = ['--boundary', boundary, '--keep-out', keepOut, '--samples', samples, '--name', 'Small forty'];
  return pearlash('start-plan', ...given, ...START, '--out', out, ...more);
}

async function copyOfPlan(): Promise<string> {
  const copy = join(await tempFolder(), 'copy');
  await cp(plan, copy, { recursive: true });
  return copy;
}

/** Every file below a folder with its bytes as text. */
async function filesOf(folder: string): Promise<Record<string, string>> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const found = entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  const texts = await Promise.all(
    found.map(async (file) => [file.slice(folder.length + 1), await readFile(file, 'latin1')] as const),
  );
  return Object.fromEntries(texts);
}

describe('from raw files to proved files', () => {
  it('start-plan prints its guesses', () => {
    expect(started).toMatchObject({ code: 0, stderr: '' });
    expect(started.stdout).toContain('"K ppm" is K in ppm');
    expect(started.stdout).toContain('nobody said which one governs');
    expect(started.stdout).toMatch(/depth: .*6 in\./);
  });

  it('build prints its figures, prove agrees, until a file is changed', async () => {
    const out = join(await tempFolder(), 'out');
    const build = await pearlash('build', plan, '--out', out);
    expect(build.code).toBe(0);
    expect(build.stdout).toContain('Small forty');
    expect(build.stdout).toContain('nobody said which');
    expect(build.stdout).toMatch(/total +\d+\.\d ac, [\d,]+ lb = \d+\.\d short tons of 0-0-60/);
    expect(build.stdout).toContain('proved: read back from the disk');
    expect(build.stdout).toMatch(/ppm alone +sat alone +lb\/ac/);
    expect(build.stdout).toMatch(/before rounding [\d,]+ lb, after [\d,]+ lb/);

    const prove = await pearlash('prove', out);
    expect(prove.code).toBe(0);
    expect(prove.stdout).toMatch(/\.geojson +acres/);
    expect(prove.stdout).toMatch(/\.shp +pounds/);

    const name = (await readdir(out)).find((file) => file.endsWith('.geojson')) ?? '';
    const text = await readFile(join(out, name), 'utf8');
    await writeFile(
      join(out, name),
      text.replace(/"rate_?[^"]*":\s*\d+/i, (rate) => `${rate}1`),
    );
    const changed = await pearlash('prove', out);
    expect(changed.code).toBe(1);
    expect(changed.stderr).toContain(name);
    expect(changed.stdout).toContain('NOT proved');
  });

  it('the folder, its plan.json and the packed file give the same bytes, and one that stops holds up none', async () => {
    const folder = await tempFolder();
    const packed = join(folder, 'packed.pearlash');
    expect((await startPlan(packed)).code).toBe(0);
    const nothing = join(folder, 'nothing');
    await mkdir(nothing);
    const out = join(folder, 'out');
    const build = await pearlash('build', plan, nothing, join(plan, 'plan.json'), packed, '--out', out);
    expect(build.code).toBe(1);
    expect(build.stderr).toContain(nothing);
    expect((await readdir(out)).sort()).toEqual(['packed', 'small-forty', 'small-forty-2']);
    const first = await filesOf(join(out, 'small-forty'));
    expect(await filesOf(join(out, 'small-forty-2'))).toEqual(first);
    expect(await filesOf(join(out, 'packed'))).toEqual(first);
  });

  it('--json says the same as one document on stdout, and acres, tons and zones add up', async () => {
    const folder = await tempFolder();
    const told = join(folder, 'told');
    expect((await startPlan(told, '--governs', 'ppm')).code).toBe(0);
    const { code, stdout } = await pearlash('build', told, '--out', join(folder, 'out'), '--json');
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
    for (const zone of report.zones) {
      expect(zone.answers.ppmAlone).toBe(zone.rate_lbPerAc);
      expect(zone.lines.map((line) => line.n)).toEqual(zone.lines.map((_, index) => index + 1));
    }
  });
});

describe('what is not as it should be', () => {
  it('check names file and row of a value that is none, and still uses the rest', async () => {
    const folder = await tempFolder();
    const samples = join(folder, 'lab.csv');
    await writeFile(samples, (await readFile(files.samples, 'utf8')).replace(',163,', ',n.d.,'));
    const second = join(folder, 'second');
    await pearlash('start-plan', '--boundary', files.boundary, '--samples', samples, ...START, '--out', second);
    const check = await pearlash('check', second);
    expect(check.code).toBe(0);
    expect(check.stderr).toMatch(/lab\.csv, row 8\b/);
    expect(check.stdout).toContain('16 = ');
  });

  it('check stops where build must: too few samples are kept', async () => {
    const folder = await tempFolder();
    const samples = join(folder, 'lab.csv');
    await writeFile(samples, (await readFile(files.samples, 'utf8')).split('\n').slice(0, 3).join('\n'));
    const second = join(folder, 'second');
    await pearlash('start-plan', '--boundary', files.boundary, '--samples', samples, ...START, '--out', second);
    const [check, build] = await Promise.all([
      pearlash('check', second),
      pearlash('build', second, '--out', join(folder, 'out')),
    ]);
    expect([check.code, build.code]).toEqual([1, 1]);
    const said = '2 samples are too few for a surface; it takes 3.';
    expect(check.stderr).toContain(said);
    expect(build.stderr).toContain(said);
  });

  it('check prints the tests of each year and depth, what differs and which ids look alike; rows alike once', async () => {
    const folder = await tempFolder();
    const boundary = join(folder, 'field.geojson');
    const ring = [
      [-94.24, 42.7],
      [-94.23, 42.7],
      [-94.23, 42.708],
      [-94.24, 42.708],
      [-94.24, 42.7],
    ];
    await writeFile(boundary, JSON.stringify({ type: 'Polygon', coordinates: [ring] }));
    const soil = join(root, 'test', 'fixtures', 'soil');
    const given = ['--boundary', boundary, '--points', join(soil, 'messy-points.csv'), '--crop', 'corn'];
    const samples = ['--samples', join(soil, 'messy-lab.csv')];
    const memory = { PEARLASH_HOME: join(folder, 'home') };
    const start = (out: string, ...more: readonly string[]) =>
      runBuilt(
        join(built.folder, 'cli', 'pearlash.js'),
        ['start-plan', ...given, ...samples, '--out', join(folder, out), ...more],
        memory,
      );
    const first = await start('first', '--column', 'Buffer pH=unused', '--remember');
    expect(first.stdout).toContain('extractant of K: Mehlich-3 (header "K (M3 ppm)")');
    const second = await start('second');
    expect(second.stdout).toContain('samples: columns as you set them for a file with the same headers on ');
    expect(second.stdout).toContain('column "Buffer pH" is not used (as you set it on ');
    const third = await start('third', '--forget', '--year', '2022');
    expect(third.stdout).toContain('column "Buffer pH" is buffer pH (header "Buffer pH")');
    const check = await pearlash('check', join(folder, 'second'));
    expect(check.code).toBe(0);
    expect(check.stdout).toMatch(/tests +2025, 0-6 in, 13 rows: in use\n +2025, 6-24 in, 12 rows: set aside/);
    expect(check.stdout).toMatch(/row 26, R-08: K saturation 9 by the lab, 1\.58 worked out/);
    expect(check.stdout).toContain('lab "R-21" in row 30 looks like "R-12"');
    expect(check.stderr.match(/The test is of 2022/g)).toHaveLength(1);
    expect(check.stderr).toContain('(rows 6, 7, 8,');
  });

  it('a file that cannot be read stops with its name and a remedy, and no plan is written', async () => {
    const folder = await tempFolder();
    const cut = join(folder, 'cut.zip');
    await writeFile(cut, Buffer.from('504b0304', 'hex'));
    const out = join(folder, 'none');
    const args = ['start-plan', '--boundary', cut, '--samples', files.samples, ...START, '--out', out, '--json'];
    const ended = await pearlash(...args);
    expect(ended.code).toBe(1);
    expect(ended.stderr).toMatch(/^stop: .*\[cut\.zip/m);
    const problem = { severity: 'stop', at: { file: 'cut.zip' }, remedy: expect.stringMatching(/./) };
    expect(JSON.parse(ended.stdout)).toMatchObject({ ok: false, results: [{ problems: [problem] }] });
    expect(await readdir(folder)).toEqual(['cut.zip']);
  });

  it('an input that is gone stops the build, and nothing is written', async () => {
    const copy = await copyOfPlan();
    const [input] = await readdir(join(copy, 'inputs'));
    await rm(join(copy, 'inputs', input ?? ''));
    const out = join(copy, '..', 'out');
    const build = await pearlash('build', copy, '--out', out);
    expect(build.code).toBe(1);
    expect(build.stderr).toContain('Put the file back');
    expect(await readdir(join(copy, '..'))).toEqual(['copy']);
  });

  it('files of a person are never replaced', async () => {
    const build = await pearlash('build', plan, '--out', join(home, 'raw'));
    expect(build.code).toBe(1);
    expect(build.stderr).toContain('no export of Pearlash wrote');
    const again = await startPlan(plan);
    expect(again.code).toBe(1);
    expect(again.stderr).toContain('There is something at the place of the new plan already.');
  });

  it.each([
    [['build', 'x', '--out', 'y', '--jobs', '0'], 2],
    [[], 2],
    [['prove', 'not-there'], 1],
    [['--help'], 0],
    [['--version'], 0],
  ])('%j ends with %i', async (args, code) => {
    const ended = await pearlash(...args);
    expect(ended.code).toBe(code);
    if (code === 2) expect(ended).toMatchObject({ stdout: '', stderr: expect.stringContaining('Exit code:') });
    if (code === 0) expect(ended).toMatchObject({ stdout: expect.stringMatching(/./), stderr: '' });
  });
});

describe('the built desktop program', () => {
  const requiredBy = async (file: string, pattern: RegExp) => {
    const text = await readFile(join(built.folder, 'electron', file), 'utf8');
    return new Set([...text.matchAll(pattern)].map((found) => found[1] ?? ''));
  };

  it('has a preload of one CommonJS file, as a sandbox wants it', async () => {
    expect(await requiredBy('preload.cjs', /require\("([^"]+)"\)/g)).toEqual(new Set(['electron']));
    expect(await requiredBy('preload.cjs', /^import .*from "([^"]+)"/gm)).toEqual(new Set());
  });

  it('has a main file that needs nothing but Electron and Node', async () => {
    const needed = await requiredBy('main.js', /^import .*from ["']([^"']+)["']/gm);
    expect([...needed].filter((name) => name !== 'electron' && !isBuiltin(name))).toEqual([]);
    expect(needed).toContain('electron');
  });
});

/** Waits for a line on a stream that goes on. */
function firstLine(stream: Readable, wanted: RegExp): Promise<RegExpExecArray> {
  return new Promise((resolve, reject) => {
    let text = '';
    stream.on('data', (chunk: Buffer) => {
      text += chunk.toString();
      const found = wanted.exec(text);
      if (found) resolve(found);
    });
    stream.once('close', () => reject(new Error(`ended without ${wanted}: ${text}`)));
  });
}

describe('npm start', () => {
  const start = (args: readonly string[], plans: string) =>
    runBuilt(join(built.folder, 'start.js'), args, { PEARLASH_HOME: plans, DISPLAY: '', WAYLAND_DISPLAY: '' });

  /** A start on a machine with a display, whose Electron is a script that notes its arguments. */
  const startWithRuntime = async () => {
    const plans = await tempFolder();
    const runtime = await tempFolder();
    const note = join(runtime, 'arguments');
    await writeFile(join(runtime, 'electron'), `#!/bin/sh\nprintf '%s\\n' "$@" > "${note}"\n`, {
      mode: 0o755,
    });
    const ended = await runBuilt(join(built.folder, 'start.js'), [], {
      PEARLASH_HOME: plans,
      DISPLAY: ':99',
      ELECTRON_OVERRIDE_DIST_PATH: runtime,
    });
    return { ended, plans, told: (await readFile(note, 'utf8')).trim().split('\n') };
  };

  it('--once does the main job on the sample field and ends', async () => {
    const ended = await start(['--once'], await tempFolder());
    expect(ended).toMatchObject({ code: 0, stderr: '' });
    expect(ended.stdout).toMatch(/total +\d+\.\d ac, .* short tons of 0-0-60/);
    expect(ended.stdout).toContain('proved: read back from the disk');
    expect(ended.stdout.trim().split('\n').length).toBeLessThan(10);
    const fields = await readdir(join(root, 'sample-fields'), { recursive: true });
    expect(fields.filter((file) => file.includes('handoff'))).toEqual([]);
  });

  it('without a display serves the window from the loopback address, on the plan it made', async () => {
    const plans = await tempFolder();
    const child = spawn(process.execPath, [join(built.folder, 'start.js')], {
      env: { ...process.env, PEARLASH_HOME: plans, DISPLAY: '', WAYLAND_DISPLAY: '' },
    });
    try {
      const line = await firstLine(child.stdout, /The window is in your browser \((.+)\): (http:\S+)/);
      expect(line[1]).toBe('there is no display here');
      const address = new URL(line[2] ?? '');
      expect(address.hostname).toBe('127.0.0.1');
      expect(await (await fetch(address)).text()).toContain('<html');
      const answer = await fetch(new URL(BRIDGE_PATH, address), {
        method: 'POST',
        headers: {
          'content-type': 'application/json',
          origin: address.origin,
          [TOKEN_HEADER]: address.hash.replace(`#${TOKEN_FRAGMENT}=`, ''),
        },
        body: encodeMessage({ name: 'about', args: {} }),
      });
      expect(decodeMessage(await answer.text())).toMatchObject({ host: 'browser', openAtStart: 'hollow-quarter' });
    } finally {
      child.kill();
    }
  });

  it('with a display and the runtime opens the desktop window on the plan, and ends with it', async () => {
    const { ended, told, plans } = await startWithRuntime();
    expect(ended.code).toBe(0);
    expect(ended.stdout).not.toContain('in your browser');
    expect(told.slice(-2)).toEqual([root.replace(/\/$/, ''), join(plans, 'plans', 'hollow-quarter')]);
  });

  it('an option that does not exist is wrong usage', async () => {
    const ended = await start(['--fast'], await tempFolder());
    expect(ended).toMatchObject({ code: 2, stdout: '', stderr: expect.stringContaining('npm start -- --once') });
  });
});
