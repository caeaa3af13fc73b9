import { toAcres } from '../../base/units.ts';
import { area_m2 } from '../../geo/area.ts';
import { ALWAYS, SATURATION_STATEMENT } from '../../rates/statements.ts';
import { figure, typed } from '../../rates/text.ts';
import { changeWords } from '../cells-change.ts';
import { columnsOf } from '../columns.ts';
import type { ProofLine } from '../types.ts';
import { beyondOf, beyondWords } from './beyond-words.ts';
import { holesOf } from './care.ts';
import { escapeHtml as e } from './escape.ts';
import { type Page, topOf } from './front.ts';
import { inFilesOf, inFilesWords } from './in-files.ts';
import type { Measures } from './measures.ts';
import { proofWords } from './proof-words.ts';
import { rowsOf } from './rows.ts';

const LITRES_PER_FT3 = 28.316846592;

/** What the applicator reads once, before the day: loads, calibration, where not to spread, files, decisions, the proof. One for all passes. */
export function detailsOf(page: Page): string {
  return [
    '<section class="details">',
    topOf(page, null, 0).replace('</h1>', '</h1><p><b>For whoever spreads</b></p>'),
    loads(page),
    trays(page),
    cut(page),
    '<div class="flow">',
    notToSpread(page),
    outside(page),
    always(page),
    decided(page),
    '</div>',
    files(page),
    proof(page),
    '</section>',
  ].join('\n');
}

export const block = (title: string, body: string, kind = 'block'): string =>
  `<div class="${kind}"><h2>${e(title)}</h2>${body}</div>`;
export const dashes = (lines: readonly string[]): string =>
  `<ul class="dash">${lines.map((line) => `<li>${e(line)}</li>`).join('')}</ul>`;
export const cells = (tag: 'th' | 'td', values: readonly string[], words = 1): string =>
  `<tr>${values.map((value, index) => `<${tag}${index < words ? '' : ' class="n"'}>${e(value)}</${tag}>`).join('')}</tr>`;
/** Rows that stay on one page. */
const FEW = 14;
export const tableOf = (head: readonly string[], rows: readonly (readonly string[])[], words = 1): string =>
  `<table class="many${rows.length <= FEW ? ' few' : ''}"><thead>${cells('th', head, words)}</thead><tbody>${rows.map((row) => cells('td', row, words)).join('')}</tbody></table>`;

function loads({ input, say }: Page): string {
  const { loads: lines, prescriptions } = input.handoff;
  if (lines.length > 0) {
    const head = [
      'Pass',
      'Product',
      `In all, ${say.heavyUnit}`,
      `A load holds, ${say.heavyUnit}`,
      'Full loads',
      `Last load, ${say.heavyUnit}`,
      `${say.areaUnit} a load`,
    ];
    const rows = lines.map((one) => [
      one.pass,
      one.product,
      say.heavy(one.tons),
      say.heavy(one.hopper_tons),
      figure(one.full),
      one.last_tons > 0 ? say.heavy(one.last_tons) : '–',
      say.area(one.acresPerLoad),
    ]);
    return block('Load plan', tableOf(head, rows, 2));
  }
  const rows = prescriptions.flatMap(({ pass, totals }) =>
    totals.byProduct.map((one) => [
      pass,
      one.product,
      say.heavy(one.product_tons),
      say.mass(one.product_lb),
      one.cubicFeet === null
        ? 'density not weighed'
        : say.metric
          ? figure((one.cubicFeet * LITRES_PER_FT3) / 1000, 1)
          : figure(one.cubicFeet),
    ]),
  );
  const head = [
    'Pass',
    'Product',
    `In all, ${say.heavyUnit}`,
    say.massUnit,
    say.metric ? 'Room, m³' : 'Room, cubic feet',
  ];
  return block(
    'Load plan',
    `${tableOf(head, rows, 2)}<p>Nobody said what a load holds, so the number of loads is not worked out.</p>`,
  );
}

/** The rates a catch-tray check should be made at: the least, the one nearest the middle, the largest of each product in each pass. */
export function ratesToCheck(rates: readonly number[]): readonly number[] {
  const all = [...new Set(rates.filter((rate) => rate > 0))].sort((a, b) => a - b);
  const [least, most] = [all[0], all.at(-1)];
  if (least === undefined || most === undefined) return [];
  const middle = all.reduce((best, rate) =>
    Math.abs(rate - (least + most) / 2) < Math.abs(best - (least + most) / 2) ? rate : best,
  );
  return [...new Set([least, middle, most])];
}

