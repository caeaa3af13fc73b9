import { withProducts } from '../../rates/product.ts';
import { productsOf } from '../../rates/spread.ts';
import { SATURATION_STATEMENT } from '../../rates/statements.ts';
import { counted, dollars, figure, typed } from '../../rates/text.ts';
import type { LedgerLine, ZoneRate } from '../../rates/types.ts';
import { changeWords } from '../cells-change.ts';
import { block, dashes, standing, tableOf } from './details.ts';
import { escapeHtml as e } from './escape.ts';
import { type Page, topOf } from './front.ts';
import { inPageUnits, type Measures, reading } from './measures.ts';

/** The pages for the grower: what the field is short of, what the plan does about it, what it costs, and what else could be done. */
export function growerOf(page: Page): string {
  return [
    '<section class="grower">',
    topOf(page, null, 0).replace('</h1>', '</h1><p><b>For the grower</b></p>'),
    readings(page),
    ledger(page),
    cost(page),
    compared(page),
    years(page),
    ahead(page),
    block('What is disputed', `<p>${e(SATURATION_STATEMENT)}</p>`),
    zoneNotes(page),
    block('To keep in mind', dashes(standing(page.input.rates.cautions))),
    '</section>',
  ].join('\n');
}

/** A reading under its floor is underlined: bold alone is lost in print. */
const against = (value: number, floor: number, decimals: number): string =>
  value < floor ? `<span class="short">${reading(value, decimals)}</span>` : reading(value, decimals);

function readings({ input, say, change }: Page): string {
  const plan = input.ratesSettings;
  const rows = input.zones.zones.flatMap((zone) => {
    const given = input.rates.zones.find(({ key }) => key === zone.key);
    if (!given) return [];
    const own = plan.zones[zone.key] ?? {};
    const { k_ppm, kSat_pct, cec_meq } = given.reading;
    const { ppmAlone, saturationAlone, thisPlan } = given.answers;
    const rate = (value: number | null): string => (value === null ? '–' : say.rate(value));
    const rateNow = given.withheld ? 'withheld' : rate(given.rate_lbPerAc ?? thisPlan);
    return [
      `<tr><td><span class="z">${e(zone.letter)}</span></td><td>${e([zone.letter, zone.what].includes(zone.name) ? inPageUnits(zone.what, say) : zone.name)}</td>`,
      ...[
        say.area(zone.acres),
        against(k_ppm, own.floor_ppm ?? plan.floor_ppm, 0),
        against(kSat_pct, own.floor_pct ?? plan.floor_pct, 1),
        reading(cec_meq, 1),
        rate(ppmAlone),
        rate(saturationAlone),
        `<b>${rateNow}</b>`,
        given.cost_perAc === null ? '–' : `$${figure(say.perArea(given.cost_perAc), 2)}`,
      ].map((value) => `<td class="n">${value}</td>`),
      '</tr>',
    ];
  });
  const head = [
    'Zone',
    'Ground',
    say.areaUnit,
    'K, ppm',
    'K, % of CEC',
    'CEC',
    'ppm alone',
    'saturation alone',
    change ? 'this plan asks' : 'this plan',
    `$/${say.areaUnit}`,
  ];
  return block(
    `Both readings, and what each alone would ask for (${say.rateUnit} of product, all passes${change ? '; by zones, before cutting into cells' : ''})`,
    `<table><thead><tr>${head.map((one, at) => `<th${at < 2 ? '' : ' class="n"'}>${e(one)}</th>`).join('')}</tr></thead><tbody>${rows.join('')}</tbody></table><p>Floors ${typed(plan.floor_ppm)} ppm and ${typed(plan.floor_pct)} % of CEC, range to ${typed(plan.rangeTop_pct)} %. Underlined: under its floor. ${GOVERNS[plan.governs]}</p>`,
  );
}

const GOVERNS = {
  larger: 'The larger of the two answers is taken.',
  ppm: 'The answer by ppm is taken.',
  saturation: 'The answer by saturation is taken.',
} as const;

