import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import chromium from '@sparticuz/chromium';
import { type Browser, type BrowserContextOptions, type Page, chromium as playwright } from 'playwright-core';
import { createHost } from '../../app/services/host.ts';
import { createPlanStore } from '../../app/services/plan-store.ts';
import { type Served, serveWindow } from '../../app/web/serve.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
export const SAMPLE_FIELD = join(root, 'sample-fields', 'hollow-quarter');

/** Not the package's own default flags: those turn web security off. */
const FLAGS = [
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--no-sandbox',
  '--no-zygote',
  // Smooth edges cost a software renderer most of its time, and no test looks at them.
  '--webgl-antialiasing-mode=none',
  '--webgl-msaa-sample-count=0',
];

export const launch = async (): Promise<Browser> =>
  playwright.launch({ executablePath: await chromium.executablePath(), args: FLAGS, headless: true });

export interface Running extends Served {
  /** Home folder of this run's host: its plans lie below `plans`. */
  readonly home: string;
}

/** The built window behind the real loopback host, with a home folder of its own. */
export async function serve(): Promise<Running> {
  const home = await mkdtemp(join(tmpdir(), 'pearlash-browser-'));
  const store = createPlanStore({ home, sampleFields: join(root, 'sample-fields') });
  const host = createHost({
    host: 'browser',
    version: 'test',
    store,
    openAtStart: () => null,
    onFault: (error) => console.error(error),
  });
  const served = await serveWindow({ host, window: join(root, 'dist', 'renderer') });
  return {
    ...served,
    home,
    close: async () => {
      await served.close();
      await rm(home, { recursive: true, force: true });
    },
  };
}

/** A page on the window. What the console calls an error ends up in `faults`. */
export async function openWindow(
  browser: Browser,
  running: Running,
  options: BrowserContextOptions = {},
): Promise<{ readonly page: Page; readonly faults: string[] }> {
  // Maps are drawn in software here: without motion, each change of the view is one frame.
  const context = await browser.newContext({
    viewport: { width: 1024, height: 768 },
    reducedMotion: 'reduce',
    ...options,
  });
  // Shorter than a test's own limit, so that a failure names the step it waited for.
  context.setDefaultTimeout(15_000);
  const page = await context.newPage();
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(`${error.message}\n${error.stack ?? ''}`));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  await page.goto(running.address);
  await page.locator('.course').waitFor();
  return { page, faults };
}

export interface Dropped {
  readonly name: string;
  readonly bytes: Uint8Array;
}

export const sampleFile = async (name: string): Promise<Dropped> => ({
  name,
  bytes: new Uint8Array(await readFile(join(SAMPLE_FIELD, name))),
});

/** Drops files on the window, as a person's drag from a folder does. */
export async function drop(page: Page, files: readonly Dropped[]): Promise<void> {
  const plain = files.map(({ name, bytes }) => ({ name, base64: Buffer.from(bytes).toString('base64') }));
  await page.evaluate((list) => {
    const data = new DataTransfer();
    for (const { name, base64 } of list) {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      data.items.add(new File([bytes], name));
    }
    const target = document.querySelector('.stagearea') ?? document.body;
    for (const type of ['dragenter', 'dragover', 'drop']) {
      target.dispatchEvent(new DragEvent(type, { dataTransfer: data, bubbles: true, cancelable: true }));
    }
  }, plain);
}

/** Waits until every stage is made and nothing is under way. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(
    () =>
      document.querySelectorAll('.card[data-standing="working"], .card[data-standing="stale"]').length === 0 &&
      document.querySelector('.card[data-stage="handoff"]')?.getAttribute('data-standing') !== 'wait',
    undefined,
    { timeout: 20_000, polling: 50 },
  );
}
