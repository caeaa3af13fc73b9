import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { type Dropped, launch, openWindow, type Running, serve, settled } from './harness.ts';
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

type Place = readonly [number, number];

/** Where a share of the map's width and height stands in the window. */
async function onMap(page: Page): Promise<(place: Place) => Place> {
  const box = await page.getByTestId('map-stage').boundingBox();
  if (!box) throw new Error('no map');
  return ([x, y]) => [box.x + x * box.width, box.y + y * box.height];
}

/** The drawing library is fetched when it is first asked for: the hand waits until the map says it is at work. */
const drawing = (page: Page): Promise<void> => page.locator('[data-testid="sketch"][data-ready="true"]').waitFor();

async function clickPlaces(page: Page, places: readonly Place[]): Promise<void> {
  const at = await onMap(page);
  for (const place of places) {
    await page.mouse.move(...at(place));
    await page.mouse.click(...at(place));
  }
}

const letters = async (page: Page): Promise<string[]> =>
  [...new Set(await page.locator('.map-zone .map-letter').allTextContents())].sort();
const undoLabel = async (page: Page): Promise<string> =>
  (await page.getByRole('button', { name: /^Undo: / }).getAttribute('aria-label')) ?? '';

/** Acres of the zones in the table, and of its last line. */
async function tableAcres(page: Page): Promise<{ zones: number[]; field: number }> {
  const cells = await page
    .locator('[data-testid="zone-table"] tbody tr:not(.zone-words) td:last-child')
    .allTextContents();
  const figures = cells.map((text) => read(text));
  return { zones: figures.slice(0, -1), field: figures[figures.length - 1] ?? Number.NaN };
}

/** Figures have one decimal, so each may be off by half of it. */
function expectSum({ zones, field }: { zones: number[]; field: number }): void {
  const sum = zones.reduce((all, acres) => all + acres, 0);
  expect(Math.abs(sum - field)).toBeLessThanOrEqual(0.05 * (zones.length + 1));
}

