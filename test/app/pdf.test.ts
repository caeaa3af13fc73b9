import { chmod, mkdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import chromium from '@sparticuz/chromium';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { buildJob } from '../../app/cli/build-job.ts';
import { proveJob } from '../../app/cli/prove-job.ts';
import { printPdf } from '../../app/electron/print.ts';
import { readExportsAt, writeExports } from '../../app/services/exports.ts';
import { chromiumPlaces, findChromium, printSheetOf, printWithChromium } from '../../app/services/pdf.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import { standIn } from './electron-stand-in.ts';
import { exportOf, tempFolder } from './helpers.ts';

/** Two pages of A4 that ask for a script, a picture and a style from elsewhere, none of which may come. */
const PAGE = `<!doctype html><meta charset="utf-8"><title>t</title><style>@page{size:A4;margin:0}section+section{break-before:page}</style>
<script>document.title = 'ran'; document.body.append('ran')</script><section>one</section><section>two</section>`;

const page = async (): Promise<string> => {
  const file = join(await tempFolder(), 'sheet.html');
  await writeFile(file, PAGE);
  return file;
};
const program = async (text: string): Promise<string> => {
  const file = join(await tempFolder(), 'browser');
  await writeFile(file, `#!/bin/sh\n${text}\n`);
  await chmod(file, 0o755);
  return file;
};
const problemOf = (reply: Awaited<ReturnType<typeof printWithChromium>>) => (reply.ok ? null : reply.problem);

describe('where a browser may lie', () => {
  it('is the one that is named, and no other', () => {
    expect(chromiumPlaces({ PEARLASH_CHROMIUM: '/opt/one', PATH: '/usr/bin' })).toEqual(['/opt/one']);
  });

  it('is on the PATH, and in the usual places of each system', () => {
    expect(chromiumPlaces({ PATH: ['/a', '/b'].join(delimiter) }, 'linux')).toContain(join('/b', 'chromium'));
    expect(chromiumPlaces({}, 'darwin')).toContain('/Applications/Chromium.app/Contents/MacOS/Chromium');
    expect(chromiumPlaces({ ProgramFiles: 'C:\\Program Files' }, 'win32').join()).toContain('msedge.exe');
  });

  it('is a file that may be run', async () => {
    const folder = await tempFolder();
    await mkdir(join(folder, 'chromium'));
    await writeFile(join(folder, 'chrome'), '');
    expect(await findChromium({ PATH: folder })).toBe(null);
    await chmod(join(folder, 'chrome'), 0o755);
    expect(await findChromium({ PATH: folder })).toBe(join(folder, 'chrome'));
  });
});

describe('printing with a browser of the machine', () => {
  it("makes a PDF on the page's own paper, without script", async () => {
    const printed = await printWithChromium(await page(), { PEARLASH_CHROMIUM: await chromium.executablePath() });
    if (!printed.ok) throw new Error(JSON.stringify(printed.problem));
    const text = Buffer.from(printed.value).toString('latin1');
    expect(text.startsWith('%PDF-')).toBe(true);
    expect(text.match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(2);
    // A4 is 595 by 842 points.
    expect(text).toMatch(/\/MediaBox\s*\[0 0 59[45][.\d]* 84[12][.\d]*\]/);
    // The title of a document stands in a PDF as it is.
    expect(text).toContain('(t)');
    expect(text).not.toContain('(ran)');
  }, 60_000);

  it('says how to go on where there is none', async () => {
    const none = problemOf(await printWithChromium(await page(), { PATH: await tempFolder() }));
    expect(none).toMatchObject({ code: 'pdf-no-browser', severity: 'caution' });
    expect(none?.remedy).toContain('PEARLASH_CHROMIUM');
    const told = problemOf(await printWithChromium(await page(), { PEARLASH_CHROMIUM: '/no/such/browser' }));
    expect(told?.message).toContain('/no/such/browser');
  });

  it('ends one that hangs, and tells of one that gives up', async () => {
    const hangs = problemOf(
      await printWithChromium(await page(), { PEARLASH_CHROMIUM: await program('sleep 60') }, 300),
    );
    expect(hangs).toMatchObject({ code: 'pdf-failed', detail: 'ended after 0.3 s' });
    const quits = problemOf(await printWithChromium(await page(), { PEARLASH_CHROMIUM: await program('exit 3') }));
    expect(quits?.code).toBe('pdf-failed');
    const talks = problemOf(
      await printWithChromium(await page(), { PEARLASH_CHROMIUM: await program('echo "no" >&4; sleep 1') }),
    );
    expect(talks?.code).toBe('pdf-failed');
  });
});

describe('the page of an export', () => {
  const bytes = new TextEncoder().encode('%PDF-1.4 test');
  const print = async () => ({ ok: true, value: bytes }) as const;

  it('is printed beside it, and the next export takes its place', async () => {
    const folder = join(await tempFolder(), 'out');
    const files = exportOf({ 'sheet.html': PAGE });
    await writeExports(folder, files);
    const printed = await printSheetOf(folder, print);
    expect(printed).toEqual({ ok: true, value: { file: join(folder, 'sheet.pdf'), bytes } });
    expect(new Uint8Array(await readFile(join(folder, 'sheet.pdf')))).toEqual(bytes);
    expect((await writeExports(folder, files)).ok).toBe(true);
    await expect(stat(join(folder, 'sheet.pdf'))).rejects.toThrow();
  });

  it('is not printed where there is none, or where it changed meanwhile', async () => {
    const folder = join(await tempFolder(), 'out');
    await writeExports(folder, exportOf({ 'rx.geojson': '{}' }));
    expect(await printSheetOf(folder, print)).toMatchObject({ problem: { code: 'pdf-no-sheet' } });
    await writeExports(folder, exportOf({ 'sheet.html': PAGE }));
    const changed = await printSheetOf(folder, async (file) => {
      await writeFile(file, 'another');
      return { ok: true, value: bytes };
    });
    expect(changed).toMatchObject({ problem: { code: 'pdf-overtaken' } });
  });
});

describe('build --pdf', () => {
  const plan = fileURLToPath(new URL('../../sample-fields/hollow-quarter/plan.json', import.meta.url));
  const build = async (browser: string) => {
    vi.stubEnv('PEARLASH_CHROMIUM', browser);
    const out = join(await tempFolder(), 'out');
    const report = await buildJob({ kind: 'build', plan, out, pdf: true, when: '2026-04-02 14:41' }, {});
    if (report.kind !== 'build') throw new Error(report.kind);
    return { out, report };
  };
  afterEach(() => {
    vi.unstubAllEnvs();
  });

  it('writes the page beside the files, which stay proved', async () => {
    const { out, report } = await build(await chromium.executablePath());
    expect(report.ok).toBe(true);
    expect(report.files.at(-1)).toMatchObject({ path: 'sheet.pdf' });
    const back = await readExportsAt(out);
    if (!back.ok) throw new Error(back.problem.message);
    expect(back.value.files.map(({ path }) => path)).toContain('sheet.pdf');
    expect(proveFiles(back.value.files)).toMatchObject({ proved: true, problems: [] });
    const prove = async () => {
      const proved = await proveJob({ kind: 'prove', folder: out });
      if (proved.kind !== 'prove') throw new Error(proved.kind);
      return [proved.ok, proved.proof?.proved, proved.proof?.strays, ...proved.problems.map(({ code }) => code)];
    };
    expect(await prove()).toEqual([true, true, 0]);
    await writeFile(join(out, 'OLD.shp'), 'x');
    expect(await prove()).toEqual([false, true, 1, 'proof-stray']);
    await rm(join(out, 'OLD.shp'));
    await writeFile(join(out, 'sheet.pdf'), '%PDF-1.7 another');
    expect(await prove()).toEqual([false, false, 0, 'proof-differs']);
  }, 60_000);

  it('is done without it, and says so, where no browser is', async () => {
    const { report } = await build('/no/such/browser');
    expect(report.ok).toBe(true);
    expect(report.problems.filter(({ code }) => code.startsWith('pdf-'))).toMatchObject([{ severity: 'caution' }]);
    expect(report.files.map(({ path }) => path)).not.toContain('sheet.pdf');
  });
});

describe('printing in the desktop program', () => {
  it('uses a window that is hidden, runs no script and goes at once', async () => {
    standIn.reset();
    await standIn.ready();
    const printed = await printPdf('/plans/north/handoff/sheet.html');
    expect(printed.ok).toBe(true);
    expect(standIn.state.printed).toEqual([
      { url: 'file:///plans/north/handoff/sheet.html', options: { preferCSSPageSize: true, printBackground: true } },
    ]);
    expect(standIn.state.windows).toEqual([]);
    expect(standIn.state.made.at(-1)).toMatchObject({
      show: false,
      webPreferences: { javascript: false, sandbox: true, contextIsolation: true, nodeIntegration: false },
    });
  });
});
