import { renderToStaticMarkup } from 'react-dom/server';
import { beforeAll, describe, expect, it } from 'vitest';
import { runPlan } from '../../core/pipeline/run.ts';
import type { RatesOut, ZoneRate } from '../../core/rates/types.ts';
import { LedgerTable } from '../../renderer/charts/LedgerTable.tsx';
import { MiniHistogram } from '../../renderer/charts/MiniHistogram.tsx';
import { ThreeAnswers } from '../../renderer/charts/ThreeAnswers.tsx';
import { number } from '../../renderer/ui/format.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

let rates: RatesOut;
beforeAll(async () => {
  const { plan, inputs } = samplePlan();
  const out = await runPlan({ plan, inputs });
  if (!out.rates) throw new Error('the sample field has rates');
  rates = out.rates;
});

const page = (zone: ZoneRate, units: 'US' | 'metric' = 'US'): string =>
  renderToStaticMarkup(<LedgerTable zone={zone} productName="0-0-60" units={units} />);
/** Text of the last cell of each row of the account. */
const carried = (html: string): { readonly row: string; readonly figure: string }[] =>
  [...html.matchAll(/<tr([^>]*)>(.*?)<\/tr>/g)].map(([, attributes = '', cells = '']) => ({
    row: /ledger-(sum|end)/.exec(attributes)?.[1] ?? '',
    figure: (/<td class="ledger-carried">(.*?)<\/td>$/.exec(cells)?.[1] ?? '').replace(/<[^>]+>/g, ''),
  }));
const value = (text: string): number => Number(text.replace('−', '-').replaceAll(',', ''));

describe('the account page', () => {
  it('has the fourteen lines of the ledger in their order, and what is carried adds up to K2O this year', () => {
    for (const zone of rates.zones) {
      const html = page(zone);
      const lines = [...html.matchAll(/<td class="ledger-n">(\d+)<\/td>/g)].map(([, n]) => Number(n));
      expect(lines).toEqual(Array.from({ length: 14 }, (_, i) => i + 1));
      const rows = carried(html);
      const at = rows.findIndex(({ row }) => row === 'sum');
      const above = rows.slice(1, at).reduce((sum, { figure }) => sum + (figure === '' ? 0 : value(figure)), 0);
      // Each figure is shown to a tenth, so five of them may be off by a quarter together.
      expect(Math.abs(above - value(rows[at]?.figure ?? ''))).toBeLessThan(0.26);
      expect(rows.slice(at + 1).every(({ row, figure }) => row === 'end' || figure === '')).toBe(true);
    }
  });

  it('puts the double rule under what the machine spreads', () => {
    for (const zone of rates.zones) {
      expect(carried(page(zone)).find(({ row }) => row === 'end')?.figure).toBe(number(zone.rate_lbPerAc));
    }
  });

  it('says that a rate is withheld instead of a figure', () => {
    const [zone] = rates.zones;
    if (!zone) throw new Error('no zone');
    const html = page({ ...zone, rate_lbPerAc: null });
    expect(carried(html).find(({ row }) => row === 'end')?.figure).toBe('withheld');
  });

  it('stays in pounds and says the rate in kilograms beside it', () => {
    const [zone] = rates.zones;
    if (!zone) throw new Error('no zone');
    // 1 lb/ac is 1.12085 kg/ha.
    const html = page({ ...zone, rate_lbPerAc: 200 }, 'metric');
    expect(html).toContain('224 kg/ha');
    expect(carried(html).find(({ row }) => row === 'end')?.figure).toBe('200');
  });
});

describe('the account of two products', () => {
  it('says what there is of each above the rate of both, and carries none of it', () => {
    const [zone] = rates.zones;
    const [first] = zone?.products ?? [];
    if (!zone || !first) throw new Error('no zone');
    const products = [
      { ...first, product: '0-0-60', rates_lbPerAc: [100, 40] },
      { ...first, product: '0-0-50', rates_lbPerAc: [60, 0] },
    ];
    const html = page({ ...zone, rate_lbPerAc: 200, products });
    const parts = [...html.matchAll(/<tr class="ledger-part">(.*?)<\/tr>/g)].map(([, cells = '']) =>
      [...cells.matchAll(/<t[dh][^>]*>(.*?)<\/t[dh]>/g)].map(([, text = '']) =>
        text.replace(/<(i|small)>.*/, '').replace(/<[^>]+>/g, ''),
      ),
    );
    expect(parts).toEqual([
      ['', '0-0-60', '140', ''],
      ['', '0-0-50', '60', ''],
    ]);
    expect(html).toContain('<b>All products, lb/ac</b>');
    expect(carried(html).find(({ row }) => row === 'end')?.figure).toBe('200');
  });
});

describe('beside the account', () => {
  it('shows both readings and the plan in the same place', () => {
    const html = renderToStaticMarkup(
      <ThreeAnswers answers={{ ppmAlone: 70, saturationAlone: null, thisPlan: 335 }} units="US" />,
    );
    const terms = [...html.matchAll(/<dt>(.*?)<\/dt><dd>(.*?)<\/dd>/g)].map(([, term, text = '']) => [
      term,
      text.replace(/<[^>]+>/g, ''),
    ]);
    expect(terms).toEqual([
      ['ppm alone', '70 lb/ac'],
      ['saturation alone', 'no answer'],
      ['this plan', '335 lb/ac'],
    ]);
    expect(html).toContain('without yield calibration');
  });

  it('draws a spread in twelve bars, and none of nothing', () => {
    const html = renderToStaticMarkup(<MiniHistogram values={[1, 2, 3, 40]} label="K" />);
    expect(html.match(/<rect/g)).toHaveLength(12);
    expect(html).toContain('Spread of K: 1 to 40');
    expect(renderToStaticMarkup(<MiniHistogram values={[Number.NaN]} label="K" />)).toBe('');
  });
});
