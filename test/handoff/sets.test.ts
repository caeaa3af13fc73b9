import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { readManifest } from '../../core/handoff/manifest.ts';
import { fileNames } from '../../core/handoff/names.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import { handoffSettingsSchema } from '../../core/handoff/settings.ts';
import type { HandoffOut } from '../../core/handoff/types.ts';
import { PRODUCTS } from '../../core/rates/products.ts';
import { bareField, bytesOf, maker, readBack, withHandoff } from './shared.ts';

const make = maker();
const paths = ({ files }: HandoffOut): string[] => files.map(({ path }) => path);
const manifestOf = ({ files }: HandoffOut) => {
  const read = readManifest(bytesOf(files, 'manifest.json'), 'manifest.json');
  if (!read.ok) throw new Error('no manifest');
  return read.value;
};
const second = {
  product: { ...PRODUCTS.find((one) => one.name === '0-0-50'), price_perTon: 800 },
  gives: { by: 'sulfur', s_lbPerAc: 15 },
  where: null,
};

describe('sets of files', () => {
  it('by default are one a pass, with the names and columns of old', async () => {
    const { handoff } = await make();
    expect(paths(handoff).filter((path) => /^[^/]+\.(zip|geojson|csv|txt|json)$/.test(path))).toEqual([
      'Hollow_Quarter_p1.geojson',
      'Hollow_Quarter_p1.zip',
      'Hollow_Quarter_p2.geojson',
      'Hollow_Quarter_p2.zip',
      'Hollow_Quarter_taskdata.zip',
      'columns.txt',
      'zones.csv',
      'ledger.csv',
      'manifest.json',
    ]);
    expect(readBack(handoff.files, 'Hollow_Quarter_p1.zip').columns).toEqual(
      'RATE UNIT PRODUCT PASS ZONE ACRES K2O_LBAC K_PPM K_SAT_PCT CEC_MEQ NOTE'.split(' '),
    );
  });

  it('hold a rate column a pass where passes are columns, each with its product and pass, and are proved', async () => {
    const { handoff, out } = await make(withHandoff({ passes: 'columns' }));
    const table = readBack(handoff.files, 'Hollow_Quarter.zip');
    expect(table.columns.slice(0, 9)).toEqual('RATE UNIT PRODUCT PASS RATE_2 PRODUCT_2 PASS_2 ZONE ACRES'.split(' '));
    const at = (name: string): number => table.columns.indexOf(name);
    for (const { cells } of table.records) {
      const zone = out.rates?.zones.find(({ letter }) => letter === cells[at('ZONE')]);
      expect([cells[at('RATE')], cells[at('RATE_2')]]).toEqual(zone?.passes.map(({ rate_lbPerAc }) => rate_lbPerAc));
      expect([cells[at('PASS')], cells[at('PASS_2')]]).toEqual(zone?.passes.map(({ name }) => name));
    }
    const text = decodeText(bytesOf(handoff.files, 'columns.txt'));
    expect(text).toContain('column RATE_2: 0-0-60');
    expect(text).toMatch(/RATE_2\s+rate_2\s+0-0-60 to spread in the pass in season, in the unit of UNIT/);
    expect(proveFiles(handoff.files).problems).toEqual([]);
    const told = manifestOf(handoff).sets;
    expect(
      told.map(({ base, channels }) => [base, ...channels.map(({ pass, column }) => `${column} ${pass}`)]),
    ).toEqual([
      ['Hollow_Quarter', 'RATE before planting', 'RATE_2 in season'].map((word, i) =>
        i === 1 ? `RATE ${handoff.prescriptions[0]?.pass}` : word,
      ),
    ]);
  });

  it('are one a product where products are files, each with the first rate column alone', async () => {
    const two = (plan: { rates: object; handoff: object }): unknown => ({
      ...plan,
      rates: { ...plan.rates, second },
      handoff: { ...plan.handoff, products: 'files' },
    });
    const { handoff } = await make(two);
    const sets = manifestOf(handoff).sets;
    expect(sets.map(({ base }) => base)).toEqual([
      'Hollow_Quarter_p1_m1',
      'Hollow_Quarter_p1_m2',
      'Hollow_Quarter_p2_m1',
      'Hollow_Quarter_p2_m2',
    ]);
    const table = readBack(handoff.files, 'Hollow_Quarter_p1_m2.zip');
    expect(table.columns).not.toContain('RATE_2');
    expect(new Set(table.records.map(({ cells }) => cells[table.columns.indexOf('PRODUCT')]))).toEqual(
      new Set(['0-0-50']),
    );
    expect(sets[1]?.channels[0]?.planned_lb).toBeCloseTo(
      handoff.prescriptions[0]?.totals.byProduct[1]?.product_lb ?? Number.NaN,
      2,
    );
    expect(proveFiles(handoff.files).problems).toEqual([]);
    expect(decodeText(bytesOf(handoff.files, 'columns.txt'))).toContain('files Hollow_Quarter_p1_m2: 0-0-50');
  });

  it('have two products in two passes as four columns of one set', async () => {
    const { handoff } = await make((plan) => ({
      ...plan,
      rates: { ...plan.rates, second },
      handoff: { ...plan.handoff, passes: 'columns' },
    }));
    const names = readBack(handoff.files, 'Hollow_Quarter.geojson').columns;
    expect(names.slice(0, 11)).toEqual(
      'rate unit product rate_2 product_2 pass rate_3 product_3 rate_4 product_4 pass_3'.split(' '),
    );
    expect(proveFiles(handoff.files).problems).toEqual([]);
  });

  it('are of cells along the way as well, of the same records in all passes where these are columns', async () => {
    for (const patch of [{ shape: 'cells' }, { shape: 'cells', passes: 'columns', cells: { joinEqual: true } }]) {
      const { handoff } = await make(withHandoff(patch));
      const proof = proveFiles(handoff.files);
      expect(proof.problems).toEqual([]);
      expect(proof.proved).toBe(true);
      expect(handoff.cells?.cells).toBeGreaterThan(100);
      expect(handoff.checks.filter(({ holds }) => !holds)).toEqual([]);
    }
  });

  it('keep cells to the number of rates that the controller takes, after the limit on change', async () => {
    const limited = (plan: { rates: { machine: object }; handoff: object }): unknown => ({
      ...plan,
      rates: { ...plan.rates, machine: { ...plan.rates.machine, distinctRates: 4 } },
      handoff: { ...plan.handoff, shape: 'cells', cells: { ramp_lbPerAc: 30 }, limits: { mostRates: 4 } },
    });
    const { handoff, out } = await make(limited);
    for (const { pieces } of handoff.prescriptions)
      expect(new Set(pieces.map((piece) => piece.rate_lbPerAc).filter((rate) => rate > 0)).size).toBeLessThanOrEqual(4);
    expect(out.stages.handoff.problems.map(({ code }) => code)).toContain('handoff-few-rates');
    expect(proveFiles(handoff.files).problems).toEqual([]);
    const change_lb = handoff.totals.product_lb - (out.rates?.totals.product_lb ?? Number.NaN);
    expect(handoff.cells?.change_lb).toBeCloseTo(change_lb, 0);
  });

  it('are written as far as the settings ask, and refused where nothing is left for a controller', async () => {
    const off = {
      geojson: false,
      shapefile: false,
      loose: false,
      taskData: false,
      tables: false,
      rasters: false,
      sheet: false,
    };
    const only = async (files: object) => paths((await make(withHandoff({ files: { ...off, ...files } }))).handoff);
    expect(await only({ geojson: true })).toEqual([
      'Hollow_Quarter_p1.geojson',
      'Hollow_Quarter_p2.geojson',
      'columns.txt',
      'manifest.json',
    ]);
    expect(await only({ taskData: true })).toEqual(['Hollow_Quarter_taskdata.zip', 'columns.txt', 'manifest.json']);
    expect((await only({ loose: true })).filter((path) => path.startsWith('shapefile/'))).toHaveLength(10);
    await expect(make(withHandoff({ files: off }))).rejects.toThrow('handoff-no-files');
    for (const files of [{ geojson: true }, { taskData: true }, { loose: true }, { shapefile: true }]) {
      const { handoff } = await make(withHandoff({ files: { ...off, ...files } }));
      const proof = proveFiles(handoff.files);
      expect(proof.problems).toEqual([]);
      expect(proof.product_tons).toBeCloseTo(handoff.totals.product_tons, files.taskData ? 0 : 3);
    }
  });

  it('leave out zones held back where that is chosen, and say so', async () => {
    const { out } = await make();
    const zone = out.zones?.zones.find(({ letter }) => letter === 'D');
    const { handoff } = await make((plan) => ({
      ...plan,
      zones: { ...plan.zones, roles: { [zone?.key ?? '']: 'hold back' } },
      handoff: { ...plan.handoff, holdBack: 'left out' },
    }));
    expect(handoff.keptOut_ac).toBeCloseTo(zone?.acres ?? Number.NaN, 9);
    expect(handoff.prescriptions[0]?.pieces.some(({ letter }) => letter === 'D')).toBe(false);
    const text = decodeText(bytesOf(handoff.files, 'columns.txt'));
    expect(text).toContain("Left out, held back by the zone's role");
    expect(text).toContain(`  zone D: ${zone?.acres.toFixed(2)} ac`);
    expect(decodeText(bytesOf(handoff.files, 'zones.csv'))).toContain('left out of the files');
    expect(handoff.checks.every(({ holds }) => holds)).toBe(true);
    expect(proveFiles(handoff.files).problems).toEqual([]);
  });
});

