import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { writeGeoTiff } from '../../core/formats/geotiff-write.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';
import { type Dropped, drop, launch, openWindow, type Running, serve, settled } from './harness.ts';
import { makePlan, openSample, openStage } from './walk.ts';

let browser: Browser;
let running: Running;
let elevation: Dropped;
beforeAll(async () => {
  browser = await launch();
  running = await serve();
  // Higher to the north-east, on the field's own lattice: what a person would bring from a survey.
  const { plan, inputs } = samplePlan();
  const { surfaces } = await runPlan({ plan, inputs });
  if (!surfaces) throw new Error('the sample field has surfaces');
  const { lattice } = surfaces.grid;
  const values = Float64Array.from(
    { length: lattice.cols * lattice.rows },
    (_, cell) => 340 + 0.05 * (cell % lattice.cols) + 0.02 * Math.floor(cell / lattice.cols),
  );
  elevation = { name: 'field_elevation.tif', bytes: writeGeoTiff(values, lattice) };
});
afterAll(async () => {
  await running.close();
  await browser.close();
});

const told = async (page: Page, testId: string): Promise<string> =>
  (await page.getByTestId(testId).textContent())?.replace(/\s+/g, ' ').trim() ?? '';

it('takes the specialist from the errors to a better setting, a raster of their own, and what it goes with', async () => {
  const { page, faults } = await openWindow(browser, running, { viewport: { width: 1440, height: 900 } });
  await makePlan(page);
  await openStage(page, 'surfaces');

  // The plot: its lowest point is chosen with the pointer, and becomes the plan's setting in one step.
  const plot = page.getByTestId('error-plot');
  expect(await plot.locator('.plot-line').count()).toBeGreaterThanOrEqual(3);
  const before = await page.getByLabel('Power', { exact: true }).inputValue();
  const best = await plot.locator('.plot-best').boundingBox();
  if (!best) throw new Error('the lowest setting is not marked');
  await page.mouse.click(best.x + best.width / 2, best.y + best.height / 2);
  const undo = page.getByRole('button', { name: /^Undo: power [\d.]+, / });
  await undo.waitFor();
  await settled(page);
  const [inUse, lowest] = await Promise.all([
    plot.locator('.plot-in-use text').textContent(),
    plot.getByText(/^lowest/).textContent(),
  ]);
  expect(inUse?.replace('in use ', '')).toBe(lowest?.replace('lowest ', ''));
  await undo.click();
  await settled(page);
  expect(await page.getByLabel('Power', { exact: true }).inputValue()).toBe(before);

  // The same by keys and figures: the chart's table takes a setting too.
  await page.getByRole('button', { name: 'Chart as table' }).click();
  await page.getByRole('button', { name: /, the lowest$/ }).press('Enter');
  await undo.waitFor();
  await settled(page);
  expect(await page.getByRole('button', { name: /, the lowest$/ }).getAttribute('aria-pressed')).toBe('true');

  // A quantity of its own way: the others stay.
  await page.getByLabel('Quantity', { exact: true }).selectOption('cec_meq');
  await page.getByLabel('CEC is made').selectOption('own');
  await page.getByLabel('Power', { exact: true }).fill('1.5');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Undo: CEC: power 1.5' }).waitFor();
  await settled(page);
  await page.getByLabel('Quantity', { exact: true }).selectOption('k_ppm');
  expect(await page.getByLabel('Power', { exact: true }).inputValue()).not.toBe('1.5');

  // Residuals: a sample chosen is lit on the map, and leads to its row.
  await page.getByRole('tab', { name: 'Samples' }).click();
  await page.getByRole('listbox', { name: /^Samples, by what was measured/ }).focus();
  await page.keyboard.press('End');
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: /^Row \d+ in Soil$/ }).click();
  await page.locator('[data-panel-title="soil"]').waitFor();
  expect(await page.locator('.lab tr.chosen').count()).toBe(1);

  // A raster dropped on the window is a layer: on the map at once, named as its file.
  await drop(page, [elevation]);
  await page.locator('[data-testid="field-map"][data-layer="own.field-elevation"]').waitFor();
  await settled(page);
  await page.getByLabel('Name', { exact: true }).fill('Elevation');
  await page.keyboard.press('Enter');
  await page.getByLabel('Unit', { exact: true }).fill('m');
  await page.keyboard.press('Enter');
  await settled(page);
  expect(await page.getByTestId('map-layer').textContent()).toContain('Elevation, m');
  await page.getByTestId('map-layer').click();
  expect(await page.getByTestId('map-layer-caMgShare_pct').count()).toBe(1);
  expect(await page.getByTestId('map-layer-kMg_ratio').count()).toBe(1);
  await page.keyboard.press('Escape');

  // One that is no raster is told with its remedy, and nothing of it stays.
  await drop(page, [{ name: 'broken.tif', bytes: new TextEncoder().encode('not a picture') }]);
  await page.getByText('broken.tif was not added').waitFor();
  await page.getByRole('button', { name: 'Leave it out' }).click();

  // What it goes with: against itself it is 1; against K it is a figure, and the plot has its table.
  await page.getByRole('tab', { name: 'Statistics' }).click();
  await page.getByLabel('Layer across').selectOption({ label: 'Elevation' });
  await page.getByLabel('Layer up').selectOption({ label: 'Elevation' });
  await page
    .locator('dd', { hasText: /^1\.00$/ })
    .first()
    .waitFor();
  await page.getByLabel('Layer up').selectOption({ label: 'Potassium' });
  await page
    .locator('dd', { hasText: /^−?0\.\d\d$/ })
    .first()
    .waitFor();
  expect(await told(page, 'correlation')).toMatch(/Pearson ?−?0\.\d\d ?Spearman ?−?0\.\d\d/);

  // Removed and brought back by undo.
  await page.getByRole('tab', { name: 'Own layers' }).click();
  await page.getByRole('button', { name: 'Remove Elevation' }).click();
  await settled(page);
  expect(await page.locator('.own-layer').count()).toBe(0);
  await page.getByRole('button', { name: 'Undo: remove layer Elevation' }).click();
  await settled(page);
  expect(await page.locator('.own-layer').count()).toBe(1);
  expect(faults).toEqual([]);
  await page.context().close();
});

