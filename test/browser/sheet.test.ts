import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sheetHtml } from '../../core/handoff/sheet/make.ts';
import { PAPERS } from '../../core/handoff/sheet/paper.ts';
import type { SheetInput } from '../../core/handoff/sheet/types.ts';
import { hardCases } from '../handoff/sheet/input.ts';
import { launch } from './harness.ts';

let browser: Browser;
let cases: Readonly<Record<string, SheetInput>> = {};
beforeAll(async () => {
  [browser, cases] = await Promise.all([launch(), hardCases()]);
}, 60_000);
afterAll(() => browser.close());

const NAMES = ['sample', 'A4', 'many zones', 'cells', 'long words', 'two products', 'nothing at all', 'field parts'];

/** The page as paper takes it, on a sheet as wide as its margins leave. */
async function shown(input: SheetInput): Promise<Page> {
  const { width_px, height_px } = PAPERS[input.settings.sheet.paper];
  const page = await browser.newPage({ viewport: { width: width_px, height: height_px } });
  await page.emulateMedia({ media: 'print' });
  await page.setContent(sheetHtml(input));
  return page;
}

const input = (name: string): SheetInput => {
  const found = cases[name];
  if (!found) throw new Error(`no case ${name}`);
  return found;
};

describe.each(NAMES)('the page for the cab: %s', (name) => {
  it('holds every word inside the paper, and each label of the map inside its box', async () => {
    const page = await shown(input(name));
    const over = await page.evaluate(() => {
      const found: string[] = [];
      for (const section of document.querySelectorAll('section')) {
        const edge = section.getBoundingClientRect();
        for (const one of section.querySelectorAll('*')) {
          const box = one.getBoundingClientRect();
          if (box.right > edge.right + 1 || box.left < edge.left - 1)
            found.push(`${one.tagName} ${one.textContent?.slice(0, 40)} ${box.left}..${box.right}`);
          if (one.clientWidth > 0 && one.scrollWidth > one.clientWidth + 1)
            found.push(`${one.tagName} is cut: ${one.textContent?.slice(0, 40)}`);
        }
        // Words of neighbouring cells do not run into each other.
        for (const row of section.querySelectorAll('tr')) {
          const boxes = [...row.children].map((cell) => {
            const range = document.createRange();
            range.selectNodeContents(cell);
            return range.getBoundingClientRect();
          });
          boxes.forEach((box, index) => {
            const next = boxes[index + 1];
            if (next && next.width > 0 && box.right > next.left + 0.5)
              found.push(`row runs together: ${row.textContent?.slice(0, 60)}`);
          });
        }
      }
      for (const map of document.querySelectorAll('svg.map')) {
        const edge = map.getBoundingClientRect();
        for (const label of map.querySelectorAll('g.rate')) {
          const rects = [...label.querySelectorAll('rect')];
          const texts = [...label.querySelectorAll('text')].slice(1);
          texts.forEach((text, index) => {
            const [inner, outer] = [text.getBoundingClientRect(), rects[index]?.getBoundingClientRect()];
            if (!outer || inner.left < outer.left || inner.right > outer.right) found.push(`label ${text.textContent}`);
          });
        }
        for (const text of map.querySelectorAll('text')) {
          const box = text.getBoundingClientRect();
          if (box.left < edge.left || box.right > edge.right || box.top < edge.top || box.bottom > edge.bottom)
            found.push(`off the map: ${text.textContent}`);
        }
      }
      return found;
    });
    expect(over).toEqual([]);
    await page.close();
  });

  it('shows map, cautions, ticks and signatures of a pass on its first sheet', async () => {
    const page = await shown(input(name));
    const { height_px } = PAPERS[input(name).settings.sheet.paper];
    const ends = await page.evaluate(() =>
      [...document.querySelectorAll('section.front')].map((front) => {
        const top = front.getBoundingClientRect().top;
        return [...front.querySelectorAll('.sign, .body, .tick')].map(
          (part) => part.getBoundingClientRect().bottom - top,
        );
      }),
    );
    expect(ends.length).toBe(input(name).handoff.prescriptions.length);
    for (const end of ends.flat()) expect(end).toBeLessThanOrEqual(height_px);
    await page.close();
  });
});

describe('printed', () => {
  it.each(['sample', 'A4', 'long words'])('%s: numbers its sheets, on its own paper', async (name) => {
    const page = await shown(input(name));
    const text = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    const sheets = text.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
    expect(sheets).toBeGreaterThanOrEqual(input(name).handoff.prescriptions.length + 2);
    expect(sheets).toBeLessThan(14);
    const [, width, height] = text.match(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/) ?? [];
    const asked = input(name).settings.sheet.paper === 'A4' ? [595, 842] : [612, 792];
    expect([Number(width), Number(height)].map(Math.round)).toEqual(asked);
    await page.close();
  });
});
