import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { readRaster } from '../../core/formats/geotiff-read.ts';
import { cellCentre } from '../../core/geo/lattice.ts';
import { roundTo } from '../../core/handoff/figures.ts';
import { PROGRAM_VERSION } from '../../core/handoff/program.ts';
import packageJson from '../../package.json' with { type: 'json' };
import { bytesOf, maker, readBack, withHandoff } from './shared.ts';

const make = maker();

describe('the zone table', () => {
  it('has one row a zone whose figures are the plan’s, and whose pounds add up', async () => {
    const { handoff, out } = await make();
    const table = readBack(handoff.files, 'zones.csv');
    expect(table.columns).toEqual([
      'zone',
      'name',
      'acres',
      'role',
      'k_ppm',
      'k_saturation_pct',
      'cec_meq_per_100g',
      '0-0-60, before the season, lb_per_ac',
      '0-0-60, in season, lb_per_ac',
      'product_lb',
      'k2o_lb_per_ac',
      'cost_dollars',
      'ppm_alone_lb_per_ac',
      'saturation_alone_lb_per_ac',
      'this_plan_lb_per_ac',
      'governing',
      'note',
    ]);
    const at = (name: string): number => table.columns.indexOf(name);
    expect(table.records.map(({ cells }) => cells[0])).toEqual(out.zones?.zones.map(({ letter }) => letter));
    let [pounds, dollars] = [0, 0];
    for (const { cells } of table.records) {
      const zone = out.rates?.zones.find(({ letter }) => letter === cells[0]);
      expect([7, 8].map((i) => Number(cells[i]))).toEqual(zone?.passes.map(({ rate_lbPerAc }) => rate_lbPerAc));
      expect(Number(cells[at('ppm_alone_lb_per_ac')])).toBe(roundTo(zone?.answers.ppmAlone ?? Number.NaN, 2));
      pounds += Number(cells[at('product_lb')]);
      dollars += Number(cells[at('cost_dollars')]);
    }
    expect(pounds).toBeCloseTo(handoff.totals.product_lb, -1);
    expect(dollars).toBeCloseTo(handoff.totals.cost, 0);
  });

  it('takes no text for a formula, and leaves numbers numbers', async () => {
    const { out } = await make();
    const key = out.zones?.zones[0]?.key ?? '';
    const { handoff } = await make((plan) => ({
      ...plan,
      zones: { ...plan.zones, names: { [key]: '=HYPERLINK("x")' } },
      rates: {
        ...plan.rates,
        overrides: [{ zoneKey: key, rate_lbPerAc: 120, who: '@Ann', when: '2026-03-01', why: '+1' }],
      },
    }));
    const text = decodeText(bytesOf(handoff.files, 'zones.csv'));
    expect(text).toContain('"\'=HYPERLINK(""x"")"');
    // No cell begins with a sign that a spreadsheet runs, numbers below 0 aside.
    for (const cell of text.slice(1).split(/[,\r\n]/))
      expect(cell.replace(/^"/, '')).not.toMatch(/^[=+@\t]|^-(?![0-9.])/);
  });

  it('is in kilograms and hectares where the files are', async () => {
    const { handoff } = await make(withHandoff({ rateUnit: 'kg/ha' }));
    const table = readBack(handoff.files, 'zones.csv');
    expect(table.columns).toContain('hectares');
    expect(table.columns.join()).not.toMatch(/lb|acres/);
  });
});

describe('rasters of rates', () => {
  it.each(['zones', 'cells'] as const)(
    'hold the rate under each middle of a cell, and no data outside: %s',
    async (shape) => {
      const { handoff, out } = await make(withHandoff({ shape }));
      const grid = out.surfaces?.grid;
      const first = handoff.prescriptions[0];
      if (!grid || !first) throw new Error('no grid');
      const read = await readRaster(
        { name: 'rate.tif', bytes: bytesOf(handoff.files, 'surfaces/rate_p1.tif') },
        { band: 1, crs: null },
      );
      if (!read.ok) throw new Error('no raster');
      const { values } = read.value;
      const { cols, rows } = grid.lattice;
      expect(values).toHaveLength(cols * rows);
      const known = new Set(first.pieces.map(({ rate_lbPerAc }) => rate_lbPerAc));
      let inside = 0;
      values.forEach((value) => {
        if (Number.isNaN(value)) return;
        inside++;
        expect(known.has(value)).toBe(true);
      });
      const covered = grid.cover_m2.filter((m2) => m2 > 0).length;
      expect(inside).toBeLessThanOrEqual(covered);
      expect(inside).toBeGreaterThan(0.9 * covered);
      expect(cellCentre(grid.lattice, 0)).toHaveLength(2);
    },
  );
});

it('files name the version of the program', () => expect(PROGRAM_VERSION).toBe(packageJson.version));
