import { readFile } from 'node:fs/promises';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { drop, launch, openWindow, type Running, serve, settled } from './harness.ts';
import { keyFigure, openSample, openStage } from './walk.ts';

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

it('saves, reopens, hands a copy on as one file, and lets long work go', async () => {
  const { page, faults } = await openWindow(browser, running);
  await openSample(page);
  await openStage(page, 'rates');
  await page.getByRole('tab', { name: 'Basis' }).click();
  await page.getByLabel('Yield goal').fill('150');
  await page.keyboard.press('Enter');
  const name = page.getByLabel('Name of the plan');
  await name.fill('East Quarter');
  await name.press('Enter');
  await settled(page);
  const rates = await keyFigure(page, 'rates');

  // An unsaved plan is not left without a word.
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Pearlash' }).click();
  await page.getByRole('menuitem', { name: 'Close the plan' }).click();
  await page.getByRole('alertdialog').getByRole('button', { name: 'Stay' }).click();
  expect(await name.inputValue()).toBe('East Quarter');

  await page.keyboard.press('Control+S');
  await page.locator('.crop-line', { hasText: 'saved' }).waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Control+Shift+S')]);
  expect(download.suggestedFilename()).toBe('east-quarter.pearlash');
  const copy = new Uint8Array(await readFile((await download.path()) ?? ''));

  await page.keyboard.press('Control+E');
  await page.getByTestId('proof-seal').waitFor();

  // The window anew: the plan is in the list, opens as it was left, and its files on disk are proved without asking.
  await page.reload();
  await page
    .locator('.plan-rows')
    .getByRole('button', { name: /East Quarter/ })
    .click();
  await settled(page);
  expect(await keyFigure(page, 'rates')).toBe(rates);
  await page.locator('.card[data-stage="handoff"] .name em', { hasText: 'proved' }).waitFor();

  // The copy, dropped, is a plan of its own with the same prescription.
  await page.reload();
  await page.locator('.start-title').waitFor();
  await drop(page, [{ name: 'east-quarter.pearlash', bytes: copy }]);
  await settled(page);
  expect(await keyFigure(page, 'rates')).toBe(rates);
  expect(await page.locator('.crop-line').textContent()).toContain('150 bu');
  expect(await page.getByRole('button', { name: 'Save', exact: true }).count()).toBe(1);

  // Long work can be let go: what is shown is stale then, cannot be written, and is made again when asked for.
  await openStage(page, 'surfaces');
  await page.getByRole('textbox', { name: 'Cell' }).fill('1');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Cancel' }).click();
  const again = page.getByRole('button', { name: 'Make again' });
  await again.waitFor();
  expect(await page.locator('.card[data-stage="surfaces"]').getAttribute('data-standing')).toBe('stale');
  await openStage(page, 'handoff');
  expect(await page.getByRole('button', { name: 'Stale: run the stages first' }).isDisabled()).toBe(true);
  await again.click();
  await settled(page);
  expect(await again.count()).toBe(0);
  expect(faults).toEqual([]);
  await page.context().close();
});
