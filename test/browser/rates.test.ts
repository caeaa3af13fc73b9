import { readFile } from 'node:fs/promises';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { readBasis } from '../../core/rates/basis.ts';
import { findings } from './axe.ts';
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

/** Opens a tab of the rates: nothing in it is wider than the panel, and axe finds nothing. */
async function tab(page: Page, name: string): Promise<void> {
  await page.getByRole('tab', { name, exact: true }).click();
  const wider = await page
    .locator('.tabs, .panel-body')
    .evaluateAll((parts) => parts.filter((part) => part.scrollWidth > part.clientWidth + 1).length);
  expect(wider, name).toBe(0);
  expect(await findings(page), name).toEqual([]);
}

const fold = (page: Page, title: RegExp): Promise<void> => page.locator('.fold > summary', { hasText: title }).click();

async function fill(page: Page, label: string, text: string): Promise<void> {
  const field = page.getByLabel(label, { exact: true });
  await field.fill(text);
  await field.press('Enter');
}

async function openFile(page: Page, name: string, text: string): Promise<void> {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: 'Open a basis file' }).click(),
  ]);
  await chooser.setFiles({ name, mimeType: 'application/json', buffer: Buffer.from(text) });
  await page.locator('[data-testid="basis-changes"], [data-code^="basis-"]').first().waitFor();
}

const carried = async (page: Page, line: string): Promise<number> =>
  read(await page.locator(`[data-testid="ledger-${line}"] .ledger-carried`).textContent());
const head = async (page: Page): Promise<string> => (await page.locator('.panel-head').textContent()) ?? '';