/** What a carried line is called in one word or two. */
const CARRIED: Partial<Record<LedgerLine['key'], string>> = {
  crop: 'crop line',
  aboveRange: 'above the range',
  credits: 'credits',
  cap: 'cap a year',
  budget: 'budget',
  passes: 'caps of the passes',
};

/** One zone's carried lines as one sum: `crop line 156.0 − cap a year 36.0 = 120.0 lb K₂O/ac`. */
export function ledgerInShort(zone: ZoneRate, say: Pick<Measures, 'k2oRate' | 'k2oUnit' | 'areaUnit'>): string {
  const carried = zone.lines.filter(({ carried: value }) => value !== null && Math.abs(value) >= 0.05);
  const sum = zone.lines.reduce((all, { carried: value }) => all + (value ?? 0), 0);
  const parts = carried.map(({ key, label, carried: value }, index) => {
    const sign = (value ?? 0) < 0 ? '− ' : index === 0 ? '' : '+ ';
    return `${sign}${CARRIED[key] ?? label} ${say.k2oRate(Math.abs(value ?? 0))}`;
  });
  const total = `${say.k2oRate(Math.abs(sum) < 0.05 ? 0 : sum)} ${say.k2oUnit}/${say.areaUnit}`;
  return parts.length === 0 ? `nothing is carried: ${total}` : `${parts.join(' ')} = ${total}`;
}

function ledger({ input, say, change }: Page): string {
  const rows = input.rates.zones.map((zone) => {
    const hand = zone.override ? `; typed by hand: ${say.rate(zone.override.rate_lbPerAc)}` : '';
    const rate = zone.withheld
      ? `withheld: ${zone.withheld.message}`
      : `${say.rate(zone.rate_lbPerAc ?? 0)} ${say.rateUnit}`;
    const undone =
      zone.undone_lbK2OPerAc >= 0.5
        ? `; ${say.k2oRate(zone.undone_lbK2OPerAc)} ${say.k2oUnit}/${say.areaUnit} left undone`
        : '';
    return [zone.letter, `${ledgerInShort(zone, say)}${undone}${hand}`, rate];
  });
  return block(
    'The sum, zone by zone',
    tableOf(
      [
        'Zone',
        `What is carried, ${say.k2oUnit} ${say.metric ? 'a hectare' : 'an acre'} this year`,
        change ? 'Product it asks' : 'Product',
      ],
      rows,
      2,
    ),
  );
}

function cost({ input, say, change }: Page): string {
  const products = productsOf(withProducts(input.ratesSettings));
  const charge = input.ratesSettings.charge_perAcPerPass;
  const { totals, prescriptions } = input.handoff;
  const area = say.metric ? 'a hectare' : 'an acre';
  const money = prescriptions.reduce((sum, one) => sum + one.totals.cost, 0);
  const priced = products.map((product, at) => {
    const tons = totals.byProduct[at]?.product_tons ?? 0;
    return { product, tons, dollars: tons * product.price_perTon };
  });
  const rest = money - priced.reduce((sum, one) => sum + one.dollars, 0);
  const rows = [
    ...priced.map((one) => [
      one.product.name,
      `${say.heavy(one.tons)} ${say.heavyUnit} at ${say.price(one.product.price_perTon)}`,
      dollars(one.dollars),
    ]),
    ['Spreading', `$${figure(say.perArea(charge), 2)} ${area} and pass, where anything is spread`, dollars(rest)],
  ];
  const perAc = input.field.spreadable_ac > 0 ? money / input.field.spreadable_ac : 0;
  const body = `${rows.map((row) => `<tr>${row.map((value, at) => `<td${at === 2 ? ' class="n"' : ''}>${e(value)}</td>`).join('')}</tr>`).join('')}<tr class="sum"><td colspan="2">In all, $${figure(say.perArea(perAc), 2)} ${area} of ground to spread</td><td class="n">${dollars(money)}</td></tr>`;
  return block(
    'What it costs',
    `<table class="cost"><tbody>${body}</tbody></table>${change ? `<p>By the files. ${e(changeWords(change, input.settings.rateUnit))}: the zones ask ${say.mass(change.zones_lb)} ${say.massUnit}.</p>` : ''}`,
  );
}

