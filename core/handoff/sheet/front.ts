import { bounds } from '../../geo/bounds.ts';
import { localFrame } from '../../geo/frame.ts';
import type { MultiPolygon } from '../../geo/types.ts';
import { cropOf } from '../../rates/crops.ts';
import { productsOf } from '../../rates/spread.ts';
import { figure, typed } from '../../rates/text.ts';
import type { CellsChange } from '../cells-change.ts';
import { spreads } from '../pieces.ts';
import type { FileSet } from '../sets.ts';
import { taskNames } from '../task-data/names.ts';
import type { Prescription } from '../types.ts';
import { beyondOf, beyondWords } from './beyond-words.ts';
import type { Border } from './borders.ts';
import { type Care, caresOf } from './care.ts';
import { classesOf, type RateClass, totalRate } from './classes.ts';
import { escapeHtml as e } from './escape.ts';
import { mapOf } from './map.ts';
import { headingWords, type Measures } from './measures.ts';
import { linesOf, type Paper } from './paper.ts';
import { proofWords } from './proof-words.ts';
import { rateTable, whyWords } from './rate-table.ts';
import { rowsOf, type ZoneRow } from './rows.ts';
import { sealOf } from './seal.ts';
import type { SheetInput } from './types.ts';

/** What the pages have in common. */
export interface Page {
  readonly input: SheetInput;
  readonly say: Measures;
  readonly paper: Paper;
  readonly borders: readonly Border[];
  /** Names of the products, the first first. */
  readonly products: readonly string[];
  /** The sets of files, with their rate columns. */
  readonly sets: readonly FileSet[];
  /** Largest rate of any record in any pass, all products together: a density of lines means the same on every page. */
  readonly most_lbPerAc: number;
  /** What cutting into cells did to the product; null where zones are written as they lie. */
  readonly change: CellsChange | null;
}

/** A thing to look at before the first run; a weighty one stands in bold. */
interface Tick {
  readonly text: string;
  readonly bold?: true;
}

const SIDE_PX = 198;
const GAP_PX = 16;
const LEAST_MAP_PX = 340;
/** Seal and signature lines. */
const SIGN_PX = 110;
/** Kept free, since lines are only estimated. */
const SPARE_PX = 14;

/** The cab page of one pass. What finds no room beside the map goes on below the signatures, on the next page. */
export function frontOf(page: Page, prescription: Prescription, index: number): string {
  const { input, say, paper, borders } = page;
  const rows = rowsOf(input, prescription);
  const classes = input.handoff.cells ? classesOf(prescription) : null;
  const cares = caresOf(input, prescription, rows, borders, say);
  const ticks = ticksOf(page, prescription);
  const remarks = input.settings.sheet.remarks;
  const count = classes?.length ?? rows.length;
  const many = count > 8;
  const tight = many || (classes !== null && count > 4);
  const top_px =
    37 +
    31 * linesOf(input.planName, paper.width_px * 0.62, headSize(input.planName), true) +
    headingLines(page) * 17 +
    17;
  const big_px = bigHeight(page);
  const fine = fineText(page, index, []);
  const below_px = SIGN_PX + 9 + 14 * linesOf(fine, paper.width_px, 11);
  const remarks_px =
    remarks === ''
      ? 0
      : 21 + 17 * remarks.split('\n').reduce((sum, line) => sum + linesOf(line, paper.width_px - 20, 12.5), 0);
  const table_px = tableHeight(page, rows, classes, tight);
  const strip_px = 32 + Math.ceil(ticks.length / 3) * 28;
  const room_px = paper.height_px - top_px - big_px - remarks_px - below_px - SPARE_PX;
  const tableHere = room_px - table_px >= LEAST_MAP_PX + (many ? strip_px : 0);
  const aspect = aspectOf(input.field.boundary);
  const useful_px = Math.max(
    (paper.width_px - SIDE_PX - GAP_PX - 44) / aspect + 84,
    sideHeight(cares, SIDE_PX) + ticksHeight(ticks, SIDE_PX),
    LEAST_MAP_PX,
  );
  const whole_px = Math.floor(Math.min(tableHere ? room_px - table_px : room_px, useful_px));
  const beside = shareOut({ height_px: whole_px, aspect, paper, cares, ticks });
  const under = shareOut({
    height_px: Math.max(LEAST_MAP_PX - strip_px, whole_px - strip_px),
    aspect,
    paper,
    cares,
    ticks: [],
  });
  const ticksBeside = beside.fits === cares.length;
  const { height_px, width_px, fits } = ticksBeside ? beside : under;
  const map = mapOf({
    input,
    prescription,
    rows,
    borders,
    classes,
    cares,
    most_lbPerAc: page.most_lbPerAc,
    say,
    width_px,
    height_px,
  });
  const tickList = `<h2>Before you start</h2><ul class="tick">${ticks.map(({ text, bold }) => `<li>${bold ? `<b>${e(text)}</b>` : e(text)}</li>`).join('')}</ul>`;
  const table = rateTable(page, prescription, rows, classes, tight);
  const sign = signOf(page);
  return [
    '<section class="front">',
    topOf(page, prescription, index),
    bigOf(page, prescription, classes),
    `<div class="body">${map.svg}<div><h2>Be careful</h2>${careList(cares.slice(0, fits), 0)}${
      fits < cares.length ? `<p class="fine">${cares.length - fits} more: see "Be careful, continued".</p>` : ''
    }${ticksBeside ? tickList : ''}</div></div>`,
    ticksBeside ? '' : `<div class="strip">${tickList}</div>`,
    remarks === '' ? '' : `<p class="remarks"><b>Remarks.</b> ${e(remarks)}</p>`,
    tableHere
      ? `${table}${fineOf(page, index, map.unlabelled)}${sign}`
      : `${fineOf(page, index, map.unlabelled)}${sign}${table}`,
    fits < cares.length
      ? `<div class="block"><h2>Be careful, continued</h2><div class="flow">${careList(cares.slice(fits), fits)}</div></div>`
      : '',
    '</section>',
  ].join('\n');
}

