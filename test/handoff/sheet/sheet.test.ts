import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { ratesToCheck } from '../../../core/handoff/sheet/details.ts';
import { cssString, escapeHtml } from '../../../core/handoff/sheet/escape.ts';
import { ledgerInShort } from '../../../core/handoff/sheet/grower.ts';
import { sheetHtml } from '../../../core/handoff/sheet/make.ts';
import { headingWords, measuresOf } from '../../../core/handoff/sheet/measures.ts';
import type { SheetInput } from '../../../core/handoff/sheet/types.ts';
import { figure } from '../../../core/rates/text.ts';
import { deepFreeze } from '../../freeze.ts';
import { hardCases, sampleSheet } from './input.ts';

let cases: Readonly<Record<string, SheetInput>> = {};
beforeAll(async () => {
  cases = await hardCases();
});
const input = (name: string): SheetInput => {
  const found = cases[name];
  if (!found) throw new Error(`no case ${name}`);
  return found;
};

/** Text of every cell of the rate tables, row by row. */
const ratesOn = (html: string): string[][][] =>
  [...html.matchAll(/<table class="rates[^"]*">(.*?)<\/table>/gs)].map(([, table = '']) =>
    [...table.matchAll(/<tr[^>]*>(.*?)<\/tr>/gs)].map(([, row = '']) =>
      [...row.matchAll(/<t[hd][^>]*>(.*?)<\/t[hd]>/gs)].map(([, cell = '']) => cell.replace(/<[^>]*>/g, '')),
    ),
  );
const words = (html: string): string => html.replace(/<style>.*?<\/style>/s, '').replace(/<[^>]*>/g, ' ');

describe('the figures on the page', () => {
  it('are those of the files: zone by zone and in all, pass by pass', () => {
    const sample = input('sample');
    const tables = ratesOn(sheetHtml(sample));
    expect(tables).toHaveLength(sample.handoff.prescriptions.length);
    for (const [index, { pieces, totals }] of sample.handoff.prescriptions.entries()) {
      const [, ...rows] = tables[index] ?? [];
      const sum = rows.pop() ?? [];
      for (const [letter = '', rate, , acres, pounds, tons] of rows) {
        const own = pieces.filter((piece) => piece.letter === letter);
        const lb = own.reduce((all, piece) => all + piece.acres * piece.rate_lbPerAc, 0);
        expect([rate, acres, pounds, tons]).toEqual([
          String(own[0]?.rate_lbPerAc),
          figure(
            own.reduce((all, piece) => all + piece.acres, 0),
            1,
          ),
          figure(lb),
          figure(lb / 2000, 2),
        ]);
      }
      expect(rows).toHaveLength(new Set(pieces.map(({ letter }) => letter)).size);
      expect(sum.slice(0, 4)).toEqual([
        'In the files',
        figure(totals.acres, 1),
        figure(totals.product_lb),
        figure(totals.product_tons, 2),
      ]);
    }
  });

  it('are in the unit of the files, with the decimals of the files, when those are kg/ha', () => {
    const [rows] = ratesOn(sheetHtml(input('A4')));
    // 65 lb/ac x 1.12085 = 72.855..., written with two decimals.
    expect(rows?.[1]?.slice(0, 2)).toEqual(['A', '72.86']);
    expect(rows?.[0]?.[1]).toBe('Rate, kg/ha');
  });

  it('say of each zone on the map what the table says', () => {
    const sample = input('sample');
    const svg = sheetHtml(sample).match(/<svg class="map".*?<\/svg>/s)?.[0] ?? '';
    const labels = [...svg.matchAll(/<g class="rate">(.*?)<\/g>/gs)].map(([, label = '']) =>
      [...label.matchAll(/<text[^>]*>([^<]*)</g)].map(([, text]) => text),
    );
    const first = sample.handoff.prescriptions[0]?.pieces ?? [];
    for (const [letter, rate] of labels)
      expect(first.find((piece) => piece.letter === letter)?.rate_lbPerAc).toBe(Number(rate));
    expect(new Set(labels.map(([letter]) => letter))).toEqual(new Set(first.map(({ letter }) => letter)));
  });

  it('give both products, each with its own rate, pounds and column', () => {
    const two = input('two products');
    const html = sheetHtml(two);
    const [first] = two.handoff.prescriptions;
    for (const load of first?.totals.byProduct ?? []) expect(words(html)).toContain(figure(load.product_lb));
    expect(words(html)).toContain('RATE_2 (potassium magnesium sulfate 0-0-22)');
    expect(ratesOn(html)[0]?.[0]?.slice(0, 3)).toEqual(['Zone', 'Rate 1, lb/ac', 'Rate 2, lb/ac']);
  });

  it('by cells: classes of rate add up to the pass, each with its lines', () => {
    const cells = input('cells');
    const [rows = []] = ratesOn(sheetHtml(cells));
    const sum = rows.at(-1) ?? [];
    const pieces = cells.handoff.prescriptions[0]?.pieces ?? [];
    expect(sum[1]).toBe(String(pieces.length));
    expect(rows.slice(1, -1).reduce((all, row) => all + Number(row[3]), 0)).toBe(pieces.length);
    expect(words(sheetHtml(cells))).toContain('way to drive');
  });
});

