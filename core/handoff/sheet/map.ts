import { area_m2 } from '../../geo/area.ts';
import { contains } from '../../geo/contains.ts';
import { widestSpot } from '../../geo/spot.ts';
import type { LngLat, MultiPolygon } from '../../geo/types.ts';
import type { Prescription } from '../types.ts';
import { apartNumbers, type Border } from './borders.ts';
import { type Care, holesOf } from './care.ts';
import type { RateClass } from './classes.ts';
import { dots, hatch, inside, type Plot, type Px, pathOf, plotOf, type Rings, tenth, WAYS_DEG } from './draw.ts';
import { escapeHtml } from './escape.ts';
import { type Box, type Placed, placeLabels, placeMark, Taken, type Wanted } from './labels.ts';
import { bottomOf } from './map-foot.ts';
import type { Measures } from './measures.ts';
import type { ZoneRow } from './rows.ts';
import type { SheetInput } from './types.ts';

/** What one map shows. */
export interface MapInput {
  readonly input: SheetInput;
  readonly prescription: Prescription;
  readonly rows: readonly ZoneRow[];
  readonly borders: readonly Border[];
  /** Classes of cells; null where zones are written as they lie. */
  readonly classes: readonly RateClass[] | null;
  readonly cares: readonly Care[];
  /** Largest rate over all passes, so that a density means the same on each. */
  readonly most_lbPerAc: number;
  readonly say: Measures;
  readonly width_px: number;
  readonly height_px: number;
}

/** The drawing, and what found no room on it. */
export interface MapOut {
  readonly svg: string;
  /** Letters of the zones whose rate stands in the table alone. */
  readonly unlabelled: readonly string[];
}

/** Least and widest room between two lines. */
const DENSE_PX = 4.4;
const SPARSE_PX = 30;
/** Under this part of the largest rate lines would stand too far apart to be seen, so the room between them grows slower. */
const THIN_SHARE = 0.25;
/** Room between lines for a rate: the more product, the denser, over the whole range. */
export function gapOf(rate_lbPerAc: number, most_lbPerAc: number): number {
  const share = rate_lbPerAc / most_lbPerAc;
  if (share >= THIN_SHARE) return tenth(DENSE_PX / share);
  const thin_px = DENSE_PX / THIN_SHARE;
  return tenth(SPARSE_PX - (SPARSE_PX - thin_px) * (share / THIN_SHARE));
}

const MARK_PX = 19;
/** A way to write a label: size of the rate's type, of the disc, height of a box, whether the rates of two products stand one above the other, or there are none. */
interface Way {
  readonly type: number;
  readonly disc: number;
  readonly height: number;
  readonly stacked: boolean;
  readonly bare: boolean;
}
const way = (type: number, disc: number, height: number, bare = false): Way => ({
  type,
  disc,
  height,
  stacked: false,
  bare,
});
/** From the largest to the smallest. */
const ONE: readonly Way[] = [way(24, 24, 32), way(19, 20, 25), way(15, 16, 19), way(12, 14, 16)];
const TWO: readonly Way[] = ONE.flatMap((one) => [one, { ...one, stacked: true }]);
/** At the end of a leader line. */
/** A class of cells: its number with its range, else the number alone. */
const CLASS: readonly Way[] = [way(15, 20, 20), way(12, 17, 17), way(12, 22, 22, true), way(12, 17, 17, true)];
const LED = { one: 2, two: 5, class: 3 } as const;