const headingLines = ({ input }: Page): number =>
  input.settings.sheet.heading === '' ? 0 : linesOf(input.settings.sheet.heading, 450, 12.5);
const headSize = (name: string): number => (name.length > 42 ? 19 : 27);

interface Shares {
  readonly height_px: number;
  /** Width of the field by its height. */
  readonly aspect: number;
  readonly paper: Paper;
  readonly cares: readonly Care[];
  /** Those that are to stand beside the map too. */
  readonly ticks: readonly Tick[];
}

/** The map as wide as the field asks for, the words as wide as is left, and how many of the cautions fit beside it. */
function shareOut({ height_px, aspect, paper, cares, ticks }: Shares): {
  readonly height_px: number;
  readonly width_px: number;
  readonly fits: number;
} {
  const asked = (height_px - 68) * aspect + 100;
  const width_px = Math.floor(Math.max(LEAST_MAP_PX, Math.min(asked, paper.width_px - SIDE_PX - GAP_PX)));
  const side_px = paper.width_px - width_px - GAP_PX;
  const room_px = height_px - ticksHeight(ticks, side_px);
  let fits = cares.length;
  while (fits > 0 && sideHeight(cares.slice(0, fits), side_px) > room_px - (fits < cares.length ? 38 : 0)) fits -= 1;
  return { height_px, width_px, fits };
}

/** The list of cautions with its heading. */
const sideHeight = (cares: readonly Care[], side_px: number): number =>
  cares.reduce(
    (sum, { title, text }) =>
      sum + 6 + 16 * (linesOf(title, side_px - 26, 12.5, true) + linesOf(text, side_px - 26, 12.5)),
    26,
  );
const ticksHeight = (ticks: readonly Tick[], side_px: number): number =>
  ticks.length === 0
    ? 0
    : 32 + ticks.reduce((sum, { text, bold }) => sum + 3 + 16 * linesOf(text, side_px - 20, 12.5, bold), 0);

function tableHeight(
  { products }: Page,
  rows: readonly ZoneRow[],
  classes: readonly RateClass[] | null,
  many: boolean,
): number {
  const two = products.length > 1;
  const line = (lines: number): number => (many ? 18.5 + 16 * (lines - 1) : Math.max(27, 7 + 17 * lines));
  if (classes) return 60 + classes.length * line(1);
  return rows.reduce((sum, row) => sum + line(linesOf(whyWords(row), two ? 130 : 215, 12.5)), 60);
}

function aspectOf(boundary: MultiPolygon): number {
  const { west, east, south, north } = bounds(boundary);
  const { mPerDegLng, mPerDegLat } = localFrame([(west + east) / 2, (south + north) / 2]);
  return ((east - west) * mPerDegLng) / Math.max(1e-9, (north - south) * mPerDegLat);
}

export const careList = (cares: readonly Care[], from: number): string =>
  `<ol class="care">${cares
    .map(
      ({ title, text, spots }, index) =>
        `<li><i${spots.length === 0 ? ' class="none"' : ''}>${from + index + 1}</i><b>${e(title)}</b>${e(text)}</li>`,
    )
    .join('')}</ol>`;

