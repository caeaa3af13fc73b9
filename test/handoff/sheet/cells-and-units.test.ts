import { beforeAll, describe, expect, it } from 'vitest';
import { decodeText } from '../../../core/base/text.ts';
import { toAcres } from '../../../core/base/units.ts';
import { unzipFiles } from '../../../core/formats/zip.ts';
import { area_m2 } from '../../../core/geo/area.ts';
import { holesOf } from '../../../core/handoff/sheet/care.ts';
import { classesOf } from '../../../core/handoff/sheet/classes.ts';
import { placeWords } from '../../../core/handoff/sheet/front.ts';
import { inFilesOf } from '../../../core/handoff/sheet/in-files.ts';
import { sheetHtml } from '../../../core/handoff/sheet/make.ts';
import { inPageUnits } from '../../../core/handoff/sheet/measures.ts';
import type { SheetInput } from '../../../core/handoff/sheet/types.ts';
import { figure } from '../../../core/rates/text.ts';
import { bytesOf } from '../shared.ts';
import { sampleSheet } from './input.ts';

const words = (html: string): string =>
  html
    .replace(/<style>.*?<\/style>/s, '')
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&#39;', "'")
    .replaceAll('&quot;', '"')
    .replace(/\s+/g, ' ');
const fronts = (html: string): string[] =>
  [...html.matchAll(/<section class="front">.*?<\/section>/gs)].map(([one]) => one);

let zones: SheetInput;
let cells: SheetInput;
let metric: SheetInput;
beforeAll(async () => {
  zones = await sampleSheet();
  cells = await sampleSheet((plan) => ({
    ...plan,
    handoff: { ...plan.handoff, shape: 'cells', cells: { ...plan.handoff.cells, ramp_lbPerAc: 50 } },
  }));
  metric = await sampleSheet((plan) => ({ ...plan, handoff: { ...plan.handoff, rateUnit: 'kg/ha', hopper_tons: 6 } }));
}, 30_000);

describe('a page of cells', () => {
  it('numbers its classes: no letter that could be a zone’s stands in the table or in a square on the map', () => {
    for (const [index, page] of fronts(sheetHtml(cells)).entries()) {
      const inTable = [...page.matchAll(/<span class="z q">([^<]*)</g)].map(([, text]) => text);
      expect(inTable).toEqual(inTable.map((_, at) => String(at + 1)));
      const onMap = [...page.matchAll(/<g class="rate"><rect[^>]*>(?:<rect[^>]*>)?<text[^>]*>([^<]*)</g)];
      expect(new Set(onMap.map(([, text]) => text))).toEqual(new Set(inTable));
      expect(page).not.toContain('<span class="z">');
      const letters = [...page.matchAll(/class="zone-letter"[^>]*>([^<]*)</g)].map(([, text]) => text);
      expect(new Set(letters)).toEqual(new Set(cells.zones.zones.map(({ letter }) => letter)));
      expect(
        classesOf(cells.handoff.prescriptions[index] ?? { pass: '', pieces: [], totals: cells.handoff.totals }),
      ).toHaveLength(inTable.length);
    }
  });

  it('draws the edges between classes and none between cells of one', () => {
    const [first] = cells.handoff.prescriptions;
    if (!first) throw new Error('no pass');
    const classes = classesOf(first);
    const page = fronts(sheetHtml(cells))[0] ?? '';
    const edges = page.match(/<path d="([^"]*)"[^>]*class="class-edges"/)?.[1] ?? '';
    const rings = classes.flatMap(({ ground }) => ground.flat()).length;
    expect(edges.match(/M/g)).toHaveLength(rings);
    expect(rings).toBeLessThan(first.pieces.length / 10);
    for (const one of classes) expect(toAcres(area_m2(one.ground))).toBeCloseTo(one.acres, 3);
    expect(page).not.toContain('stroke="#999"');
  });

  it('names in its cautions what the files hold at the place', () => {
    const [first, second] = cells.handoff.prescriptions;
    const light = cells.zones.zones.find(({ letter }) => letter === 'C');
    if (!first || !second || !light) throw new Error('the sample has two passes and a zone C');
    const [here, there] = [inFilesOf(first, light), inFilesOf(second, light)];
    const own = first.pieces.filter(({ zoneKey }) => zoneKey === light.key).map(({ rate_lbPerAc }) => rate_lbPerAc);
    // The zone's own records are the ones under its spots.
    expect(here).toEqual({ least_lbPerAc: Math.min(...own), most_lbPerAc: Math.max(...own) });
    const [one = '', two = ''] = fronts(sheetHtml(cells)).map(words);
    expect(one).toContain(
      `Light ground, zone C In the files ${here?.least_lbPerAc} to ${here?.most_lbPerAc} lb/ac there in this pass; the other pass: ${there?.least_lbPerAc} to ${there?.most_lbPerAc} lb/ac in season.`,
    );
    // Cells reach over the border of A and D, so the gate is not off there.
    expect(two).toMatch(/Zones? [A-F, and]* asks? for nothing In the files 0 to \d+ lb\/ac there: cells reach over/);
    expect(two).not.toContain('continued');
  });

  it('tells the product of the files, and once by name what cells took from what the zones ask', () => {
    const html = words(sheetHtml(cells));
    const { totals } = cells.handoff;
    const less = cells.rates.totals.product_lb - totals.product_lb;
    const line = `Cells and the limit on change take ${figure(less)} lb`;
    expect(html).toContain(
      `${line}: the zones ask ${figure(cells.rates.totals.product_lb)} lb, the files hold ${figure(totals.product_lb)}`,
    );
    expect(html).toContain(`this plan, in the files ${line} ${figure(totals.product_tons, 2)} $${figure(totals.cost)}`);
    expect(html).toContain('this plan, by zones');
    expect(html).toContain('by zones, before cutting into cells');
    expect(words(sheetHtml(zones))).not.toContain('before cutting into cells');
  });
});