/** The map of one pass: rates in the largest type, more product as denser lines. Vector alone: no picture, no pattern, so that any printer keeps the lines. */
export function mapOf(of: MapInput): MapOut {
  const { input, rows, classes, cares, say } = of;
  const plot = plotOf(input.field.boundary, of.width_px, of.height_px, { top: 16, side: 22, bottom: 52 });
  const field = plot.rings(input.field.boundary);
  const taken = new Taken(plot);
  const foot = bottomOf(plot, say, input.handoff.cells?.heading_deg ?? null);
  for (const box of foot.boxes) taken.add(box);

  const wanted = classes ? classLabels(classes, plot, say) : rateLabels(rows, plot, say);
  const solid = plot.rings([...input.field.keepOut, ...holesOf(input.field.boundary)]);
  const placed = placeLabels(
    wanted.map(({ want }) => want),
    field,
    solid,
    plot,
    taken,
  );
  const words = new Map(wanted.map((one) => [one.want.key, one]));
  const labels = placed.map((one) =>
    label(one, words.get(one.key) ?? { letter: '', rates: [], ways: [], square: false }),
  );
  const marks = cares.flatMap(({ spots, on }, index) =>
    spots.map((spot) => mark(index + 1, plot.at(spot), on === null ? null : plot.rings(on), taken)),
  );

  const letters = classes ? rows.flatMap((row) => zoneLetter(row, plot, taken)) : [];
  const shown = new Set(placed.map(({ key }) => words.get(key)?.letter));
  return {
    unlabelled: classes ? [] : rows.map(({ zone }) => zone.letter).filter((letter) => !shown.has(letter)),
    svg: [
      `<svg class="map" width="${of.width_px}" height="${of.height_px}" viewBox="0 0 ${of.width_px} ${of.height_px}" role="img" aria-label="${escapeHtml(`Map of rates, ${say.rateUnit}`)}">`,
      ...(classes ? classGround(classes, of.most_lbPerAc, plot) : zoneGround(of, plot)),
      ...outsideFiles(of, plot),
      `<path d="${pathOf(solid)}" fill="#000" fill-rule="evenodd" stroke="#fff" stroke-width="1" class="keep-out"/>`,
      `<path d="${pathOf(field)}" fill="none" stroke="#000" stroke-width="2.6" stroke-linejoin="round"/>`,
      ...placed.flatMap(leader),
      ...marks.flatMap((one) => one.line),
      ...letters,
      ...labels,
      ...marks.map((one) => one.disc),
      foot.svg,
      '</svg>',
    ].join(''),
  };
}

function zoneGround({ rows, borders, most_lbPerAc }: MapInput, plot: Plot): string[] {
  const ways = apartNumbers(rows.length, borders);
  const areas = rows.map((row) => plot.rings(row.zone.polygons));
  const lines = rows.map((row, index) => {
    const rings = areas[index] ?? [];
    if (row.rates_lbPerAc === null || row.given.withheld || row.rate_lbPerAc <= 0) return '';
    return linesOver(rings, row.rate_lbPerAc, most_lbPerAc, ways[index] ?? 0);
  });
  const edges = areas.map(pathOf).join('');
  return [
    ...lines,
    `<path d="${edges}" fill="none" stroke="#fff" stroke-width="4.4" stroke-linejoin="round"/>`,
    `<path d="${edges}" fill="none" stroke="#000" stroke-width="1.6" stroke-linejoin="round"/>`,
  ];
}

const linesOver = (rings: Rings, rate: number, most: number, way: number): string =>
  `<path d="${hatch(rings, gapOf(rate, most), WAYS_DEG[way % WAYS_DEG.length] ?? 45)}" fill="none" stroke="#000" stroke-width=".75"/>`;

/** Lines of each class, and edges between classes alone: those of cells would turn lines into a grid. */
function classGround(classes: readonly RateClass[], most_lbPerAc: number, plot: Plot): string[] {
  const areas = classes.map(({ ground }) => plot.rings(ground));
  const lines = classes.map((one, index) => {
    const mean = (one.from_lbPerAc + one.to_lbPerAc) / 2;
    return mean > 0 ? linesOver(areas[index] ?? [], mean, most_lbPerAc, one.way) : '';
  });
  const edges = areas.map(pathOf).join('');
  return [
    ...lines,
    `<path d="${edges}" fill="none" stroke="#fff" stroke-width="3" stroke-linejoin="round"/>`,
    `<path d="${edges}" fill="none" stroke="#000" stroke-width="1.1" stroke-linejoin="round" class="class-edges"/>`,
  ];
}

/** Ground that is withheld, or in no file by its role: dotted on white. */
function outsideFiles({ rows }: MapInput, plot: Plot): string[] {
  return rows
    .filter(({ rates_lbPerAc, given }) => rates_lbPerAc === null || given.withheld)
    .map(({ zone }) => {
      const rings = plot.rings(zone.polygons);
      const d = pathOf(rings);
      return `<path d="${d}" fill="#fff" fill-rule="evenodd" stroke="#000" stroke-width="1.6"/><path d="${dots(rings, 6)}" fill="none" stroke="#000" stroke-width="1.9" stroke-linecap="round"/>`;
    });
}

