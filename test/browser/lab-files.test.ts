import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { book } from '../soil/book.ts';
import { type Dropped, drop, launch, openWindow, type Running, sampleFile, serve, settled } from './harness.ts';

const LONG_MS = 120_000;

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

const ids = Array.from({ length: 20 }, (_, n) => `HQ-${String(n + 1).padStart(2, '0')}`);
const csv = (name: string, k: string): Dropped => ({
  name,
  bytes: new TextEncoder().encode(
    `Sample ID,${k},Ca ppm,Mg ppm,pH,CEC\n${ids.map((id, n) => `${id},${150 + n},3600,600,6.9,23.5`).join('\n')}\n`,
  ),
});

it(
  'reads another sheet of a workbook when it is chosen',
  async () => {
    const { page, faults } = await openWindow(browser, running);
    const sheet = (k: number) => [
      ['Sample ID', 'K ppm', 'Ca ppm', 'Mg ppm', 'pH', 'CEC'],
      ...ids.map((id, n) => [id, k + n, 3600, 600, 6.9, 23.5]),
    ];
    const lab = book([
      ['Results 2018', sheet(90)],
      ['Results 2022', sheet(150)],
    ]);
    await startWith(page, lab);
    const chooser = page.getByLabel('Sheet with the lab values');
    expect(await chooser.inputValue()).toBe('Results 2022');
    await chooser.selectOption('Results 2018');
    await page.locator('.sentences', { hasText: 'sheet "Results 2018"' }).waitFor();
    await settled(page);
    expect(await chooser.inputValue()).toBe('Results 2018');
    await page.getByRole('button', { name: /^Undo: lab values from "Results 2018"/ }).click();
    await settled(page);
    await page.locator('.sentences', { hasText: 'sheet "Results 2022"' }).waitFor();
    expect(faults).toEqual([]);
    await page.context().close();
  },
  LONG_MS,
);

it(
  'asks in the table for what a heading of K leaves open',
  async () => {
    const { page, faults } = await openWindow(browser, running);
    await startWith(page, csv('stk.csv', 'STK'), true);
    await page.getByRole('tab', { name: 'Lab table' }).click();
    await page.getByText('nothing tells its unit: left unused until it is told').waitFor();
    await page.getByLabel('STK is', { exact: true }).selectOption('k');
    await page.getByLabel('STK in', { exact: true }).selectOption('kg/ha');
    await page.getByLabel('Depth that STK counts').fill('8');
    await page.getByLabel('Depth that STK counts').press('Enter');
    await settled(page);
    await page.getByRole('tab', { name: 'Reading' }).click();
    await page.getByTestId('columns-read').filter({ hasText: 'kg/ha of 8 in' }).waitFor();
    expect(faults).toEqual([]);
    await page.context().close();
  },
  LONG_MS,
);

it(
  'does not ask twice about a column that was confirmed for the same headers',
  async () => {
    const first = await openWindow(browser, running);
    await startWith(first.page, csv('oxide.csv', 'K2O ppm'));
    const doubt = (page: Page) =>
      page.locator('.note, .prob').filter({ hasText: 'K2O is read, and turned to the element' });
    await doubt(first.page).getByRole('button', { name: 'Confirm' }).click();
    await first.page.getByTestId('remembered').waitFor();
    await first.page.context().close();
    const second = await openWindow(browser, running);
    await startWith(second.page, csv('oxide-2.csv', 'K2O ppm'));
    await second.page.getByTestId('remembered').filter({ hasText: 'Read as you set it' }).waitFor();
    expect(await second.page.getByRole('button', { name: 'Confirm' }).count()).toBe(0);
    expect([...first.faults, ...second.faults]).toEqual([]);
    await second.page.context().close();
  },
  LONG_MS,
);

async function startWith(page: Page, lab: Dropped, stops = false): Promise<void> {
  await drop(page, [await sampleFile('boundary.zip'), await sampleFile('sample-points.zip'), lab]);
  const nameField = page.getByLabel('Name', { exact: true });
  await nameField.fill(lab.name);
  await nameField.press('Enter');
  await page.getByLabel('Crop').selectOption('corn');
  await page.getByLabel('Yield goal').fill('200');
  await page.getByText('The larger of the two').click();
  await page.getByRole('button', { name: 'Make the plan' }).click();
  if (stops) await page.locator('.prob[data-code="soil-no-k-column"]').first().waitFor();
  else await settled(page);
}
