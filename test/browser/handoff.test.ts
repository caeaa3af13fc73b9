import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { proveFiles } from '../../core/handoff/prove.ts';
import { launch, openWindow, type Running, serve, settled } from './harness.ts';
import { keyFigure, openSample, openStage, read } from './walk.ts';

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

it('writes cells along a way drawn on the map, with loads and short names, proves them and makes the page', async () => {
  const { page, faults } = await openWindow(browser, running, { viewport: { width: 1440, height: 900 } });
  await openSample(page);
  await openStage(page, 'handoff');
  const zones_tons = await page.locator('.proof dt', { hasText: 'Load in all' }).locator('+ dd').textContent();

  await page.getByRole('tab', { name: 'Written as' }).click();
  await page.getByLabel('A record is').selectOption('cells');
  await settled(page);
  // The way is drawn from west to east along the field's foot.
  await page.getByRole('button', { name: 'Draw the way' }).click();
  await page.locator('[data-testid="sketch"][data-ready="true"]').waitFor();
  const box = await page.getByTestId('map-stage').boundingBox();
  if (!box) throw new Error('no map');
  for (const x of [0.35, 0.6]) {
    const at = [box.x + x * box.width, box.y + 0.5 * box.height] as const;
    await page.mouse.move(...at);
    await page.mouse.click(...at);
  }
  await page.keyboard.press('Enter');
  const way = page.getByLabel(/^Way of driving/);
  await expect.poll(() => way.inputValue(), { timeout: 20_000 }).not.toBe('');
  await settled(page);
  const heading = read(await way.inputValue());
  expect(Math.abs(heading - 90)).toBeLessThan(2);

  await page.getByLabel(/^One load/).fill('8');
  await page.keyboard.press('Enter');
  await page.getByLabel(/^Short names/).check();
  await settled(page);
  const says = (await page.locator('.sub-fields > p').last().textContent()) ?? '';
  const cells = read(says);
  expect(cells).toBeGreaterThan(1500);
  expect(await page.getByTestId('field-map').getAttribute('data-layer')).toBe('written');

  await page.getByRole('tab', { name: 'Files' }).click();
  const tons = await page.locator('.proof dt', { hasText: 'Load in all' }).locator('+ dd').textContent();
  // Means over the zones under each cell keep the field's tons to a few pounds an acre.
  expect(Math.abs(read(tons) - read(zones_tons))).toBeLessThan(0.2);
  const loads = page.locator('.section', { has: page.getByRole('heading', { name: /^Loads/ }) });
  expect(await loads.locator('tbody tr').first().textContent()).toContain('2 full loads, then');

  await page.getByRole('button', { name: /^Save \d+ files/ }).click();
  await page.getByTestId('proof-seal').waitFor();
  const plans = join(running.home, 'plans');
  const [plan = ''] = await readdir(plans);
  const at = join(plans, plan, 'handoff');
  const names = (await readdir(at, { recursive: true, withFileTypes: true })).filter((entry) => entry.isFile());
  expect(names.length).toBe(read(await keyFigure(page, 'handoff')));
  const files = await Promise.all(
    names.map(async (entry) => {
      const path = join(entry.parentPath, entry.name);
      return { path: path.slice(at.length + 1).replaceAll('\\', '/'), bytes: new Uint8Array(await readFile(path)) };
    }),
  );
  for (const { path } of files.filter((file) => /\.(zip|geojson|shp|dbf)$/.test(file.path)))
    expect(path.split('/').at(-1)?.replace(/\..*$/, '')).toMatch(/^[A-Z0-9]{1,8}$/);
  const proof = proveFiles(files);
  expect(proof.problems).toEqual([]);
  expect(proof.proved).toBe(true);
  const records = proof.lines.filter(({ what }) => what === 'records').map(({ found }) => Number(found));
  expect(new Set(records)).toEqual(new Set([cells]));
  const sheet = new TextDecoder().decode(files.find(({ path }) => path === 'sheet.html')?.bytes);
  expect(sheet).toContain('PROVED');
  expect(sheet).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)/);
  expect(faults).toEqual([]);
  await page.context().close();
});