interface LabelWords {
  readonly want: Wanted;
  readonly letter: string;
  /** One a product; empty for a letter alone. */
  readonly rates: readonly string[];
  readonly ways: readonly Way[];
  /** A class of cells has a square, a zone a disc. */
  readonly square: boolean;
}

function rateLabels(rows: readonly ZoneRow[], plot: Plot, say: Measures): LabelWords[] {
  return rows.flatMap(({ zone, given, rates_lbPerAc }) => {
    const rates =
      rates_lbPerAc === null ? ['out'] : given.withheld ? ['0'] : rates_lbPerAc.map((one) => say.wholeRate(one));
    const ways = rates.length > 1 ? TWO : ONE;
    return [zone.spot, ...zone.otherSpots].flatMap((spot, index) => {
      const part = partAt(zone.polygons, spot);
      if (!part) return [];
      const want = {
        key: `${zone.key} ${index}`,
        rings: plot.rings(part),
        spot: plot.at(spot),
        sizes: ways.map((one) => sizeOf(rates, one)),
        // A further part without room has its letter's label on the first.
        led: index > 0 ? null : rates.length > 1 ? LED.two : LED.one,
      };
      return [{ want, letter: zone.letter, rates, ways, square: false }];
    });
  });
}

/** Parts of a class that bear its number, the largest first, as far as they are more than this part of the ground. Ours. */
const MOST_NAMED = 5;
const NAMED_SHARE = 0.004;

/** A class's number, with its range where there is room, on its largest parts. */
function classLabels(classes: readonly RateClass[], plot: Plot, say: Measures): LabelWords[] {
  const parts = classes.map(({ ground }) =>
    ground.map((part) => ({ part, m2: area_m2([part]) })).sort((a, b) => b.m2 - a.m2),
  );
  const all_m2 = parts.flat().reduce((sum, { m2 }) => sum + m2, 0);
  return classes.flatMap(({ number, from_lbPerAc: from, to_lbPerAc: to }, index) => {
    const [low, high] = [say.wholeRate(from), say.wholeRate(to)];
    const rates = [low === high ? low : `${low}–${high}`];
    return (parts[index] ?? [])
      .filter(({ m2 }, at) => at === 0 || (at < MOST_NAMED && m2 > NAMED_SHARE * all_m2))
      .map(({ part }, at): LabelWords => {
        const want = {
          key: `class ${number} ${at}`,
          rings: plot.rings([part]),
          spot: plot.at(widestSpot([part])),
          sizes: CLASS.map((one) => sizeOf(rates, one)),
          led: at === 0 ? LED.class : null,
        };
        return { want, letter: String(number), rates, ways: CLASS, square: true };
      });
  });
}

const LETTER_PX = 16;

/** A zone's letter, lightly, where its ground has room beside what the files say of it. */
function zoneLetter({ zone }: ZoneRow, plot: Plot, taken: Taken): string[] {
  if (zone.polygons.length === 0) return [];
  const box = placeMark(plot.at(zone.spot), LETTER_PX, plot.rings(zone.polygons), taken);
  if (!box) return [];
  return [
    `<text class="zone-letter" x="${box.x}" y="${tenth(box.y + 4.6)}" text-anchor="middle" font-size="13" font-style="italic" fill="#555" stroke="#fff" stroke-width="4" stroke-linejoin="round" paint-order="stroke">${escapeHtml(zone.letter)}</text>`,
  ];
}

const partAt = (polygons: MultiPolygon, spot: LngLat): MultiPolygon | null => {
  const part = polygons.find((one) => contains([one], spot));
  return part ? [part] : null;
};

/** By a wide figure of a bold sans serif, 0.66 em, so that no system's font runs over the box. */
const rateWidth = (rate: string, { type }: Way): number => tenth(rate.length * type * 0.66 + type * 0.5);
const written = (rates: readonly string[], { stacked }: Way): readonly string[] =>
  stacked ? rates : [rates.join(' + ')];

