import { unzipSync } from 'fflate';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { drop, launch, openWindow, type Running, sampleFile, serve, settled } from './harness.ts';

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

const text = (lines: readonly string[]): Uint8Array => new TextEncoder().encode(lines.join('\n'));

it('says what is wrong with a file and what to do, and loses nothing', async () => {
  const { page, faults } = await openWindow(browser, running);
  const boundary = await sampleFile('boundary.zip');
  const lab = await sampleFile('lab-results.csv');

  // A zip cut in half: named, with a remedy; the rest stays, and taking the bad one out goes on.
  await drop(page, [{ name: 'boundary.zip', bytes: boundary.bytes.slice(0, boundary.bytes.length / 2) }, lab]);
  const problem = page.locator('.prob').first();
  await problem.waitFor();
  expect(await problem.textContent()).toContain('boundary.zip');
  expect((await problem.locator('p').first().textContent())?.trim()).not.toBe('');
  expect(await page.getByRole('button', { name: 'A boundary is needed first' }).isDisabled()).toBe(true);
  await page.getByRole('button', { name: 'Take out boundary.zip' }).click();
  await page.locator('.prob').first().waitFor({ state: 'detached' });
  expect(await page.getByLabel('What lab-results.csv is').inputValue()).toBe('samples');

  // Loose parts without a .prj, in metres: the coordinate system is asked for, and the answer goes on.
  const parts = Object.entries(unzipSync(boundary.bytes))
    .filter(([name]) => !name.endsWith('.prj'))
    .map(([name, bytes]) => ({ name: name.split('/').at(-1) ?? name, bytes }));
  await drop(page, [...parts, await sampleFile('sample-points.zip')]);
  const crs = page.getByLabel('EPSG code, or the text of a .prj');
  await crs.fill('EPSG:32615');
  await crs.press('Enter');
  await page.getByRole('button', { name: 'Say which target governs' }).waitFor();
  expect(await page.getByLabel(/^What boundary\.shp with .* is$/).inputValue()).toBe('boundary');
  await page.getByText('The larger of the two').click();
  await page.getByRole('button', { name: 'Make the plan' }).click();

  // No crop was told: the rates stop, and the problem leads to the setting that settles it.
  await page.locator('.card[data-stage="rates"][data-standing="problem"]').waitFor();
  await page.keyboard.press('F8');
  const noCrop = page.locator('.prob', { hasText: /crop/i }).first();
  await noCrop.getByRole('button', { name: 'Go to the setting' }).click();
  await page.locator('[data-setting^="rates."]:focus').waitFor();
  await page.getByLabel('Crop', { exact: true }).selectOption('corn');
  await page.getByLabel('Yield goal').fill('180');
  await page.keyboard.press('Enter');
  await settled(page);
  expect(await page.locator('.card[data-stage="rates"] .name em').textContent()).toBe('');

  // A lab table of nothing but words is refused beside the plan, which stays as it was.
  await page.keyboard.press('Escape');
  await page.keyboard.press('Escape');
  await drop(page, [{ name: 'notes.csv', bytes: text(['Day,Note', '1,dry', '2,wet']) }]);
  await page.locator('[data-panel-title="intake"]').waitFor();
  await page.locator('.prob', { hasText: 'notes.csv' }).waitFor();
  expect(await page.getByRole('button', { name: 'Say what the files are' }).isDisabled()).toBe(true);
  expect(faults).toEqual([]);
  await page.context().close();
});
