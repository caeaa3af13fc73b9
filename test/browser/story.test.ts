import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import type { Browser } from 'playwright-core';
import { read as readShapefile } from 'shapefile';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { proveFiles } from '../../core/handoff/prove.ts';
import { launch, openWindow, type Running, serve, settled } from './harness.ts';
import { keyFigure, makePlan, openStage, read } from './walk.ts';

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

it('takes the specialist from raw files to a proved prescription', async () => {
  const { page, faults } = await openWindow(browser, running);
  await makePlan(page);

  // Soil: read = kept + set aside, in figures and in rows.
  const count = (await page.locator('.row-count').textContent()) ?? '';
  const [readRows, kept, aside] = (count.match(/\d+/g) ?? []).map(Number);
  expect(readRows).toBe((kept ?? 0) + (aside ?? 0));
  await page.getByRole('tab', { name: 'Kept and set aside' }).click();
  expect(await page.getByRole('button', { name: /^Show row/ }).count()).toBeGreaterThanOrEqual(aside ?? 0);

  // A unit changed by hand moves every stage behind it; undo brings all of it back.
  const tons = await keyFigure(page, 'rates');
  const ppm = await keyFigure(page, 'surfaces');
  await page.getByRole('tab', { name: 'Lab table' }).click();
  await page.getByLabel('K ppm in').selectOption('lb/ac');
  await settled(page);
  expect(await keyFigure(page, 'surfaces')).not.toBe(ppm);
  expect(await keyFigure(page, 'rates')).not.toBe(tons);
  await page.getByRole('button', { name: /^Undo: K ppm is K in lb\/ac/ }).click();
  await settled(page);
  expect([await keyFigure(page, 'surfaces'), await keyFigure(page, 'rates')]).toEqual([ppm, tons]);

  // The ledger: only carried figures add up.
  await openStage(page, 'rates');
  const ledger = page.getByTestId('ledger');
  await ledger.waitFor();
  const carried = await ledger.locator('tbody tr:not(.ledger-sum):not(.ledger-end) .ledger-carried').allTextContents();
  const sum = read(await ledger.locator('.ledger-sum .ledger-carried').textContent());
  const added = carried.filter((text) => text !== '').reduce((total, text) => total + read(text), 0);
  expect(Math.abs(added - sum)).toBeLessThan(0.05 * carried.length);

  // A setting changes, and the rates follow.
  await page.getByRole('tab', { name: 'Basis' }).click();
  await page.getByLabel('Years to the target').fill('2');
  await page.keyboard.press('Enter');
  await settled(page);
  expect(await page.locator('.panel-head').textContent()).toContain('over 2 years');

  // Export, and the proof of what was read back.
  await openStage(page, 'handoff');
  const planned_lb = read(await page.locator('.proof dd').first().textContent());
  await page.getByRole('button', { name: /^Save \d+ files/ }).click();
  await page.getByTestId('proof-seal').waitFor();
  expect(await page.locator('.card[data-stage="handoff"] .name em').textContent()).toBe('proved');

  // The zip that a person takes out of the window, opened by a reader that nobody here wrote.
  const zips = page.locator('.files [data-file$=".zip"]:not([data-file$="_taskdata.zip"])');
  let found_lb = 0;
  let found_ac = 0;
  for (const zip of await zips.all()) {
    const [download] = await Promise.all([page.waitForEvent('download'), zip.getByRole('button').click()]);
    const parts = unzipSync(new Uint8Array(await readFile((await download.path()) ?? '')));
    const part = (ending: string) => Object.entries(parts).find(([name]) => name.endsWith(ending))?.[1];
    const [shp, dbf] = [part('.shp'), part('.dbf')];
    if (!shp || !dbf) throw new Error('the zip holds no shapefile');
    const records = (await readShapefile(shp, dbf)).features.map((feature) => feature.properties ?? {});
    found_ac = records.reduce((acres, { ACRES }) => acres + Number(ACRES), 0);
    found_lb += records.reduce((pounds, { RATE, ACRES }) => pounds + Number(RATE) * Number(ACRES), 0);
  }
  expect(Math.abs(found_lb - planned_lb)).toBeLessThan(1);
  expect(Math.abs(found_ac - read(await keyFigure(page, 'field')))).toBeLessThan(0.05);

  // The same files on the host's disk, proved once more outside the window.
  const folder = join(running.home, 'plans');
  const [plan = ''] = await readdir(folder);
  const at = join(folder, plan, 'handoff');
  const names = (await readdir(at, { recursive: true, withFileTypes: true })).filter((entry) => entry.isFile());
  const files = await Promise.all(
    names.map(async (entry) => {
      const path = join(entry.parentPath, entry.name);
      return { path: path.slice(at.length + 1).replaceAll('\\', '/'), bytes: new Uint8Array(await readFile(path)) };
    }),
  );
  expect(proveFiles(files).proved).toBe(true);

  // A change takes the seal away at once, and stale results cannot be saved.
  await openStage(page, 'surfaces');
  await page.getByLabel('Power', { exact: true }).fill('3');
  await page.keyboard.press('Enter');
  await openStage(page, 'handoff');
  expect(await page.getByTestId('proof-seal').count()).toBe(0);
  await settled(page);
  expect(await page.getByTestId('proof-seal').count()).toBe(0);
  expect(faults).toEqual([]);
  await page.context().close();
});