function sizeOf(rates: readonly string[], one: Way): { width: number; height: number } {
  if (one.bare) return { width: one.disc, height: one.disc };
  const lines = written(rates, one);
  const width = lines.reduce((most, line) => Math.max(most, rateWidth(line, one)), 0);
  return { width: tenth(one.disc + 3 + width), height: one.height * lines.length };
}

function label({ size, box }: Placed, { letter, rates, ways, square }: Omit<LabelWords, 'want'>): string {
  const one = ways[size] ?? way(24, 24, 32);
  const { type, disc } = one;
  const left = box.x - box.width / 2;
  const [x, r] = [tenth(left + disc / 2), disc / 2 - 0.7];
  const frame = square
    ? `<rect x="${tenth(x - r)}" y="${tenth(box.y - r)}" width="${tenth(2 * r)}" height="${tenth(2 * r)}" fill="#fff" stroke="#000" stroke-width="1.4"/>`
    : `<circle cx="${x}" cy="${box.y}" r="${r}" fill="#fff" stroke="#000" stroke-width="1.4"/>`;
  const circle = `${frame}${textAt(x, box.y, letter, letter.length > 1 ? disc * 0.42 : disc * 0.54)}`;
  if (one.bare) return `<g class="rate">${circle}</g>`;
  const lines = written(rates, one);
  const width = box.width - disc - 3;
  const from = tenth(left + disc + 3);
  const boxes = lines.map((line, index) => {
    const top = box.y - box.height / 2 + index * one.height;
    return `<rect x="${from}" y="${tenth(top)}" width="${tenth(width)}" height="${one.height}" fill="#fff" stroke="#000" stroke-width="1.4"/>${textAt(from + width / 2, top + one.height / 2, line, type)}`;
  });
  return `<g class="rate">${circle}${boxes.join('')}</g>`;
}

const textAt = (x: number, y: number, words: string, size_px: number, fill = '#000'): string =>
  `<text x="${tenth(x)}" y="${tenth(y + size_px * 0.355)}" text-anchor="middle" font-size="${tenth(size_px)}" font-weight="600" fill="${fill}">${escapeHtml(words)}</text>`;

function leader({ box, leader: to }: Placed): string[] {
  if (!to) return [];
  const [x, y] = edgeTowards(box, to);
  const line = `M${x} ${y}L${to[0]} ${to[1]}`;
  return [
    `<path d="${line}" stroke="#fff" stroke-width="4" fill="none"/><path d="${line}" stroke="#000" stroke-width="1.2" fill="none"/><circle cx="${to[0]}" cy="${to[1]}" r="3.2" stroke="#fff" stroke-width="1.2"/>`,
  ];
}

/** Where a line from a box's middle to a place leaves the box. */
function edgeTowards({ x, y, width, height }: Box, [toX, toY]: Px): Px {
  const [dx, dy] = [toX - x, toY - y];
  const share = Math.min(1, Math.min(width / 2 / Math.abs(dx || 1e-9), height / 2 / Math.abs(dy || 1e-9)));
  return [tenth(x + dx * share), tenth(y + dy * share)];
}

function mark(number: number, spot: Px, on: Rings | null, taken: Taken): { line: string[]; disc: string } {
  const ground = on && inside(on, spot) ? on : null;
  const box = placeMark(spot, MARK_PX, ground, taken);
  if (!box) return { line: [], disc: '' };
  const far = Math.hypot(box.x - spot[0], box.y - spot[1]) > 14 && ground === null;
  const line = `M${box.x} ${box.y}L${spot[0]} ${spot[1]}`;
  return {
    line: far
      ? [
          `<path d="${line}" stroke="#fff" stroke-width="4" fill="none"/><path d="${line}" stroke="#000" stroke-width="1.2" fill="none"/>`,
        ]
      : [],
    disc: `<g class="mark"><circle cx="${box.x}" cy="${box.y}" r="8.5" fill="#000" stroke="#fff" stroke-width="2"/>${textAt(box.x, box.y, String(number), number > 9 ? 10 : 11, '#fff')}</g>`,
  };
}