function compared({ input, say, change }: Page): string {
  const { alternatives } = input.rates;
  if (alternatives.length === 0) return '';
  const asked = change ? 'this plan, by zones' : 'this plan';
  const rows = alternatives.map((one) => [
    one.key === 'plan' ? asked : one.key.replace('same tons', 'same weight'),
    inPageUnits(one.what, say),
    say.heavy(one.tons),
    dollars(one.cost),
    say.area(one.over_ac),
    say.area(one.under_ac),
    say.mass(one.under_lbK2O),
  ]);
  const { totals } = input.handoff;
  if (change)
    rows.unshift([
      'this plan, in the files',
      changeWords(change, input.settings.rateUnit),
      say.heavy(totals.product_tons),
      dollars(totals.cost),
      '–',
      '–',
      '–',
    ]);
  const head = [
    'Way',
    '',
    say.heavyUnit,
    'Cost',
    `${say.areaUnit} given more than asked`,
    `${say.areaUnit} given less`,
    `${say.k2oUnit} short there`,
  ];
  const what = change ? 'Against simpler ways (by zones, before cutting into cells)' : 'Against simpler ways';
  return block(what, tableOf(head, rows, 2));
}

const MOST_YEARS = 6;

function years({ input }: Page): string {
  const with_path = input.rates.zones.filter(({ path }) => path.length > 0);
  const first = with_path[0];
  if (!first) return '';
  const shown = first.path.slice(0, MOST_YEARS);
  const rows = with_path.map((zone) => [
    zone.letter,
    `${reading(zone.reading.k_ppm)} / ${reading(zone.reading.kSat_pct, 1)}`,
    ...zone.path.slice(0, MOST_YEARS).map((year) => `${reading(year.k_ppm)} / ${reading(year.kSat_pct, 1)}`),
  ]);
  const head = ['Zone', 'Now', ...shown.map(({ year, crop }) => `Year ${year}, ${crop.toLowerCase()}`)];
  return block(
    'Years ahead, with this plan kept up (K ppm / % of CEC at the end of the season)',
    `${tableOf(head, rows)}<p>By stoichiometry; field factors in print move a test less. Test again before leaning on these figures.</p>`,
  );
}

function ahead({ input, say }: Page): string {
  const { spending, budget } = input.rates;
  const lines = (spending ?? []).map((way) => {
    const last = way.years.at(-1);
    return `${way.key === 'at once, then skip' ? 'At once, then skip' : 'The same every year'}: ${dollars(way.cost)} over ${counted(way.years.length, 'year')}${last ? `; ends at ${reading(last.k_ppm)} ppm with ${say.area(last.short_ac)} ${say.areaUnit} short` : ''}.`;
  });
  const ways = (budget ?? []).map(
    (way) =>
      `Budget ${way.rule}: ${say.heavy(way.tons)} ${say.heavyUnit}, ${dollars(way.cost)}, ${say.area(way.shortAcres)} ${say.areaUnit} left short.`,
  );
  return lines.length + ways.length === 0 ? '' : block('Ways to spend', dashes([...lines, ...ways]));
}

/** Every caution of a zone, word for word. */
function zoneNotes({ input, say }: Page): string {
  const lines = input.rates.zones.flatMap(({ withheld, problems }) =>
    [...(withheld ? [withheld] : []), ...problems.filter(({ severity }) => severity !== 'note')].map(
      ({ message, remedy }) => `${message} ${remedy}`,
    ),
  );
  return lines.length === 0
    ? ''
    : block(
        `Zone by zone${say.metric ? ', as the plan says it: in pounds and acres' : ''}`,
        dashes([...new Set(lines)]),
      );
}