describe('the text beside the files', () => {
  it('says how cells lie and what a load is, in the unit of the files', async () => {
    const { handoff } = await make(withHandoff({ shape: 'cells', hopper_tons: 6, cells: { heading_deg: 12.5 } }));
    const text = decodeText(bytesOf(handoff.files, 'columns.txt'));
    expect(text).toContain('a cell along the way of driving, 12.5 degrees from north: 60 ft across, 60 ft along.');
    const [load] = handoff.loads;
    expect(text).toContain(
      `  ${load?.pass}, 0-0-60: ${load?.full} of 6.00 tons and one of ${load?.last_tons.toFixed(2)} tons, a full one for ${load?.acresPerLoad.toFixed(2)} ac`,
    );
  });
});

describe('rates beyond the polygons', () => {
  it('stand in the text', async () => {
    const { handoff } = await maker(bareField)((plan) => ({
      ...plan,
      rates: { ...plan.rates, machine: { ...plan.rates.machine, least_lbPerAc: 40 } },
      handoff: { ...plan.handoff, outside_lbPerAc: 50, noPosition_lbPerAc: 40 },
    }));
    const text = decodeText(bytesOf(handoff.files, 'columns.txt'));
    expect(text).toContain('Outside every polygon 50 lb/ac of 0-0-60');
    expect(text).toContain('lost its position: 40 lb/ac');
    expect(proveFiles(handoff.files).problems).toEqual([]);
  });
});

