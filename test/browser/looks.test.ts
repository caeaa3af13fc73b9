import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { launch, openWindow, type Running, serve } from './harness.ts';
import { openSample, openStage, STAGES } from './walk.ts';

let browser: Browser;
let running: Running;
let axe = '';
beforeAll(async () => {
  axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
  browser = await launch();
  running = await serve();
});
afterAll(async () => {
  await running.close();
  await browser.close();
});

const WCAG = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What axe finds against WCAG 2.2 AA, one line a finding. */
async function findings(page: Page, only: readonly string[] = WCAG): Promise<string[]> {
  await page.evaluate(`window.axe ?? (() => { ${axe} })()`);
  return page.evaluate(async (runOnly) => {
    // The script above put it there.
    const { axe: judge } = window as unknown as { axe: { run: (what: unknown, how: unknown) => Promise<AxeResult> } };
    const { violations } = await judge.run(document, { runOnly, resultTypes: ['violations'] });
    return violations.flatMap((one) =>
      one.nodes.map((node) => `${one.id}: ${node.target.join(' ')} ${node.html.slice(0, 160)}`),
    );
  }, only);
}
interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly target: readonly string[]; readonly html: string }[];
  }[];
}

/** Texts and boxes that are cut or lie outside the window. */
const cut = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const found: string[] = [];
    const { innerWidth, innerHeight } = window;
    if (document.documentElement.scrollWidth > innerWidth) found.push('the page is wider than the window');
    const tight =
      '.head, .course, .card .key-figure, .card .name, .panel-head, .panel-body, .panel-foot, .spotline, .tabs, .btn';
    for (const element of document.querySelectorAll<HTMLElement>(tight)) {
      if (element.scrollWidth > element.clientWidth + 1)
        found.push(`${element.className}: ${element.textContent?.slice(0, 60)}`);
    }
    for (const element of document.querySelectorAll<HTMLElement>('.head > *, .panel-foot .btn, .card')) {
      const box = element.getBoundingClientRect();
      if (box.width > 2 && (box.right > innerWidth + 1 || box.left < -1 || box.bottom > innerHeight + 1)) {
        found.push(`outside: ${element.className} ${element.textContent?.slice(0, 60)}`);
      }
    }
    return found;
  });

/** The dark theme changes colours and nothing else: there contrast alone is judged again. */
it.each([
  ['light', WCAG],
  ['dark', ['color-contrast']],
] as const)('has nothing for axe to find, %s', async (colorScheme, rules) => {
  const { page, faults } = await openWindow(browser, running, { colorScheme });
  expect(await findings(page, rules)).toEqual([]);
  await openSample(page);
  for (const stage of STAGES) {
    await openStage(page, stage);
    expect(await findings(page, rules), stage).toEqual([]);
  }
  await openStage(page, 'rates');
  await page.getByRole('tab', { name: 'Basis' }).click();
  expect(await findings(page, rules), 'basis').toEqual([]);
  await page.keyboard.press('F8');
  await page.keyboard.press('Control+K');
  expect(await findings(page, rules), 'problems and finder').toEqual([]);
  expect(faults).toEqual([]);
  await page.context().close();
});

it('cuts nothing at 1024 x 768, nor at 1440 x 900', async () => {
  const { page } = await openWindow(browser, running, { viewport: { width: 1024, height: 768 } });
  expect(await cut(page), 'start').toEqual([]);
  await openSample(page);
  for (const viewport of [
    { width: 1024, height: 768 },
    { width: 1440, height: 900 },
  ]) {
    await page.setViewportSize(viewport);
    for (const stage of STAGES) {
      await openStage(page, stage);
      expect(await cut(page), `${stage} at ${viewport.width}`).toEqual([]);
    }
    await openStage(page, 'rates');
    for (const tab of ['All zones', 'Basis', 'Ledger']) {
      await page.getByRole('tab', { name: tab }).click();
      expect(await cut(page), `${tab} at ${viewport.width}`).toEqual([]);
    }
    await page.keyboard.press('F8');
    expect(await cut(page), 'problems').toEqual([]);
  }
  await page.context().close();
});

it('stays whole at 200 % zoom, in metric units', async () => {
  const { page } = await openWindow(browser, running, {
    viewport: { width: 720, height: 450 },
    reducedMotion: 'reduce',
  });
  await openSample(page);
  await page.keyboard.press('Control+K');
  await page.keyboard.type('metric');
  await page.keyboard.press('Enter');
  await page.locator('.card[data-stage="field"] .key-figure', { hasText: 'ha' }).waitFor();
  for (const stage of ['field', 'rates', 'handoff'] as const) {
    await page.keyboard.press(String(STAGES.indexOf(stage) + 1));
    await page.locator(`[data-panel-title="${stage}"]`).waitFor();
    const wide = await page.evaluate(() => document.documentElement.scrollWidth > window.innerWidth);
    expect(wide, stage).toBe(false);
    expect(await page.locator('.panel-foot .btn.main').isVisible(), stage).toBe(true);
  }
  await page.context().close();
});