describe('what the page says', () => {
  it('that it is not proved, without the seal, where it is not', () => {
    const sample = input('sample');
    expect(sheetHtml(sample)).toContain('>PROVED</text>');
    const before = sheetHtml({ ...sample, proof: null });
    expect(before).toContain('NOT<br>PROVED');
    expect(before).not.toContain('>PROVED</text>');
    const proof = sample.proof;
    if (!proof) throw new Error('the sample has no proof');
    const [line, ...rest] = proof.lines;
    if (!line) throw new Error('the proof has no line');
    const failed = sheetHtml({
      ...sample,
      proof: { ...proof, proved: false, lines: [{ ...line, what: 'acres', holds: false, found: '12.0' }, ...rest] },
    });
    expect(failed).not.toContain('>PROVED</text>');
    expect(words(failed)).toContain(`1 of ${proof.lines.length} comparisons do not hold`);
    expect(words(failed)).toContain('NOT the same: plan');
  });

  it('of withheld, left-out and hand-typed ground, with who and why', () => {
    const sample = input('sample');
    const [a, b, c] = sample.rates.zones;
    if (!a || !b || !c) throw new Error('the sample has three zones');
    const override = { rate_lbPerAc: 200, who: 'J. Doe', when: '2026-03-01', why: 'tile line broke' };
    const why = {
      code: 'rates-no-cec',
      severity: 'stop',
      message: 'No CEC is known here.',
      remedy: 'Have it tested.',
    } as const;
    const html = words(
      sheetHtml({
        ...sample,
        zones: {
          ...sample.zones,
          zones: sample.zones.zones.map((zone) => (zone.key === b.key ? { ...zone, role: 'keep out' } : zone)),
        },
        rates: {
          ...sample.rates,
          zones: sample.rates.zones.map((zone) =>
            zone.key === a.key
              ? { ...zone, withheld: why, rate_lbPerAc: null }
              : zone.key === c.key
                ? { ...zone, override }
                : zone,
          ),
        },
      }),
    );
    expect(html).toContain(`Zone ${a.letter}: rate withheld`);
    expect(html).toContain('No CEC is known here.');
    expect(html).toContain(`Zone ${b.letter} is left out`);
    expect(html).toContain('200 lb/ac, J. Doe, 2026-03-01: tile line broke');
  });

  it('that saturation targets are disputed, with the sources, and both readings beside the plan', () => {
    const html = words(sheetHtml(input('sample')));
    expect(html).toContain('Kopittke and Menzies 2007');
    expect(html).toContain('ppm alone');
    expect(html).toContain('saturation alone');
  });

  it('the sum of a zone in one line that adds up', () => {
    for (const zone of input('sample').rates.zones) {
      const line = ledgerInShort(zone, measuresOf(input('sample')));
      const [parts = '', total = ''] = line.split(' = ');
      const figures = [...parts.matchAll(/(− )?[a-z ]*?([\d,]+\.\d)/g)].map(
        ([, minus, value = '']) => Number(value.replace(',', '')) * (minus ? -1 : 1),
      );
      expect(figures.reduce((all, one) => all + one, 0)).toBeCloseTo(Number.parseFloat(total), 0);
      expect(Number.parseFloat(total)).toBeCloseTo(
        zone.lines.reduce((all, { carried }) => all + (carried ?? 0), 0),
        1,
      );
    }
  });

  it('checks trays at the least, the middle and the largest rate', () => {
    expect(ratesToCheck([0, 385, 50, 65, 260])).toEqual([50, 260, 385]);
    expect(ratesToCheck([100, 100])).toEqual([100]);
    expect(ratesToCheck([0])).toEqual([]);
  });

  it('names a way of driving there and back by the compass', () => {
    expect([0, 90, 180, 45, 315, 12].map(headingWords)).toEqual(['N–S', 'E–W', 'N–S', 'NE–SW', 'SE–NW', '12°']);
  });
});

