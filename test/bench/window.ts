/**
 * `npx tsx test/bench/window.ts`: how free the window stays while the largest workload (5,000 acres, 2,000 samples, cells of 5 m) runs, in a
 * real Chromium that draws its map in software: tasks of the main thread over 50 ms as the browser itself reports them (Long Tasks), and how
 * long a dragged slider waits for its coarse surface. Wants `npm run build` first. Prints; gates nothing: a busy machine stretches every task.
 */
import type { Page } from 'playwright-core';
import { drop, launch, openWindow, serve } from '../browser/harness.ts';
import { openStage } from '../browser/walk.ts';
import { largeField } from './large-field.ts';

const LIMIT_MS = 300_000;

/** Every stage made and nothing under way. */
const made = (page: Page): Promise<unknown> =>
  page.waitForFunction(
    () =>
      document.querySelectorAll('.card[data-standing="working"], .card[data-standing="stale"]').length === 0 &&
      document.querySelector('.card[data-stage="handoff"]')?.getAttribute('data-standing') !== 'wait',
    undefined,
    { timeout: LIMIT_MS, polling: 100 },
  );

const watchTasks = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const noted: { from: number; ms: number }[] = [];
    Object.assign(window, { noted });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) noted.push({ from: entry.startTime, ms: entry.duration });
    }).observe({ type: 'longtask' });
  });
const takeTasks = (page: Page): Promise<{ from: number; ms: number }[]> =>
  page.evaluate(() => {
    // Put there by watchTasks.
    const { noted } = window as unknown as { noted: { from: number; ms: number }[] };
    return noted.splice(0);
  });
const now = (page: Page): Promise<number> => page.evaluate(() => performance.now());

/** Moves the power's slider as a hand does, and waits for each coarse surface to be named on the map. */
const drag = (page: Page): Promise<number[]> =>
  page.getByRole('slider', { name: /say falls with distance/ }).evaluate(async (input) => {
    // The way React hears of a change made from outside it. No named functions: the compiler marks those with a helper that the page lacks.
    const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')?.set;
    const took: number[] = [];
    for (let at = 16; at < 40; at += 2) {
      const start = performance.now();
      set?.call(input, String(at));
      input.dispatchEvent(new Event('input', { bubbles: true }));
      const power = `power ${Number((0.5 + at / 10).toFixed(1))},`;
      while (!document.querySelector('.map-method')?.textContent?.includes(power) && performance.now() - start < 10_000)
        await new Promise((resolve) => requestAnimationFrame(resolve));
      took.push(performance.now() - start);
    }
    return took;
  });

const browser = await launch();
const running = await serve();
const { page } = await openWindow(browser, running);
page.setDefaultTimeout(LIMIT_MS);
await drop(page, largeField());
await page.getByLabel('Name', { exact: true }).fill('Large');
await page.getByLabel('Crop').selectOption('corn');
await page.getByLabel('Yield goal').fill('200');
await page.getByText('The larger of the two').click();
await page.getByRole('button', { name: 'Make the plan' }).click();
await made(page);
await openStage(page, 'surfaces');
await page.getByLabel('Cell').fill('5');
await watchTasks(page);
const start = await now(page);
await page.keyboard.press('Enter');
await page.locator('.card[data-stage="zones"][data-standing="stale"]').waitFor();
await made(page);
const end = await now(page);
await page.waitForTimeout(3000);
const tasks = await takeTasks(page);
const whole = (value: number): string => String(Math.round(value));
console.log(`every stage at 5 m: ${whole(end - start)} ms`);
console.log(
  `tasks over 50 ms: ${tasks.map(({ from, ms }) => `${whole(ms)} (at ${whole(from - start)})`).join(', ') || 'none'}`,
);
const waits = await drag(page);
const sorted = [...waits].sort((a, b) => a - b);
console.log(
  `coarse surface after: median ${whole(sorted[sorted.length >> 1] ?? Number.NaN)} ms, in turn ${waits.map(whole).join(' ')}`,
);
const dragged = await takeTasks(page);
console.log(`tasks over 50 ms while dragging: ${dragged.map(({ ms }) => whole(ms)).join(', ') || 'none'}`);
await running.close();
await browser.close();