export function topOf({ input }: Page, prescription: Prescription | null, index: number): string {
  const { planName, settings, when, handoff, ratesSettings } = input;
  const crop = ratesSettings.crop === null ? null : cropOf(ratesSettings.crop);
  const goal = crop && ratesSettings.yieldGoal !== null ? `, ${typed(ratesSettings.yieldGoal)} ${crop.yieldUnit}` : '';
  const passes = handoff.prescriptions.length;
  const words = [
    ...(prescription === null ? [] : ['Potassium prescription']),
    ...(crop ? [`${crop.name}${goal}`] : []),
    ...(prescription === null
      ? []
      : [passes > 1 ? `pass ${index + 1} of ${passes}, ${prescription.pass}` : prescription.pass]),
  ].join(' · ');
  return `<div class="top"><div><h1${planName.length > 42 ? ' class="long"' : ''}>${e(planName)}</h1>${
    settings.sheet.heading === '' ? '' : `<p>${e(settings.sheet.heading)}</p>`
  }<p>${e(words)}</p>${prescription === null ? '' : `<p>${e(placeWords(input.field.boundary))}</p>`}</div><p>Made ${e(when)}${prescription === null ? '' : `<br>${passes > 1 ? `Cab sheet ${index + 1} of ${passes}` : 'Cab sheet'}`}</p></div>`;
}

/** Where the field lies: the middle of its box, to about 10 m. */
export function placeWords(boundary: MultiPolygon): string {
  const { west, east, south, north } = bounds(boundary);
  const [lat, lng] = [(south + north) / 2, (west + east) / 2];
  return `Middle of the field ${Math.abs(lat).toFixed(4)}° ${lat < 0 ? 'S' : 'N'}, ${Math.abs(lng).toFixed(4)}° ${lng < 0 ? 'W' : 'E'}`;
}

/** The row of large figures, by its first column, which has the longest words. */
function bigHeight({ products, paper }: Page): number {
  const two = products.length > 1;
  const [type_px, line_px] = two ? [17, 22] : [23, 28];
  const room_px = paper.width_px * 0.29 - (two ? 24 : 12);
  return 50 + products.reduce((sum, name) => sum + line_px * linesOf(name, room_px, type_px, true), 0);
}

function bigOf(
  { input, say, products }: Page,
  { pieces, totals }: Prescription,
  classes: readonly RateClass[] | null,
): string {
  const two = products.length > 1;
  const big = two ? '<b class="two">' : '<b>';
  const spread_ac = pieces.reduce((sum, piece) => sum + (spreads(piece) ? piece.acres : 0), 0);
  const plan = productsOf(input.ratesSettings);
  const grade = plan.map(({ k2o_pct }, at) => `${two ? `${at + 1}: ` : ''}${typed(k2o_pct)} % K₂O`).join(', ');
  const rates = pieces.map(totalRate).filter((rate) => rate > 0);
  const cells = input.handoff.cells;
  const fourth =
    cells && classes
      ? `Swath, heading<b>${e(say.length(cells.swath_m).replace(/ (.*)/, ''))} <small>${say.metric ? 'm' : 'ft'}</small> ${e(headingWords(cells.heading_deg))}</b>cells of ${e(say.length(cells.length_m))}, ${figure(cells.cells)} cut`
      : `Largest rate${two ? ' of both' : ''}<b>${e(say.rate(max(rates)))} <small>${say.rateUnit}</small></b>${
          rates.length === 0
            ? 'nothing is spread'
            : min(rates) === max(rates)
              ? 'the only one above 0'
              : `least ${e(say.rate(min(rates)))}, ${new Set(rates).size} different`
        }`;
  return `<div class="big"><div>Product${two ? 's' : ''}${products
    .map((name, at) => `${big}${two ? `<small>${at + 1}</small> ` : ''}${e(name)}</b>`)
    .join('')}${e(grade)}</div><div>Load in all${totals.byProduct
    .map((one) => `${big}${say.heavy(one.product_tons)} <small>${say.heavyUnit}</small></b>`)
    .join(
      '',
    )}${totals.byProduct.map((one) => `${say.mass(one.product_lb)} ${say.massUnit}`).join(' + ')}</div><div>Spread on<b>${say.area(spread_ac)} <small>${say.areaUnit}</small></b>of ${say.area(input.field.boundary_ac)} in the field</div><div>${fourth}</div></div>`;
}

const max = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b), 0);
const min = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b), Infinity);