describe('the document', () => {
  it('asks for nothing else and runs nothing', () => {
    for (const one of Object.values(cases)) {
      const html = sheetHtml(one);
      expect(html).toContain(`content="default-src 'none'; style-src 'unsafe-inline'"`);
      expect(html).not.toMatch(
        /<(script|link|img|iframe|object|embed|a|form|base)\b|\b(src|href|srcset)=|url\(|@import|https?:/i,
      );
    }
  });

  it('is the same text each time and leaves what it is given alone', async () => {
    const frozen = deepFreeze(await sampleSheet());
    expect(sheetHtml(frozen)).toBe(sheetHtml(frozen));
    expect(sheetHtml(frozen)).toBe(sheetHtml(input('sample')));
  });

  it('has no figure that is not one', () => {
    for (const [name, one] of Object.entries(cases))
      expect(words(sheetHtml(one)), name).not.toMatch(/NaN|undefined|Infinity|\[object/);
  });

  it('has its coordinates in tenths of a pixel, so that engines agree', () => {
    for (const [, d = ''] of sheetHtml(input('sample')).matchAll(/ d="([^"]*)"/g)) expect(d).not.toMatch(/\.\d\d|e-/);
  });
});

describe('words of people', () => {
  const hostile = fc.oneof(
    fc.constantFrom(
      '</style><script>alert(1)</script>',
      '"><img src=x onerror=alert(1)>',
      "'--><svg onload=alert(1)>",
      ']]></text><b>',
      '\\22 }*{display:none}',
      '\u202eabc\u0000\ud800',
    ),
    fc.string({ unit: 'grapheme', maxLength: 60 }),
    fc.string({ unit: 'binary', maxLength: 40 }),
  );

  it('stay words wherever they stand', () => {
    const sample = input('sample');
    const tags = (html: string): string[] =>
      [...new Set([...html.matchAll(/<\/?[a-z!][^\s>]*/gi)].map(([tag]) => tag))].sort();
    const plain = tags(sheetHtml(with_(sample, 'plain')));
    fc.assert(
      fc.property(hostile, (text) => {
        const html = sheetHtml(with_(sample, text));
        expect(tags(html).filter((tag) => !plain.includes(tag) && !['<br', '<i'].includes(tag))).toEqual([]);
        expect(html.match(/<\/style>/g)).toHaveLength(1);
        expect(html.match(/<section/g)).toHaveLength(4);
        expect(html).not.toMatch(/ on[a-z]+="/);
      }),
      { numRuns: 12 },
    );
  });

  /** The text in every place that a person can type in. */
  function with_(sample: SheetInput, text: string): SheetInput {
    const override = { rate_lbPerAc: 200, who: text, when: text, why: text };
    return {
      ...sample,
      planName: text,
      when: text,
      settings: { ...sample.settings, sheet: { ...sample.settings.sheet, heading: text, remarks: text } },
      field: {
        ...sample.field,
        setbacks: [{ name: text, distance_m: 10, acres: 1, polygons: sample.zones.zones[0]?.polygons ?? [] }],
      },
      zones: { ...sample.zones, zones: sample.zones.zones.map((zone) => ({ ...zone, name: text, what: text })) },
      rates: {
        ...sample.rates,
        cautions: [text],
        zones: sample.rates.zones.map((zone, index) => (index === 0 ? { ...zone, override } : zone)),
      },
      ratesSettings: {
        ...sample.ratesSettings,
        basis: text,
        calcareousReason: text,
        product: { ...sample.ratesSettings.product, name: text },
        overrides: [{ zoneKey: sample.rates.zones[0]?.key ?? '', ...override }],
      },
      handoff: {
        ...sample.handoff,
        prescriptions: sample.handoff.prescriptions.map((one) => ({ ...one, pass: text })),
        files: sample.handoff.files.map((file) => ({ ...file, path: text, what: text })),
      },
    };
  }

  it('lose no letter by being escaped', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme-ascii' }), (text) => {
        const back = escapeHtml(text).replace(
          /&(amp|lt|gt|quot|#39);/g,
          (_, name: string) => ({ amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" })[name] ?? '',
        );
        expect(back).toBe(text);
        expect(escapeHtml(text)).not.toMatch(/[<>"']/);
      }),
    );
  });

  it('cannot end a string of the style', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(cssString(text)).toMatch(/^"([A-Za-z0-9 ]|\\[0-9a-f]{1,6} )*"$/);
      }),
    );
  });
});
