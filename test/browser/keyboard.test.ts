import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { launch, openWindow, type Running, serve, settled } from './harness.ts';
import { keyFigure } from './walk.ts';

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

const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const at = document.activeElement;
    return at?.getAttribute('aria-label') ?? at?.textContent?.trim() ?? '';
  });

/** Presses Tab until the focus is on something whose name begins so. */
async function tabTo(page: Page, name: string): Promise<void> {
  for (let i = 0; i < 60; i++) {
    if ((await focused(page)).startsWith(name)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab never came to "${name}"; it stands at "${await focused(page)}"`);
}

it('goes the whole way without a mouse', async () => {
  const { page, faults } = await openWindow(browser, running);
  const keys = page.keyboard;

  await tabTo(page, 'Try the sample field');
  await keys.press('Enter');
  await settled(page);

  // Digits open the stages and put the focus into the panel; a field commits with Enter.
  await keys.press('3');
  await page.locator('[data-panel-title="surfaces"]:focus').waitFor();
  const before = await keyFigure(page, 'rates');
  for (let i = 0; i < 12 && !(await page.locator('[data-setting="surfaces.power"]:focus').count()); i++)
    await keys.press('Tab');
  await keys.press('Control+A');
  await keys.type('4');
  await keys.press('Enter');
  await settled(page);
  const after = await keyFigure(page, 'rates');
  expect(after).not.toBe(before);

  // In a field digits are figures; Esc leaves it, then undo is the plan's.
  await keys.press('Escape');
  await keys.press('Control+Z');
  await settled(page);
  expect(await keyFigure(page, 'rates')).toBe(before);
  await keys.press('Control+Y');
  await settled(page);
  expect(await keyFigure(page, 'rates')).toBe(after);

  // A wrong figure stays in its field and says why.
  await page.locator('[data-setting="surfaces.power"]').focus();
  await keys.press('Control+A');
  await keys.type('nine');
  await keys.press('Enter');
  expect(await page.locator('.field-error').textContent()).toBe('A figure is needed here.');
  await keys.press('Escape');

  // Arrow keys go along the tabs and the zones.
  await keys.press('Escape');
  await keys.press('5');
  await page.locator('[data-panel-title="rates"]:focus').waitFor();
  await tabTo(page, 'Ledger');
  await keys.press('ArrowRight');
  expect(await page.locator('[role="tab"][aria-selected="true"]').first().textContent()).toBe('All zones');
  await keys.press('Home');
  await tabTo(page, 'Zone A');
  await keys.press('ArrowRight');
  expect(await page.locator('.ledger thead').textContent()).toContain('Zone B');

  // The finder does the rest.
  await keys.press('Control+K');
  await keys.type('save the files');
  await keys.press('Enter');
  await page.getByTestId('proof-seal').waitFor();

  // F8 stands at the first problem and its nearest way; Esc closes what is open.
  await keys.press('F8');
  await page.locator('.prob button:focus').first().waitFor();
  await keys.press('Escape');
  expect(await page.locator('[data-part="panel"]').count()).toBe(0);

  // F6 goes round the parts of the window.
  const parts: string[] = [];
  for (let i = 0; i < 4; i++) {
    await keys.press('F6');
    parts.push(
      await page.evaluate(() => document.activeElement?.closest('[data-part]')?.getAttribute('data-part') ?? 'none'),
    );
  }
  expect(new Set(parts)).toEqual(new Set(['head', 'map', 'course']));
  expect(faults).toEqual([]);
  await page.context().close();
});
