import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { findings } from './axe.ts';
import { drop, launch, openWindow, type Running, sampleFile, serve, settled } from './harness.ts';
import { messyLab } from './messy-lab.ts';
import { openSample, openStage } from './walk.ts';

/** Many steps, each of which runs all stages again. */
const LONG_MS = 150_000;

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

it(
  'takes the specialist from a messy report to samples that can be trusted',
  async () => {
    const { page, faults } = await openWindow(browser, running);
    await startWith(page, 'North quarter');

    // One screen: read = kept + set aside, and the kinds of reasons add up to what was set aside.
    await addsUp(page);
    const before = await keptRows(page);

    // The columns that could not be understood are said: a day, and K counted as K2O.
    await page.getByRole('tab', { name: 'Lab table' }).click();
    await page.getByLabel('Taken is', { exact: true }).selectOption('date');
    await page.getByLabel('K ppm is', { exact: true }).selectOption('k oxide');
    await settled(page);
    await page.getByTestId('remembered').filter({ hasText: 'Read as you set it' }).waitFor();
    expect(await keptRows(page)).toBeGreaterThan(before);

    // mg/L asks for its density where the unit is chosen; nothing is assumed.
    await page.getByLabel('Mg ppm in').selectOption('mg/L');
    await page.locator('.prob[data-code="soil-density"]').waitFor();
    await page.getByRole('button', { name: /^Undo: Mg ppm is Mg in mg\/L/ }).click();
    await settled(page);

    // Two years and two depths: another is chosen, then the latest again.
    await page.getByRole('tab', { name: 'Reading' }).click();
    await addsUp(page);
    expect(await page.locator('.series .choice').count()).toBe(3);
    const latest = await keptRows(page);
    await page.getByLabel(/^2021, 0–6 in/).check();
    await settled(page);
    expect(await keptRows(page)).toBeLessThan(latest);
    await page.getByRole('button', { name: 'Back to the latest' }).click();
    await settled(page);
    expect(await keptRows(page)).toBe(latest);

    // An id with a slip is joined by a person's word.
    await page.getByRole('button', { name: 'HG-05 and HQ-05 are the same' }).click();
    await settled(page);
    expect(await keptRows(page)).toBe(latest + 1);
    expect(await page.getByTestId('near-misses').textContent()).toContain('by your word');
    expect(await page.getByTestId('differences').textContent()).toContain('K saturation');
    expect(await findings(page)).toEqual([]);

    // A sample unlike those around it is set aside with who says so and why.
    const [outlier] = await page.locator('.kinds', { hasText: 'unlike the samples' }).getByRole('button').all();
    if (!outlier) throw new Error('no sample stands out');
    await outlier.click();
    const decision = page.getByTestId('row-decision');
    expect(await decision.textContent()).toMatch(/measured, .* by the samples around it/);
    await decision.getByLabel('Reason').fill('beside the old feed bunk');
    await decision.getByLabel('Who').fill('R. Vance');
    await decision.getByRole('button', { name: 'Set it aside' }).click();
    await settled(page);
    expect(await findings(page)).toEqual([]);
    await page.getByRole('tab', { name: 'Kept and set aside' }).click();
    expect(await keptRows(page)).toBe(latest);
    expect(await page.getByTestId('decisions').textContent()).toContain('beside the old feed bunk');
    await page.getByRole('tab', { name: 'About the test' }).click();
    await page.getByLabel('The lab extracts K by').selectOption('ammonium acetate');
    await page.getByLabel('K is', { exact: true }).selectOption('Mehlich-3');
    await page.getByRole('button', { name: '× 1.14' }).click();
    await settled(page);
    expect(await findings(page)).toEqual([]);
    await page.getByRole('button', { name: /^Undo: K into Mehlich-3/ }).click();

    // Saved, and the window anew: all of it is there.
    await settled(page);
    await saveAndReopen(page, 'North quarter');
    await openStage(page, 'soil');
    expect(await keptRows(page)).toBe(latest);
    expect(await page.getByTestId('columns-read').textContent()).toContain('K as K₂O');
    await page.getByRole('tab', { name: 'Kept and set aside' }).click();
    expect(await page.getByTestId('decisions').textContent()).toContain('R. Vance');
    expect(await planOnDisk('North quarter')).toMatchObject({
      soil: { sameIds: [{ lab: 'HG-05', point: 'HQ-05' }], decisions: [{ keep: false, who: 'R. Vance' }] },
    });
    expect(faults).toEqual([]);
    await page.context().close();
  },
  LONG_MS,
);