it('goes from a surface to five clean zones in under a minute, redraws an edge and splits off the sandy rise', async () => {
  // What it saves is the sample field of its host from then on, so it has one of its own.
  const own = await serve();
  const { page, faults } = await openWindow(browser, own, { viewport: { width: 1440, height: 900 } });
  await openSample(page);

  const start = performance.now();
  await openStage(page, 'zones');
  await page.getByRole('tab', { name: 'Method' }).click();
  await page.getByLabel('Layer', { exact: true }).selectOption({ label: 'Potassium, ppm' });
  await page.getByLabel('Class limits').selectOption({ label: 'where the values part by themselves' });
  await page.getByLabel('Classes', { exact: true }).fill('5');
  await page.keyboard.press('Enter');
  await page.getByLabel('and by').selectOption('none');
  await page.getByLabel('Kept apart by').selectOption('none');
  await page.getByLabel('Least part').fill('2');
  await page.keyboard.press('Enter');
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^5/);
  expect(performance.now() - start).toBeLessThan(60_000);
  expect(await letters(page)).toEqual(['A', 'B', 'C', 'D', 'E']);
  expect(await page.getByTestId('zones-made').textContent()).toMatch(/^5 zones tell apart \d\d % of Potassium$/);

  // One edge redrawn: the brush carries the chosen zone over its border, in one step to undo.
  await page.getByRole('tab', { name: 'Zones', exact: true }).click();
  expectSum(await tableAcres(page));
  const before = await tableAcres(page);
  await page.getByRole('tab', { name: 'By hand' }).click();
  const at = await onMap(page);
  await page.mouse.click(...at([0.4, 0.75]));
  const chip = page.locator('.zone-chip[aria-pressed="true"]');
  const letter = ((await chip.textContent()) ?? '').slice(0, 1);
  const had = read(((await chip.textContent()) ?? '').slice(1));
  await page.getByRole('button', { name: `Paint for zone ${letter}` }).click();
  await drawing(page);
  await page.mouse.move(...at([0.3, 0.6]));
  await page.mouse.down();
  for (const place of [
    [0.35, 0.5],
    [0.4, 0.42],
  ] as const)
    await page.mouse.move(...at(place), { steps: 3 });
  await page.mouse.up();
  await page.getByRole('button', { name: `Undo: paint for zone ${letter}` }).waitFor();
  await settled(page);
  const painted = read(((await chip.textContent()) ?? '').slice(1));
  expect(painted).toBeGreaterThan(had + 0.5);
  await page.keyboard.press('Escape');
  expect(await page.getByTestId('sketch').count()).toBe(0);

  // The sandy rise: drawn about the light ground, corners snapping; it is the chosen zone then, and takes its name.
  await page.getByRole('button', { name: 'Draw a zone' }).click();
  await drawing(page);
  await clickPlaces(page, [
    [0.44, 0.14],
    [0.57, 0.14],
    [0.57, 0.32],
    [0.44, 0.32],
  ]);
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Undo: draw a zone' }).waitFor();
  await settled(page);
  await page.getByLabel(/^Name of zone F$/).fill('Sandy rise');
  await page.keyboard.press('Enter');
  await settled(page);
  expect(await letters(page)).toEqual(['A', 'B', 'C', 'D', 'E', 'F']);

  // Cut along a line, and undone: nothing of it stays.
  await page.getByRole('button', { name: /^Zone F/ }).click();
  await page.getByRole('button', { name: 'Cut a zone' }).click();
  await drawing(page);
  await clickPlaces(page, [
    [0.42, 0.22],
    [0.6, 0.22],
  ]);
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: /^Undo: cut zone F/ }).waitFor();
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^7/);
  await page.getByRole('button', { name: /^Undo: cut/ }).click();
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^6/);

  // Several joined to one, in one step; undone and made again.
  await page.getByRole('checkbox', { name: 'A', exact: true }).check();
  await page.getByRole('checkbox', { name: 'B', exact: true }).check();
  await page.getByLabel('Zone they go to').selectOption({ label: 'C' });
  await page.getByRole('button', { name: 'Join A, B to C' }).click();
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^4/);
  expect(await undoLabel(page)).toContain('join A, B to C');
  await page.keyboard.press('Control+Z');
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^6/);

  // The table: acres add up as before, sorts, and chooses on the map and the other way round.
  await page.getByRole('tab', { name: 'Zones', exact: true }).click();
  const after = await tableAcres(page);
  expectSum(after);
  expect(after.field).toBe(before.field);
  await page.getByText('valid, no gap, no overlap').waitFor();
  await page.getByRole('button', { name: 'ac', exact: true }).click();
  const sorted = (await tableAcres(page)).zones;
  expect(sorted).toEqual([...sorted].sort((a, b) => b - a));
  await page.getByRole('button', { name: 'Zone F, Sandy rise' }).click();
  expect(await page.getByRole('button', { name: 'Zone F, Sandy rise' }).getAttribute('aria-pressed')).toBe('true');
  await page.mouse.click(...at([0.4, 0.75]));
  expect(await page.getByRole('button', { name: 'Zone F, Sandy rise' }).getAttribute('aria-pressed')).toBe('false');

  // Kept out: in no file, and not among the tons.
  const tons = read(await keyFigure(page, 'rates'));
  await page.getByRole('button', { name: 'Zone F, Sandy rise' }).click();
  await page.getByLabel('Zone F is').selectOption({ label: 'kept out: in no file' });
  await settled(page);
  expect(read(await keyFigure(page, 'rates'))).toBeLessThan(tons);

  // Two zonings beside each other.
  await page.getByRole('button', { name: 'Keep these to compare' }).click();
  await page.getByRole('tab', { name: 'Method' }).click();
  await page.getByLabel('Zones are').selectOption({ label: 'clusters of several layers' });
  await settled(page);
  await page.getByRole('tab', { name: 'Zones', exact: true }).click();
  expect(await page.getByTestId('zone-worth').locator('thead').textContent()).toContain('kept, %');
  await page.keyboard.press('Control+Z');
  await settled(page);

  // Saved and opened again: the plan holds every change.
  await page.getByRole('tab', { name: 'By hand' }).click();
  const changes = await page.getByTestId('zone-edits').locator('li').allTextContents();
  expect(changes).toHaveLength(2);
  await page.keyboard.press('Control+S');
  await page.locator('.crop-line', { hasText: 'saved' }).waitFor();
  await page.reload({ waitUntil: 'commit', timeout: 60_000 });
  await page.locator('.plan-rows button').first().click();
  await settled(page);
  await openStage(page, 'zones');
  await page.getByRole('tab', { name: 'By hand' }).click();
  expect(await page.getByTestId('zone-edits').locator('li').allTextContents()).toEqual(changes);
  await page.getByRole('tab', { name: 'Zones', exact: true }).click();
  expect(await tableAcres(page)).toEqual(after);
  await page.getByText('Sandy rise').waitFor();
  expect(faults).toEqual([]);
  await page.context().close();
  await own.close();
  // A long walk: where the machine has other work, drawing its maps in software takes most of this.
}, 180_000);

