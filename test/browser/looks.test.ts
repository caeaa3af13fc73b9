import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { findings } from './axe.ts';
import { launch, openWindow, type Running, serve } from './harness.ts';
import { openSample, openStage, STAGES } from './walk.ts';

let browser: Browser;
let running: Running;
beforeAll(async () => {
  browser = await launch();
  running = await serve();
});
afterAll(async () => {
  await running.close();
  await browser.close();
});

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

/** Every stage as it opens. */
async function walk(page: Page, judge: (at: string) => Promise<void>): Promise<void> {
  for (const stage of STAGES) {
    await openStage(page, stage);
    await judge(stage);
  }
}

/** Every stage with all its tabs, left at the first. */
async function walkTabs(page: Page, judge: (at: string) => Promise<void>): Promise<void> {
  for (const stage of STAGES) {
    await openStage(page, stage);
    const tabs = page.locator('.tabs[role="tablist"] [role="tab"]');
    const names = await tabs.allTextContents();
    if (names.length === 0) await judge(stage);
    for (const [index, name] of names.entries()) {
      await tabs.nth(index).click();
      await judge(`${stage}, ${name}`);
    }
    if (names.length > 1) await tabs.first().click();
  }
}

it('cuts nothing at 1024 x 768 and gives axe nothing to find, in light and in dark', async () => {
  const { page, faults } = await openWindow(browser, running);
  const judge = async (at: string): Promise<void> => {
    expect(await cut(page), at).toEqual([]);
    expect(await findings(page), at).toEqual([]);
  };
  await judge('start');
  await openSample(page);
  await walk(page, judge);
  await openStage(page, 'rates');
  for (const tab of ['All zones', 'Basis']) {
    await page.getByRole('tab', { name: tab }).click();
    await judge(tab);
  }
  await page.keyboard.press('F8');
  await page.keyboard.press('Control+K');
  await judge('problems and finder');
  await page.keyboard.press('Escape');

  // The dark theme changes colours and nothing else: there contrast alone is judged again.
  await page.emulateMedia({ colorScheme: 'dark' });
  await walk(page, async (at) => expect(await findings(page, ['color-contrast']), `${at}, dark`).toEqual([]));
  expect(faults).toEqual([]);
  await page.context().close();
});

it('cuts nothing at 1440 x 900', async () => {
  const { page } = await openWindow(browser, running, { viewport: { width: 1440, height: 900 } });
  await openSample(page);
  await walkTabs(page, async (at) => expect(await cut(page), at).toEqual([]));
  await page.context().close();
});

it('stays whole at 200 % zoom, in metric units', async () => {
  const { page } = await openWindow(browser, running, {
    viewport: { width: 720, height: 450 },
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