function trays({ input, say, products }: Page): string {
  const rows = input.handoff.prescriptions.flatMap(({ pass, pieces }) =>
    products.flatMap((product, at) =>
      ratesToCheck(pieces.map((one) => (at === 0 ? one.rate_lbPerAc : one.second_lbPerAc))).map((rate) => [
        pass,
        product,
        say.rate(rate),
        '',
        '',
        '',
      ]),
    ),
  );
  if (rows.length === 0) return '';
  const head = ['Pass', 'Product', `Rate, ${say.rateUnit}`, 'Trays gave', 'Setting', 'Spread even'];
  return block(
    'Catch-tray check, at the rates used',
    `${tableOf(head, rows, 2)}<p>Lay trays across the swath, spread at each rate with this product, and set by what the trays hold. A coefficient of variation to 15 % is accepted (second-hand).</p>`,
  );
}

/** What cutting the zones into cells did. */
function cut({ input: { handoff, settings }, say, change }: Page): string {
  if (!handoff.cells || !change) return '';
  const { cells, slivers, mixed, ramped, over_ac, under_ac, heading_deg, from, swath_m, length_m } = handoff.cells;
  const inAll = `${changeWords(change, settings.rateUnit)}: the zones ask ${say.mass(change.zones_lb)} ${say.massUnit}, the files hold ${say.mass(handoff.totals.product_lb)}.`;
  return block(
    'Cells',
    `<p>${e(
      `${figure(cells)} cells of ${say.length(swath_m)} by ${say.length(length_m)}, driven at ${typed(Math.round(heading_deg * 10) / 10)}° from north (${from === 'told' ? 'as told' : 'along the longest edge'}). ${figure(slivers)} slivers were joined to a neighbour; ${figure(mixed)} cells lie over several zones and get their mean by area; ${figure(ramped)} were moved by the limit on change. ${inAll} ${say.area(over_ac)} ${say.areaUnit} get more than their zone's rate, ${say.area(under_ac)} less.`,
    )}</p>`,
  );
}

function notToSpread({ input, say }: Page): string {
  const { field, handoff } = input;
  const first = handoff.prescriptions[0];
  const rows = first ? rowsOf(input, first) : [];
  const holes = holesOf(field.boundary);
  const inCells = (zone: (typeof rows)[number]['zone']): string => {
    const some = handoff.cells && first ? inFilesOf(first, zone) : null;
    return some && some.most_lbPerAc > 0
      ? `, in the files ${inFilesWords(some, say)} where cells reach over its border`
      : '';
  };
  const lines = [
    ...(holes.length > 0
      ? [
          `${holes.length === 1 ? 'Hole' : 'Holes'} in the boundary: ${say.area(toAcres(area_m2(holes)), 2)} ${say.areaUnit}, in no file.`,
        ]
      : []),
    ...(field.keepOut_ac > 0
      ? [`Keep-outs and setbacks: ${say.area(field.keepOut_ac, 2)} ${say.areaUnit}, in no file.`]
      : []),
    ...field.setbacks.map(
      ({ name, distance_m, acres }) => `${name}: ${say.length(distance_m)} off, ${say.area(acres, 2)} ${say.areaUnit}.`,
    ),
    ...rows
      .filter(({ rates_lbPerAc }) => rates_lbPerAc === null)
      .map(
        (row) => `Zone ${row.zone.letter}, ${say.area(row.acres)} ${say.areaUnit}: left out of the files, ${row.why}.`,
      ),
    ...rows
      .filter(({ given, rates_lbPerAc }) => given.withheld && rates_lbPerAc)
      .map(
        (row) =>
          `Zone ${row.zone.letter}, ${say.area(row.acres)} ${say.areaUnit}: withheld${inCells(row.zone) || ', the files say 0'}.`,
      ),
    ...rows
      .filter(({ given, rates_lbPerAc }) => rates_lbPerAc && !given.withheld && given.rate_lbPerAc === 0)
      .map(
        (row) => `Zone ${row.zone.letter}, ${say.area(row.acres)} ${say.areaUnit}: 0, ${row.why}${inCells(row.zone)}.`,
      ),
    'Frozen, snow-covered or soaked ground, and ditches, wells, sinkholes and water as far as the local code asks.',
    'Lanes and ground beyond the boundary. Headlands inside it carry the rates of the map.',
  ];
  return block('What not to spread on', dashes(lines), 'keep');
}

function outside({ input, say, products }: Page): string {
  const alone = beyondOf(input).length > 0 && input.handoff.prescriptions.length > 1;
  const { outside_lbPerAc, noPosition_lbPerAc } = input.settings;
  const of = products.length > 1 ? ` of ${products[0] ?? 'the first product'}` : '';
  return block(
    'Outside, and without a position',
    dashes([
      `Outside every polygon: ${say.rate(outside_lbPerAc)} ${say.rateUnit}${of}.`,
      `Position lost: ${say.rate(noPosition_lbPerAc)} ${say.rateUnit}${of}.`,
      ...(alone ? ['In the first pass alone: 0 in every other.'] : []),
      'Look that the controller is set so: a shapefile and GeoJSON cannot say it.',
    ]),
    'keep',
  );
}

/** Words for the cab; the plan's standing sentences stand on the grower's page, word for word. */
const FIRST = [
  "The product's label, local rules and a licensed or certified adviser come before this page.",
  'Dust: mask and goggles when loading; mind neighbours and wind.',
  'Spinner: guard on, nobody behind the spreader, engine off before a hand goes in.',
  'Road: lights, slow-vehicle sign, load covered, gates and soft ground known beforehand.',
  'Slopes and ground beside water lose what is spread on them.',
  'Grazed or cut for feed: forage rich in K can bring grass tetany; tell whoever keeps the stock.',
] as const;

const always = (_: Page): string => block('Always', dashes(FIRST), 'keep');

function decided({ input, say }: Page): string {
  const { ratesSettings: plan, settings, rates } = input;
  const letter = (key: string): string => rates.zones.find((zone) => zone.key === key)?.letter ?? key;
  const lines = [
    ...beyondOf(input).map((one) => `${beyondWords(one, say)}, as chosen.`),
    ...plan.overrides.map(({ zoneKey, rate_lbPerAc, who, when, why }) => {
      const by = [who, when].filter((part) => part !== '').join(', ');
      return `Zone ${letter(zoneKey)}: ${say.rate(rate_lbPerAc)} ${say.rateUnit} by hand${by === '' ? ', nobody signed it' : `, ${by}`}. ${why}`;
    }),
    plan.governsTold
      ? `Which target governs: ${plan.governs === 'larger' ? 'the larger of ppm and saturation' : plan.governs}, as told.`
      : 'Which target governs: nobody said, so the larger of ppm and saturation.',
    ...(plan.follows === null ? [] : [`Rates follow a published guide: ${plan.follows}.`]),
    ...(plan.basis === '' ? [] : [`Basis: ${plan.basis}.`]),
    ...(plan.calcareousReason === '' ? [] : [`Saturation governs where CEC is overstated: ${plan.calcareousReason}`]),
    ...plan.passes
      .filter(({ mostReason }) => mostReason !== '')
      .map(
        ({ name, most_lbPerAc, mostReason }) =>
          `Pass ${name}, up to ${say.rate(most_lbPerAc)} ${say.rateUnit}: ${mostReason}`,
      ),
    ...(plan.budget === null
      ? []
      : [
          `Budget: ${plan.budget.by === 'dollars' ? `$${figure(plan.budget.amount)}` : `${say.heavy(plan.budget.amount)} ${say.heavyUnit}`}, shared ${plan.budget.rule}.`,
        ]),
    ...Object.entries(plan.zones)
      .filter(([, own]) => own.off === true)
      .map(([key]) => `Zone ${letter(key)} was turned off.`),
    ...input.zones.zones
      .filter(({ role }) => role !== 'spread')
      .map(({ letter: of, role }) => `Zone ${of}: ${role}, by its role.`),
    ...(rates.zones.some(({ withheld }) => withheld) && settings.withheld === 'written 0'
      ? ['Withheld ground is written as 0, as chosen.']
      : []),
  ];
  return block('Who decided what', dashes(lines), 'keep');
}

function files({ input, say, sets }: Page): string {
  const { files: all } = input.handoff;
  const listed = all.filter(({ path }) => !path.startsWith('shapefile/'));
  const loose = all.length - listed.length;
  const rows = [
    ...listed.map(({ path, what }) => [path, what]),
    ...(loose > 0 ? [['shapefile/', `the same shapefile, loose: ${loose} parts`]] : []),
  ];
  const rates = sets.flatMap((set) =>
    set.channels.map(({ column, productName, passName }) => [set.base, column, productName, passName]),
  );
  const columns = (sets[0] ? columnsOf(sets[0], input.settings.rateUnit) : []).map(({ name, property, what }) => [
    name,
    property,
    what,
  ]);
  return [
    block('Files', tableOf(['File', 'What it is'], rows, 2)),
    block(`Which rate is in which column, ${say.rateUnit}`, tableOf(['Files', 'Column', 'Product', 'Pass'], rates, 4)),
    block('Columns of the shapefile and of GeoJSON', tableOf(['Shapefile', 'GeoJSON', 'What it is'], columns, 3)),
    taskData(input.handoff.taskData, say),
  ].join('');
}

function taskData(task: Page['input']['handoff']['taskData'], say: Page['say']): string {
  if (!task) return '';
  const rows = task.tasks.map((one) => [
    one.pass,
    one.product,
    say.mass(one.planned_lb),
    say.mass(one.grid_lb),
    say.mass(one.grid_lb - one.planned_lb),
  ]);
  return block(
    `ISO 11783-10 grid, ${task.columns} by ${task.rows} cells: ${task.path}`,
    tableOf(['Task', 'Product', `Plan, ${say.massUnit}`, `Grid, ${say.massUnit}`, 'Difference'], rows, 2),
  );
}

function proof({ input, say }: Page): string {
  const words = proofWords(input.proof, say);
  const head = `<p>${e(words.text)}</p>`;
  if (input.proof === null) return block('Proof', head);
  const { lines, points } = input.proof;
  const bytes = lines.filter(({ what }) => what === 'bytes');
  const same = bytes.filter(({ holds }) => holds).length;
  const sentences = [
    ...(points === null
      ? []
      : [
          `${figure(points.compared)} rates were compared at ${figure(points.inside)} places drawn by chance; ${
            Number.isFinite(points.greatest)
              ? `the greatest difference is ${typed(points.greatest)} ${say.rateUnit}`
              : 'a file had no rate, or several, at one of them'
          }.`,
        ]),
    `${same} of ${bytes.length} files are the bytes that were written (SHA-256).`,
  ];
  return block('Proof', `${head}${proofTable(lines, input.handoff.taskData, say)}<p>${e(sentences.join(' '))}</p>`);
}

/** Figures that have a column of their own; what else was compared is named. */
const IN_COLUMNS = ['records', 'acres', 'pounds'] as const;
const inColumn = (name: (typeof IN_COLUMNS)[number], what: string): boolean =>
  what === name || what.startsWith(`${name} of `);

/** A figure of the proof, which is in acres and pounds, in the unit of the page. */
function inUnit(name: (typeof IN_COLUMNS)[number], found: string, say: Measures): string {
  const value = Number(found);
  if (!say.metric || name === 'records' || !Number.isFinite(value)) return found;
  return name === 'acres' ? say.area(value, 4) : say.mass(value);
}

/** What does not hold, line by line, then a row a file of what does. */
function proofTable(all: readonly ProofLine[], task: Page['input']['handoff']['taskData'], say: Measures): string {
  const missed = all
    .filter(({ holds }) => !holds)
    .map(({ file, what, planned, found }) => `${file}, ${what}: NOT the same: plan ${planned}, file ${found}.`);
  const held = all.filter(({ what, holds }) => what !== 'bytes' && holds);
  const rows = [...new Set(held.map(({ file }) => file))].map((file) => {
    const own = held.filter((line) => line.file === file);
    const figures = IN_COLUMNS.map((name) =>
      own.flatMap(({ what, found }) => (inColumn(name, what) ? [inUnit(name, found, say)] : [])).join(' + '),
    );
    return [file, ...figures.map((text) => text || '–')];
  });
  const told = rows.filter(([, ...figures]) => figures.some((text) => text !== '–'));
  // What was compared task by task, and holds in each, is named once.
  const endings = (task?.tasks ?? []).map(({ product, pass }) => `, ${product}, ${pass}`);
  const named = (what: string): string => {
    const ending = endings.find((one) => what.endsWith(one));
    return ending === undefined ? what : what.slice(0, -ending.length);
  };
  const others = [...new Set(held.map(({ what }) => named(what)))].filter(
    (what) => !IN_COLUMNS.some((name) => inColumn(name, what)),
  );
  return [
    missed.length === 0 ? '' : dashes(missed),
    told.length === 0
      ? ''
      : tableOf(
          ['File, read back', 'Records', say.metric ? 'Hectares' : 'Acres', say.metric ? 'Kilograms' : 'Pounds'],
          told,
        ),
    others.length === 0
      ? ''
      : `<p>${e(`As planned too: ${others.map((what) => (say.metric ? what.replace(/\bacres\b/, 'area') : what)).join('; ')}.`)}</p>`,
  ].join('');
}

/** The standing sentences of the plan without the one about saturation, which stands by itself. */
export const standing = (cautions: readonly string[]): readonly string[] =>
  [...ALWAYS, ...cautions.filter((one) => !ALWAYS.includes(one))].filter((one) => one !== SATURATION_STATEMENT);