/** What the operator looks at in the cab before the first run. */
function ticksOf({ say, products, input }: Page, prescription: Prescription): readonly Tick[] {
  const { pieces, totals } = prescription;
  const other = say.rateUnit === 'lb/ac' ? 'kg/ha' : 'lb/ac';
  const firsts = pieces.map(({ rate_lbPerAc }) => rate_lbPerAc).filter((rate) => rate > 0);
  const seconds = pieces.map(({ second_lbPerAc }) => second_lbPerAc).filter((rate) => rate > 0);
  const range = (rates: readonly number[]): string =>
    rates.length === 0
      ? 'none'
      : min(rates) === max(rates)
        ? say.rate(max(rates))
        : `${say.rate(min(rates))} and ${say.rate(max(rates))}`;
  const two = products.length > 1;
  const dense = productsOf(input.ratesSettings).every(({ density_lbPerFt3 }) => density_lbPerFt3 !== null);
  const first = input.handoff.prescriptions.indexOf(prescription) <= 0;
  const beyond = beyondOf(input).map(
    (one): Tick => ({
      text: first ? `${beyondWords(one, say)}: asked whether that is meant` : `${one.where}: set back to 0`,
      bold: true,
    }),
  );
  const words = [
    `Monitor shows ${say.rateUnit}, not ${other}`,
    two
      ? `Largest rates ${say.rate(max(firsts))} and ${say.rate(max(seconds))}, each on its own channel`
      : `Largest rate ${say.rate(max(firsts))}`,
    `Total ${totals.byProduct.map((one) => say.mass(one.product_lb)).join(' + ')} ${say.massUnit}`,
    `Density asked${dense ? ' again' : ''}, not assumed`,
    ...(firsts.length + seconds.length === 0
      ? []
      : [`Tray check done at ${two ? `${range(firsts)} (1), ${range(seconds)} (2)` : range(firsts)}`]),
    'Ground open: not frozen, snow-covered or soaked',
  ];
  return [...beyond, ...words.map((text) => ({ text }))];
}

const FLOORS = ({ input }: Page): string =>
  `Floors ${typed(input.ratesSettings.floor_ppm)} ppm and ${typed(input.ratesSettings.floor_pct)} % of CEC. Saturation targets are a practice; the reviews cited on the grower's page find no yield calibration for them.`;
const fineText = (page: Page, index: number, unlabelled: readonly string[]): string =>
  [
    'Denser lines: more product. White: 0. Dotted: withheld or left out. Black: keep out.',
    ...(page.input.handoff.cells ? [cellsWords(page)] : []),
    ...(page.say.rateUnit === 'kg/ha' ? ['Rates on the map are whole; the table has them as the files do.'] : []),
    ...(unlabelled.length > 0 ? [`No room on the map for ${unlabelled.join(', ')}: see the table.`] : []),
    FLOORS(page),
    ...filesWords(page, index),
  ].join(' ');
/** What squares and letters on a map of cells are. */
const cellsWords = ({ input }: Page): string =>
  `Squares: classes of rate. Grey letters: zones of the plan, whose cells take in what lies beside them.${
    input.rates.zones.some(({ withheld }) => withheld)
      ? ' A cell that reaches into dotted ground has its rate there too.'
      : ''
  }`;
const fineOf = (page: Page, index: number, unlabelled: readonly string[]): string =>
  `<p class="fine">${e(fineText(page, index, unlabelled))}</p>`;

/** Which files hold this pass, and in which columns. */
function filesWords({ input, sets, say }: Page, index: number): readonly string[] {
  const written = new Set(input.handoff.files.map(({ path }) => path));
  const names = taskNames(
    input.planName,
    input.handoff.prescriptions.map(({ pass }) => pass),
  );
  const { taskData } = input.handoff;
  const task = taskData ? [`Task data: ${taskData.path}, task "${names[index] ?? ''}".`] : [];
  const maps = sets
    .filter(({ numbers }) => numbers.includes(index))
    .map(({ base, channels, numbers }) => {
      const names = [`${base}.zip`, `${base}.geojson`].filter((name) => written.has(name));
      const own = channels.filter(({ pass }) => numbers[pass] === index);
      const columns = own.map(({ column, productName }) => (own.length > 1 ? `${column} (${productName})` : column));
      return `Files of this pass: ${names.length === 0 ? 'none to load as a map' : names.join(', ')}; column ${columns.join(' and ')}, ${say.rateUnit}.`;
    });
  return [...maps, ...task];
}

function signOf({ input, say }: Page): string {
  const { title, text } = proofWords(input.proof, say);
  const seal = title === 'PROVED' ? sealOf(input.when) : `<div class="not">NOT<br>PROVED</div>`;
  const unit = say.metric ? 'Kilograms' : 'Pounds';
  const lines = ['Spread by', 'Date', 'Ground', `${unit} loaded`, `${unit} left over`, 'Signed'];
  return `<div class="sign">${seal}<div><div class="lines">${lines.map((line) => `<span>${line}</span>`).join('')}</div><p class="fine">${e(text)}</p></div></div>`;
}