it('lets the specialist argue with every line, and keeps what was chosen', { timeout: 180_000 }, async () => {
  const { page, faults } = await openWindow(browser, running);
  await openSample(page);
  await openStage(page, 'rates');

  // From a rate in the table to the account it comes from.
  await tab(page, 'All zones');
  await page.getByRole('button', { name: 'Ledger of zone D' }).click();
  await page.getByTestId('ledger').locator('thead', { hasText: 'Zone D' }).waitFor();

  // A yield goal of the zone's own: its crop line follows, and so do tons and dollars.
  const before = await keyFigure(page, 'rates');
  const crop = await carried(page, 'crop');
  await fold(page, /^Zone D by itself/);
  await fill(page, 'Yield goal', '260');
  await settled(page);
  expect(await carried(page, 'crop')).toBeGreaterThan(crop);
  expect(await keyFigure(page, 'rates')).not.toBe(before);
  expect(await page.getByTestId('rates-change').textContent()).toMatch(/\+[\d.]+ tons, \+\$\d/);
  expect(await findings(page), 'Ledger').toEqual([]);

  // Manure that came after the sample counts.
  await tab(page, 'Basis');
  await fold(page, /^Credits/);
  await page.getByRole('button', { name: 'Add manure' }).click();
  await fill(page, 'Rate', '8');
  await fill(page, 'K₂O in it', '5');
  await page.getByLabel('After the sample').selectOption('yes');
  await settled(page);
  await tab(page, 'Ledger');
  // 8 tons x 5 lb x 90 % available.
  expect(await carried(page, 'credits')).toBe(-36);

  // Money is short: the limit begins at what the plan takes, and worst first leaves the richest ground without.
  await tab(page, 'Budget');
  await page.getByRole('button', { name: 'Set dollars' }).click();
  await fill(page, 'Dollars', '5000');
  await settled(page);
  expect(await page.getByTestId('rates-change').textContent()).toMatch(/−[\d.]+ tons, −\$\d/);
  await page.getByRole('radio', { name: /^Worst first/ }).check();
  await settled(page);
  expect(await page.locator('.budget-way.chosen').textContent()).toContain('Worst first');
  const spent = await page.locator('.budget-table tr', { hasText: 'Cost' }).locator('td').last().textContent();
  expect(read((spent ?? '').replace('$', ''))).toBeLessThanOrEqual(5000);

  await tab(page, 'Compare');
  expect(await page.getByTestId('alternatives').locator('tbody tr').count()).toBe(4);
  await fill(page, 'Years the land is yours to farm', '6');
  await settled(page);
  // Six years and their sum.
  expect(await page.getByTestId('spending').locator('tbody tr').count()).toBe(7);
  expect(await page.getByTestId('spending-plot').locator('circle').count()).toBe(12);

  // A published guide sets the rates, and is sent back.
  await tab(page, 'Guides');
  const numbers = await page.locator('.guide-n').allTextContents();
  expect(await page.getByTestId('guide-plot').locator('.lines-badge').count()).toBe(numbers.length);
  const own = await keyFigure(page, 'rates');
  await page.getByRole('button', { name: 'Let it set the rates' }).first().click();
  await settled(page);
  expect(await head(page)).toMatch(/As .+ says/);
  await tab(page, 'Ledger');
  expect(await page.getByTestId('ledger-crop').textContent()).toContain('Follows');
  // Where the guide gives none the rate is withheld, and the way leads to what settles it, by keyboard.
  await page.getByTestId('zone-tab-C').click();
  await page.locator('.note.stop', { hasText: 'of zone C are withheld' }).waitFor();
  await page.getByRole('button', { name: 'Go to the setting' }).first().click();
  await page.locator('[data-setting="rates.follows"]:focus').waitFor();
  await page.keyboard.press('Enter');
  await settled(page);
  await page.getByTestId('zone-tab-D').click();
  expect(await keyFigure(page, 'rates')).toBe(own);

  // Another basis: what it would change stands there before it is taken, and one step takes it back.
  await tab(page, 'Basis');
  await page.getByLabel('Look at another').selectOption({ label: 'Hold and maintain' });
  const changes = page.getByTestId('basis-changes');
  expect(await changes.locator('tr', { hasText: 'Floor by ppm' }).textContent()).toBe('Floor by ppm150 ppm120 ppm');
  expect(await findings(page), 'a basis looked at').toEqual([]);
  await page.getByRole('button', { name: 'Take this basis' }).click();
  await settled(page);
  expect(await head(page)).toContain('Hold and maintain');
  await page.getByRole('button', { name: 'Undo: basis Hold and maintain' }).click();
  await settled(page);
  expect(await keyFigure(page, 'rates')).toBe(own);
  await page.keyboard.press('Control+Y');
  await settled(page);
  await page.getByRole('button', { name: 'Save as a file' }).click();
  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save the file' }).click(),
  ]);
  expect(download.suggestedFilename()).toBe('hold-and-maintain.basis.json');
  const text = await readFile((await download.path()) ?? '', 'utf8');
  const saved = readBasis(text);
  expect(saved.ok && [saved.value.choices.floor_ppm, saved.value.choices.buildUp_years]).toEqual([120, 8]);

  // A basis of somebody else's, from its file; what is no basis says so.
  await openFile(page, 'own.basis.json', text.replace('"floor_ppm": 120', '"floor_ppm": 130'));
  expect(await changes.locator('tbody tr').allTextContents()).toEqual(['Floor by ppm120 ppm130 ppm']);
  await openFile(page, 'other.json', '{"format":"something else"}');
  await page.locator('[data-code="basis-other"]').waitFor();
  expect(await changes.count()).toBe(0);

  // A rate by hand stands at once, and undo gives the ledger's back.
  await tab(page, 'Ledger');
  const worked = await carried(page, 'rate');
  await page.getByRole('button', { name: 'Type a rate for zone D' }).click();
  await page.getByLabel('Rate for zone D, all passes together').fill('155');
  await page.getByLabel('Who', { exact: true }).fill('The specialist');
  await fill(page, 'Why', 'Strip trial here');
  await page.getByRole('button', { name: 'Give this rate' }).click();
  await settled(page);
  expect(await carried(page, 'rate')).toBe(155);
  expect(await page.getByTestId('ledger-override').textContent()).toContain('Strip trial here');
  await page.getByRole('button', { name: /^Undo: zone D by hand/ }).click();
  await settled(page);
  expect(await carried(page, 'rate')).toBe(worked);

  // The plan holds all of it.
  const tons = await keyFigure(page, 'rates');
  await page.keyboard.press('Control+S');
  await page.locator('.crop-line', { hasText: 'saved' }).waitFor();
  await page.reload();
  await page.locator('.plan-rows').getByRole('button').first().click();
  await settled(page);
  expect(await keyFigure(page, 'rates')).toBe(tons);
  await openStage(page, 'rates');
  expect(await head(page)).toMatch(/Hold and maintain \(the ppm floor; over 8 years; \$5,000, worst first\)/);
  await tab(page, 'All zones');
  await page.getByRole('button', { name: 'Ledger of zone D' }).click();
  await fold(page, /^Zone D by itself/);
  expect(await page.getByLabel('Yield goal', { exact: true }).inputValue()).toBe('260');
  expect(await page.getByTestId('ledger-credits').textContent()).toContain('Manure');
  expect(faults).toEqual([]);
  await page.context().close();
});