it(
  'tells the history of the ground, for the field and for areas drawn on the map',
  async () => {
    const { page, faults } = await openWindow(browser, running);
    await openSample(page);
    const name = page.getByLabel('Name of the plan');
    await name.fill('West quarter');
    await name.press('Enter');

    // An area drawn with the mouse, manured most years; a second one is undone.
    await openStage(page, 'field');
    await page.getByRole('tab', { name: 'Ground history' }).click();
    await page.getByLabel('Water', { exact: true }).selectOption('rain-fed');
    await draw(page, CORNERS);
    await page.keyboard.press('Enter');
    const areas = page.getByTestId('areas');
    await areas.getByLabel('Name').fill('Old feedlot');
    await page.keyboard.press('Enter');
    await areas.getByLabel('Manure').selectOption('most years');
    expect(await areas.textContent()).toContain('manure most years');
    expect(await page.locator('.map-area').allTextContents()).toEqual(['Old feedlot']);
    expect(await findings(page)).toEqual([]);
    await page.locator('.zone-ground select').selectOption({ index: 1 });
    expect(await areas.locator('.area').count()).toBe(2);
    await page.getByRole('button', { name: /^Undo: the ground of zone/ }).click();
    expect(await areas.locator('.area').count()).toBe(1);

    // What cannot be an area is told with its place; Escape leaves a drawing.
    await draw(page, [CORNERS[0], CORNERS[2], CORNERS[1], CORNERS[3]]);
    await page.keyboard.press('Enter');
    await page.locator('.prob[data-code="geo-self-crossing"]').waitFor();
    expect(await areas.locator('.area').count()).toBe(1);
    await draw(page, CORNERS.slice(0, 2));
    await page.keyboard.press('Escape');
    expect(await page.getByTestId('sketch').count()).toBe(0);
    await page.locator('[data-panel-title="field"]').waitFor();

    // Saved, and the window anew: all of it is there.
    await settled(page);
    await saveAndReopen(page, 'West quarter');
    await openStage(page, 'field');
    await page.getByRole('tab', { name: 'Ground history' }).click();
    expect(await areas.textContent()).toContain('Old feedlotmanure most years');
    expect(await page.getByLabel('Water', { exact: true }).inputValue()).toBe('rain-fed');
    expect(await planOnDisk('West quarter')).toMatchObject({
      ground: { history: { water: 'rain-fed' }, areas: [{ name: 'Old feedlot', history: { manure: 'most years' } }] },
    });
    expect(faults).toEqual([]);
    await page.context().close();
  },
  LONG_MS,
);

it(
  'reads the next report with the same headers as it was set before, until that is forgotten',
  async () => {
    const { page, faults } = await openWindow(browser, running);
    await startWith(page, 'South quarter');
    const columns = page.getByTestId('columns-read');
    expect(await columns.textContent()).toContain('K as K₂O');
    const line = page.getByTestId('remembered');
    expect(await line.textContent()).toMatch(/^Read as you set it on \d{4}-\d\d-\d\d for files with these headers/);
    await line.getByRole('button', { name: 'Forget it' }).click();
    await line.waitFor({ state: 'detached' });
    expect(await columns.textContent()).toContain('K as K₂O');
    expect(faults).toEqual([]);
    await page.context().close();
  },
  LONG_MS,
);

async function saveAndReopen(page: Page, name: string): Promise<void> {
  await page.keyboard.press('Control+S');
  await page.locator('.crop-line', { hasText: 'saved' }).waitFor();
  await page.reload();
  await page
    .locator('.plan-rows')
    .getByRole('button', { name: new RegExp(name) })
    .click();
  await settled(page);
}

/** Corners of an area inside the field, as shares of the map's width and height. */
const CORNERS = [
  [0.52, 0.48],
  [0.68, 0.5],
  [0.66, 0.68],
  [0.5, 0.66],
] as const;

async function startWith(page: Page, name: string): Promise<void> {
  await drop(page, [await sampleFile('boundary.zip'), await sampleFile('sample-points.zip'), await messyLab()]);
  const nameField = page.getByLabel('Name', { exact: true });
  await nameField.fill(name);
  await nameField.press('Enter');
  await page.getByLabel('Crop').selectOption('corn');
  await page.getByLabel('Yield goal').fill('200');
  await page.getByText('The larger of the two').click();
  await page.getByRole('button', { name: 'Make the plan' }).click();
  await settled(page);
}

async function counts(page: Page): Promise<readonly number[]> {
  const text = (await page.locator('.row-count').textContent()) ?? '';
  return (text.match(/\d+/g) ?? []).map(Number);
}
const keptRows = async (page: Page): Promise<number> => (await counts(page))[1] ?? Number.NaN;

/** On the screen of what was understood: read = kept + set aside = kept + the kinds of reasons. */
async function addsUp(page: Page): Promise<void> {
  const [read, kept, aside] = await counts(page);
  expect(read).toBe((kept ?? 0) + (aside ?? 0));
  const kinds = await page.getByTestId('kinds').first().locator('li > div > b').allTextContents();
  expect(kinds.reduce((sum, text) => sum + Number(text), 0)).toBe(aside);
}

/** Clicks the corners of a drawing on the map; how it ends is the caller's. */
async function draw(page: Page, corners: readonly (readonly [number, number] | undefined)[]): Promise<void> {
  await page.getByRole('button', { name: 'Draw an area' }).click();
  await page.getByTestId('sketch').waitFor();
  const canvas = page.locator('.map-ground canvas').first();
  // The drawing library is fetched when it is first asked for: the crosshair shows that it is there.
  await page.waitForFunction(() => {
    const map = document.querySelector<HTMLElement>('.map-ground canvas');
    return map !== null && map.style.cursor === 'crosshair';
  });
  const box = await canvas.boundingBox();
  if (!box) throw new Error('the map is not drawn');
  for (const corner of corners) {
    if (!corner) continue;
    const [x, y] = [box.x + box.width * corner[0], box.y + box.height * corner[1]];
    await page.mouse.move(x, y, { steps: 3 });
    await page.mouse.down();
    await page.mouse.up();
    // Two clicks in one place within the time of a double click would end the drawing.
    await page.waitForTimeout(120);
  }
}

/** The plan document of a name, as it lies on the host's disk. */
async function planOnDisk(name: string): Promise<unknown> {
  const plans = join(running.home, 'plans');
  const documents = await Promise.all(
    (await readdir(plans)).map(async (folder): Promise<{ readonly name?: unknown }> => {
      return JSON.parse(await readFile(join(plans, folder, 'plan.json'), 'utf8'));
    }),
  );
  return documents.find((document) => document.name === name);
}