describe('names of files', () => {
  const settings = (shortNames: boolean) => handoffSettingsSchema.parse({ shortNames });
  it('are short and unlike one another on request', () => {
    const names = fileNames('Hollow_Quarter', settings(true), { passes: 2, products: 2 });
    const all = [
      names.set(null, null),
      names.taskDataZip.replace('.zip', ''),
      ...[0, 1].flatMap((pass) => [0, 1].map((product) => names.set(pass, product))),
    ];
    expect(all).toEqual(['HO80', 'HO80TD', 'HO80P1M1', 'HO80P1M2', 'HO80P2M1', 'HO80P2M2']);
    for (const base of ['x', '7_9', 'TD', 'A_very_long_name_of_a_field', 'P1'])
      for (const passes of [1, 2, 12])
        for (const products of [1, 2]) {
          const one = fileNames(base, settings(true), { passes, products });
          const each = Array.from({ length: passes }, (_, pass) =>
            Array.from({ length: products }, (__, product) =>
              one.set(passes > 1 ? pass : null, products > 1 ? product : null),
            ),
          ).flat();
          const every = [...each, one.taskDataZip.replace('.zip', '')];
          expect(new Set(every).size).toBe(every.length);
          for (const name of every) expect(name).toMatch(/^[A-Z][A-Z0-9]{0,7}$/);
        }
  });
  it('are those of the files', async () => {
    const { handoff } = await make(withHandoff({ shortNames: true }));
    expect(paths(handoff).filter((path) => /\.(zip|geojson|shp)$/.test(path))).toEqual([
      'HOLL80P1.geojson',
      'HOLL80P1.zip',
      'shapefile/HOLL80P1.shp',
      'HOLL80P2.geojson',
      'HOLL80P2.zip',
      'shapefile/HOLL80P2.shp',
      'HOLL80TD.zip',
    ]);
    expect(proveFiles(handoff.files).problems).toEqual([]);
  });
});