it('shows a coarse surface while a slider is dragged, and one undo step when it is let go', async () => {
  const { page, faults } = await openWindow(browser, running, { viewport: { width: 1440, height: 900 } });
  await openSample(page);
  await openStage(page, 'surfaces');
  const slider = page.getByRole('slider', { name: /say falls with distance/ });
  const box = await slider.boundingBox();
  if (!box) throw new Error('the slider is not drawn');
  const middle = box.y + box.height / 2;
  await page.mouse.move(box.x + box.width * 0.27, middle);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.5, middle, { steps: 4 });
  await page.locator('[data-testid="field-map"][data-preview="true"]').waitFor();
  expect(await page.getByRole('button', { name: /^Undo: / }).count()).toBe(0);
  expect(await page.locator('.map-method').first().textContent()).toMatch(/^Coarse, while you try power/);
  await page.mouse.move(box.x + box.width * 0.6, middle, { steps: 2 });
  await page.mouse.up();
  await page.getByRole('button', { name: /^Undo: power [\d.]+$/ }).waitFor();
  await settled(page);
  await page.locator('[data-testid="field-map"][data-preview="false"]').waitFor();
  await page.getByRole('button', { name: /^Undo: / }).click();
  await settled(page);
  expect(await page.getByLabel('Power', { exact: true }).inputValue()).toBe('2');
  expect(await page.getByRole('button', { name: /^Undo: / }).count()).toBe(0);
  expect(faults).toEqual([]);
  await page.context().close();
});