it('draws without a pointer, and maps the balance classes', async () => {
  const { page, faults } = await openWindow(browser, running);
  const keys = page.keyboard;
  await openSample(page);
  await openStage(page, 'zones');

  await page.getByRole('button', { name: 'Classes on the map' }).click();
  const legend = page.getByTestId('map-legend');
  expect(await legend.locator('li').count()).toBe(6);
  const acres = (await legend.locator('li .figure').allTextContents()).map((text) => read(text));
  expectSum({ zones: acres, field: 154.2 });

  // From the finder: arrows move the map, Space sets a corner in its middle, Enter finishes.
  await keys.press('Control+K');
  await keys.type('draw a zone');
  await keys.press('Enter');
  await drawing(page);
  await keys.press('Space');
  for (let i = 0; i < 2; i++) await keys.press('ArrowRight');
  await keys.press('Space');
  for (let i = 0; i < 2; i++) await keys.press('ArrowUp');
  await keys.press('Space');
  for (let i = 0; i < 2; i++) await keys.press('ArrowLeft');
  await keys.press('Space');
  await keys.press('Enter');
  await page.getByRole('button', { name: 'Undo: draw a zone' }).waitFor();
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^7/);

  // The brush by its places; Escape puts it down and leaves the plan alone.
  await keys.press('Control+K');
  await keys.type('paint a zone');
  await keys.press('Enter');
  await drawing(page);
  await keys.press('Space');
  await keys.press('ArrowDown');
  await keys.press('Space');
  await keys.press('Enter');
  await page.getByRole('button', { name: 'Undo: paint for zone G' }).waitFor();
  await settled(page);
  await keys.press('Space');
  await keys.press('Escape');
  expect(await page.getByTestId('sketch').count()).toBe(0);
  expect(await undoLabel(page)).toContain('paint for zone G');
  expect(faults).toEqual([]);
  await page.context().close();
});

it('takes zones from a file, and says of bare ground where it goes', async () => {
  const { page, faults } = await openWindow(browser, running, { viewport: { width: 1440, height: 900 } });
  await openSample(page);
  await openStage(page, 'zones');
  await page.getByRole('tab', { name: 'Method' }).click();
  await page.getByLabel('Zones are').selectOption({ label: 'polygons of a file' });
  await page.getByRole('heading', { name: 'No file with zone polygons is chosen.' }).waitFor();
  await chooseFile(page, 'Choose', soilUnits());
  await page.getByLabel('Column that names a zone').selectOption('unit');
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^3/);
  await page
    .getByText(/ac lie under no polygon; they have no zone yet/)
    .first()
    .waitFor();
  await page.getByLabel('Ground without a polygon').selectOption({ label: 'goes to A, sand' });
  await settled(page);
  expect(await keyFigure(page, 'zones')).toMatch(/^2/);
  await page.getByRole('tab', { name: 'Zones', exact: true }).click();
  expectSum(await tableAcres(page));
  expect(faults).toEqual([]);
  await page.context().close();
});

const keysEnter = async (page: Page): Promise<void> => {
  await page.keyboard.press('Enter');
  await settled(page);
};

async function chooseFile(page: Page, button: string, file: Dropped): Promise<void> {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: button, exact: true }).click(),
  ]);
  await chooser.setFiles({ name: file.name, mimeType: 'application/geo+json', buffer: Buffer.from(file.bytes) });
  await settled(page);
}

/** Two units of a soil survey over the west and the middle of the sample field; its east is in none. */
function soilUnits(): Dropped {
  const box = (unit: string, west: number, east: number): object => ({
    type: 'Feature',
    properties: { unit },
    geometry: {
      type: 'Polygon',
      coordinates: [
        [
          [west, 42.69],
          [east, 42.69],
          [east, 42.72],
          [west, 42.72],
          [west, 42.69],
        ],
      ],
    },
  });
  const features = [box('sand', -94.24, -94.224), box('loam', -94.224, -94.22)];
  return {
    name: 'soil_units.geojson',
    bytes: new TextEncoder().encode(JSON.stringify({ type: 'FeatureCollection', features })),
  };
}

it('keeps a distance from a well that is marked on the map: asked at once, taken from the field', async () => {
  const { page, faults } = await openWindow(browser, running, { viewport: { width: 1440, height: 900 } });
  await openSample(page);
  await openStage(page, 'field');
  await page.getByRole('tab', { name: 'Setbacks' }).click();
  const before = read(await keyFigure(page, 'field'));
  await page.getByRole('button', { name: 'Mark a place' }).click();
  await drawing(page);
  await clickPlaces(page, [[0.4, 0.75]]);
  const distance = page.getByLabel('Distance kept');
  await distance.waitFor();
  // It is where the hand is: the distance is asked at once.
  expect(await distance.evaluate((field) => field === document.activeElement)).toBe(true);
  await page.keyboard.type('150');
  await keysEnter(page);
  // A circle of 150 ft radius: pi x 150^2 / 43,560 = 1.62 acres.
  expect(before - read(await keyFigure(page, 'field'))).toBeCloseTo(1.62, 1);
  await page.getByText(/local code and the product.s label decide it/).waitFor();
  await page.getByRole('button', { name: /^Undo: / }).click();
  await settled(page);

  await page.getByRole('button', { name: 'Draw a line' }).click();
  await drawing(page);
  await clickPlaces(page, [
    [0.25, 0.9],
    [0.7, 0.85],
  ]);
  await page.keyboard.press('Enter');
  await page.getByTestId('setback').nth(1).waitFor();
  expect(await page.getByTestId('setback').count()).toBe(2);
  expect(faults).toEqual([]);
  await page.context().close();
});
