import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { findings } from './axe.ts';
import { type Dropped, launch, openWindow, type Running, serve } from './harness.ts';
import { openSample, openStage, read } from './walk.ts';

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

const cells = (page: Page, table: string): Promise<string[][]> =>
  page
    .getByTestId(table)
    .locator('tbody tr')
    .evaluateAll((rows) => rows.map((row) => [...row.querySelectorAll('td')].map((cell) => cell.textContent ?? '')));

async function choose(page: Page, button: string, files: readonly Dropped[]): Promise<void> {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: button }).click(),
  ]);
  await chooser.setFiles(files.map(({ name, bytes }) => ({ name, mimeType: '', buffer: Buffer.from(bytes) })));
}

it('opens a written prescription again, beside its plan and with nothing else than the file', async () => {
  const { page, faults } = await openWindow(browser, running);
  await openSample(page);
  await openStage(page, 'handoff');
  const planned_lb = read(await page.locator('.proof dd').first().textContent());
  await page.getByRole('button', { name: /^Save \d+ files/ }).click();
  await page.getByTestId('proof-seal').waitFor();

  // From the host's own disk, as it would come back by mail.
  const plans = join(running.home, 'plans');
  const [plan = ''] = await readdir(plans);
  const folder = join(plans, plan, 'handoff');
  const zip = (await readdir(folder)).find((name) => name.endsWith('.zip') && !/task/i.test(name)) ?? '';
  const file = { name: zip, bytes: new Uint8Array(await readFile(join(folder, zip))) };

  await page.getByRole('tab', { name: 'Opened prescription' }).click();
  await choose(page, 'Open a prescription', [file]);
  await page.getByTestId('opened-back').waitFor();
  expect(await page.getByTestId('opened-says').textContent()).toMatch(
    /is the plan: the same ground and the same rates/,
  );
  const back = await cells(page, 'opened-back');
  expect(back.map(([zone]) => zone)).toEqual(['A', 'B', 'C', 'D', 'E', 'F', 'In all']);
  expect(back.map((line) => line.slice(-2))).toEqual(back.map(() => ['0', '0']));
  const total = back.at(-1) ?? [];
  const pass_lb = read(total[3] ?? '');
  expect(read(total[2] ?? '')).toBe(pass_lb);
  // The first of two passes: most of the plan's pounds, and never more.
  expect(pass_lb).toBeGreaterThan(planned_lb / 2);
  expect(pass_lb).toBeLessThanOrEqual(planned_lb);
  expect(await page.getByTestId('field-map').getAttribute('data-layer')).toBe('opened');
  await page.getByRole('button', { name: 'Show the difference' }).click();
  await page.locator('[data-testid="field-map"][data-layer="openedLess"]').waitFor();
  // Nothing of it is in the plan.
  expect(await page.getByRole('button', { name: /^Undo/ }).isDisabled()).toBe(true);

  expect(await findings(page)).toEqual([]);

  // Another window, without a plan.
  const bare = await openWindow(browser, running);
  await choose(bare.page, 'Look at a prescription', [file]);
  await bare.page.getByTestId('opened-rates').waitFor();
  const rates = await cells(bare.page, 'opened-rates');
  expect(read(rates.at(-1)?.at(-1) ?? '')).toBe(pass_lb);
  expect(read(await bare.page.getByTestId('opened-tons').textContent())).toBeCloseTo(pass_lb / 2000, 2);
  await bare.page.locator('[data-testid="field-map"][data-map-idle="true"]').waitFor();
  const box = await bare.page.getByTestId('map-stage').boundingBox();
  if (!box) throw new Error('no map');
  await bare.page.mouse.move(box.x + box.width * 0.45, box.y + box.height * 0.5);
  const spoken = bare.page.getByLabel('Spot reading');
  await spoken.getByText('0-0-60').waitFor();
  const reading = read(await spoken.locator('b').textContent());
  expect(rates.map(([rate]) => read(rate ?? ''))).toContain(reading);
  expect(await findings(bare.page)).toEqual([]);
  await bare.page.getByRole('button', { name: 'Close the opened prescription' }).first().click();
  await bare.page.getByRole('button', { name: 'Look at a prescription' }).waitFor();
  expect([...faults, ...bare.faults]).toEqual([]);
  await page.context().close();
  await bare.page.context().close();
}, 120_000);