describe('units', () => {
  it('are kilograms, hectares and metric tons wherever the files are in kg/ha', () => {
    const html = words(sheetHtml(metric))
      .replaceAll('not lb/ac', '')
      .replaceAll('Corn, 200 bu/ac', '')
      .replace(/Files File.*?Both readings/, '')
      // Sentences of the plan stay as they are, and are headed so.
      .replace(/Zone by zone, as the plan says it: in pounds and acres.*?To keep in mind/, '');
    expect(
      html.match(/.{30}(\blb\b|\bacres?\b|\bac\b|\bpounds\b|short tons?\b|\bft\b|(?<!bu)\/ac\b).{10}/gi) ?? [],
    ).toEqual([]);
    // 40,758 lb x 0.45359237 / 1000
    expect(html).toContain(`${figure((metric.handoff.totals.product_lb * 0.45359237) / 1000, 2)} t on`);
  });

  it('leave the sentences of the plan whole: a figure may stand there without its unit', () => {
    expect(words(sheetHtml(metric))).toContain('Saturation alone asks for 385 lb/ac in zone F, ppm alone for 65.');
  });

  it('in pounds name the ton', () => {
    const html = words(sheetHtml(zones));
    expect(html.match(/\b(?<!short )(?<!Short )tons?\b/gi) ?? []).toEqual([]);
    expect(html).toContain('short tons');
  });

  it('of names that we gave are those of the page', () => {
    // 260 x 1.12085 = 291.4, 1 and 150 likewise.
    expect(inPageUnits('At 260 lb/ac, 1-150 lb K2O/ac.', { metric: true })).toBe('At 291 kg/ha, 1-168 kg K2O/ha.');
    expect(inPageUnits('At 260 lb/ac.', { metric: false })).toBe('At 260 lb/ac.');
  });
});

describe('ground without a record', () => {
  it('is told with its acres: the hole of the boundary too, and headlands are no such ground', () => {
    const html = words(sheetHtml(zones));
    const hole_ac = toAcres(area_m2(holesOf(zones.field.boundary)));
    expect(hole_ac).toBeGreaterThan(4);
    expect(html).toContain(`Hole in the boundary: ${figure(hole_ac, 2)} ac, in no file.`);
    expect(html).not.toContain('Headlands, lanes');
  });

  it('a rate above 0 there stands before all else on the first page, as set back on the others, and among what was decided', () => {
    const beyond = { ...zones, settings: { ...zones.settings, outside_lbPerAc: 80, noPosition_lbPerAc: 65 } };
    const [first = '', second = ''] = fronts(sheetHtml(beyond));
    expect(words(first)).toMatch(/Be careful \S* ?1? ?Outside every polygon: 80 lb\/ac/);
    expect(first).toContain('<li><b>Outside every polygon: 80 lb/ac');
    expect(first).toContain('<li><b>Position lost: 65 lb/ac');
    expect(second).toContain('<li><b>Outside every polygon: set back to 0</b>');
    expect(words(second)).not.toContain('80 lb/ac');
    expect(words(sheetHtml(beyond))).toContain('Position lost: 65 lb/ac, as chosen.');
    expect(words(fronts(sheetHtml(zones))[0] ?? '')).not.toContain('Outside every polygon');
  });
});

describe('the first page', () => {
  it('names the files of its pass, and the task by the name it has there', () => {
    const zip = unzipFiles(bytesOf(zones.handoff.files, 'Hollow_Quarter_taskdata.zip'), 'taskdata.zip');
    if (!zip.ok) throw new Error('the task data is no zip');
    const xml = decodeText(zip.value.find(({ name }) => name.endsWith('.XML'))?.bytes ?? new Uint8Array());
    const tasks = [...xml.matchAll(/<TSK A="[^"]*" B="([^"]*)"/g)].map(([, name]) => name);
    expect(tasks).toHaveLength(2);
    for (const [index, front] of fronts(sheetHtml(zones)).map(words).entries())
      expect(front).toContain(`Task data: Hollow_Quarter_taskdata.zip, task "${tasks[index]}".`);
    const without = { ...zones, handoff: { ...zones.handoff, taskData: null } };
    expect(words(sheetHtml(without))).not.toContain('Task data: ');
  });

  it('says where the field lies', () => {
    expect(
      placeWords([
        [
          [
            [-94.2, 42.7],
            [-94.1, 42.7],
            [-94.1, 42.8],
            [-94.2, 42.7],
          ],
        ],
      ]),
    ).toBe('Middle of the field 42.7500° N, 94.1500° W');
    expect(fronts(sheetHtml(zones))[0]).toContain(placeWords(zones.field.boundary));
  });
});
