import { toAcres } from '../../base/units.ts';
import { area_m2 } from '../../geo/area.ts';
import { contains } from '../../geo/contains.ts';
import { widestSpot } from '../../geo/spot.ts';
import type { LngLat, MultiPolygon, Polygon } from '../../geo/types.ts';
import { heldBy } from '../../rates/holding.ts';
import type { Prescription } from '../types.ts';
import { beyondOf, beyondWords } from './beyond-words.ts';
import type { Border } from './borders.ts';
import { type InFiles, inFilesOf, inFilesWords } from './in-files.ts';
import type { Measures } from './measures.ts';
import type { ZoneRow } from './rows.ts';
import type { SheetInput } from './types.ts';

/** One thing to be careful of; it has a number where it has a place. */
export interface Care {
  readonly title: string;
  readonly text: string;
  /** Where its number stands on the map; empty where it is about no single place. */
  readonly spots: readonly LngLat[];
  /** Ground that the number should stand on; null for any. */
  readonly on: MultiPolygon | null;
}

/** What a zone's own problems tell the person at the spreader, in few words; the others are for whoever makes the plan, on the later pages. */
const FOR_THE_CAB: Readonly<Record<string, readonly [string, string]>> = {
  'rates-frozen': ['frozen or snow-covered', 'Wait till the ground is open; flat ground under residue at most.'],
  'rates-slope': ['a slope', 'What lies on top may run off with the rain. Keep away from water.'],
  'rates-heavy-pass': ['a heavy pass', 'More in one pass than usual: look at the rate twice.'],
  'rates-very-heavy-pass': ['a very heavy pass', 'Far more in one pass than usual: ask before it goes on.'],
  'rates-far-part': ['far from samples', 'Part of it is far from any sample and gets the rate of the zone.'],
  'rates-override-range': ["outside the machine's range", 'Ask how the rate can be put on before starting.'],
  'rates-tetany': ['grass tetany', 'Forage rich in K is a risk to livestock: tell whoever grazes or cuts it.'],
};
/** Parts of the keep-outs that get a number of their own on the map. */
const MOST_PARTS = 8;

/**
 * What the applicator minds in one pass, the weightiest first: rates above 0 beyond the records, withheld ground, keep-outs and setbacks, ground left out, zones at 0, rates typed by
 * hand, the greatest step at a border, what is split between passes, and what the zones' own cautions say of the ground. Where records are cells it
 * names the place, and the rates that the files hold there: what the zone asks is not what lies on its borders.
 */
export function caresOf(
  input: SheetInput,
  prescription: Prescription,
  rows: readonly ZoneRow[],
  borders: readonly Border[],
  say: Measures,
): readonly Care[] {
  const cells = input.handoff.cells !== null;
  const found = (row: ZoneRow, pass = prescription): InFiles | null => (cells ? inFilesOf(pass, row.zone) : null);
  return [
    ...beyond(input, prescription, say),
    ...withheld(rows, say, found),
    ...keepOuts(input, say),
    ...leftOut(rows, say),
    ...nothing(rows, say, found),
    ...byHand(rows, say, found),
    ...(input.handoff.cells ? [] : greatestStep(rows, borders, say)),
    ...split(input, prescription, rows, say, found),
    ...ownCautions(rows),
  ];
}

const zoneCare = ({ zone }: ZoneRow, title: string, text: string): Care => ({
  title,
  text,
  spots: zone.polygons.length > 0 ? [zone.spot] : [],
  on: zone.polygons,
});

/** What the files hold on a zone's ground, where records are cells. */
type Found = (row: ZoneRow, pass?: Prescription) => InFiles | null;

/** Rates beyond the records go with the first pass alone; that the controller is set back by every other stands with what is ticked off. */
function beyond(input: SheetInput, prescription: Prescription, say: Measures): Care[] {
  const passes = input.handoff.prescriptions;
  if (passes.indexOf(prescription) > 0) return [];
  return beyondOf(input).map((one) => ({
    title: beyondWords(one, say),
    text: `Spread on ${one.ground}${passes.length > 1 ? ', in this pass alone' : ''}. Ask whether that is meant.`,
    spots: [],
    on: null,
  }));
}

const withheld = (rows: readonly ZoneRow[], say: Measures, found: Found): Care[] =>
  rows.flatMap((row) => {
    if (!row.given.withheld) return [];
    const some = found(row);
    const file =
      some && some.most_lbPerAc > 0
        ? `the files say ${inFilesWords(some, say)}, above 0 where a cell reaches over its border`
        : 'the file says 0';
    return [
      zoneCare(
        row,
        `Zone ${row.zone.letter}: rate withheld`,
        `${say.area(row.acres)} ${say.areaUnit}, ${file}. ${row.given.withheld.message}`,
      ),
    ];
  });

function keepOuts({ field }: SheetInput, say: Measures): Care[] {
  const { keepOut, setbacks } = field;
  const own = largest(keepOut)
    .map((part) => widestSpot([part]))
    .filter((spot) => !setbacks.some(({ polygons }) => contains(polygons, spot)));
  const cares: Care[] = [];
  const holes = largest(holesOf(field.boundary));
  if (holes.length > 0) {
    const acres = toAcres(area_m2(holesOf(field.boundary)));
    cares.push({
      title: holes.length === 1 ? 'Hole in the field' : `Holes in the field, ${holes.length} places`,
      text: `Do not spread. ${say.area(acres)} ${say.areaUnit} inside the boundary, not in the file.`,
      spots: holes.map((part) => widestSpot([part])),
      on: null,
    });
  }
  if (own.length > 0)
    cares.push({
      title: own.length === 1 ? 'Keep-out' : `Keep-outs, ${own.length} places`,
      text: `Do not spread. ${say.area(field.keepOut_ac)} ${say.areaUnit}${setbacks.length > 0 ? ' with the setbacks' : ''}, not in the file.`,
      spots: own,
      on: null,
    });
  for (const { name, distance_m, acres, polygons } of setbacks) {
    const [part] = largest(polygons);
    // One that does not reach the field is told on the next page, with the ground not to spread on.
    if (part)
      cares.push({
        title: `Setback: ${name}`,
        text: `Keep ${say.length(distance_m)} off. ${say.area(acres)} ${say.areaUnit}, not in the file.`,
        spots: [widestSpot([part])],
        on: null,
      });
  }
  return cares;
}

/** The ground in the holes of the boundary: no part of the field, and driven around. */
export const holesOf = (boundary: MultiPolygon): MultiPolygon =>
  boundary.flatMap((part) => part.slice(1).map((ring): Polygon => [[...ring].reverse()]));

const largest = (polygons: MultiPolygon): readonly Polygon[] =>
  polygons
    .map((part) => [part, area_m2([part])] as const)
    .sort((a, b) => b[1] - a[1])
    .slice(0, MOST_PARTS)
    .map(([part]) => part);

const leftOut = (rows: readonly ZoneRow[], say: Measures): Care[] =>
  rows
    .filter(({ rates_lbPerAc }) => rates_lbPerAc === null)
    .map((row) =>
      zoneCare(
        row,
        `Zone ${row.zone.letter} is left out`,
        `${say.area(row.acres)} ${say.areaUnit}, ${row.why}. Not in the file: do not spread.`,
      ),
    );

/** Zones at 0, those for the same reason together. */
function nothing(rows: readonly ZoneRow[], say: Measures, found: Found): Care[] {
  const reached: { readonly row: ZoneRow; readonly some: InFiles }[] = [];
  const groups = new Map<string, ZoneRow[]>();
  for (const row of rows) {
    if (!row.rates_lbPerAc || row.rate_lbPerAc > 0 || row.given.withheld) continue;
    const some = found(row);
    if (some && some.most_lbPerAc > 0) {
      reached.push({ row, some });
      continue;
    }
    const later = row.given.passes.some((pass) => pass.rate_lbPerAc > 0);
    const why = later ? 'Nothing in this pass. Gate off.' : `${capital(row.why)}. Gate off.`;
    groups.set(why, [...(groups.get(why) ?? []), row]);
  }
  const all = [...groups].map(([why, of]): Care => {
    const letters = of.map(({ zone }) => zone.letter);
    const one = letters.length === 1;
    return {
      title: `Zone${one ? '' : 's'} ${spoken(letters)} get${one ? 's' : ''} nothing`,
      text: why,
      spots: of.map(({ zone }) => zone.spot),
      on: of.flatMap(({ zone }) => zone.polygons),
    };
  });
  return [...all, ...reachedInto(reached, say)];
}

/** Zones that ask for nothing and that cells of their neighbours reach into. */
function reachedInto(reached: readonly { readonly row: ZoneRow; readonly some: InFiles }[], say: Measures): Care[] {
  if (reached.length === 0) return [];
  const one = reached.length === 1;
  const span = {
    least_lbPerAc: reached.reduce((least, { some }) => Math.min(least, some.least_lbPerAc), Infinity),
    most_lbPerAc: reached.reduce((most, { some }) => Math.max(most, some.most_lbPerAc), 0),
  };
  return [
    {
      title: `Zone${one ? '' : 's'} ${spoken(reached.map(({ row }) => row.zone.letter))} ask${one ? 's' : ''} for nothing`,
      text: `In the files ${inFilesWords(span, say)} there: cells reach over ${one ? 'its border' : 'their borders'}.`,
      spots: reached.map(({ row }) => row.zone.spot),
      on: reached.flatMap(({ row }) => row.zone.polygons),
    },
  ];
}

const byHand = (rows: readonly ZoneRow[], say: Measures, found: Found): Care[] =>
  rows.flatMap((row) => {
    const { override } = row.given;
    if (!override || row.rates_lbPerAc === null) return [];
    const by = [override.who, override.when].filter((part) => part !== '').join(', ');
    const some = found(row);
    const file = some ? ` In the files ${inFilesWords(some, say)} there.` : '';
    return [
      zoneCare(
        row,
        `Zone ${row.zone.letter} was typed by hand`,
        `${say.rate(override.rate_lbPerAc)} ${say.rateUnit}${by === '' ? '' : `, ${by}`}: ${override.why}${file === '' || /[.!?]$/.test(override.why) ? '' : '.'}${file}`,
      ),
    ];
  });

function greatestStep(rows: readonly ZoneRow[], borders: readonly Border[], say: Measures): Care[] {
  let most = 0;
  let found: Care[] = [];
  for (const { a, b, at } of borders) {
    const [one, two] = [rows[a], rows[b]];
    if (!one?.rates_lbPerAc || !two?.rates_lbPerAc) continue;
    const step = Math.abs(one.rate_lbPerAc - two.rate_lbPerAc);
    if (step <= most) continue;
    most = step;
    const [high, low] = one.rate_lbPerAc > two.rate_lbPerAc ? [one, two] : [two, one];
    found = [
      {
        title: `Step ${say.wholeRate(high.rate_lbPerAc)} to ${say.wholeRate(low.rate_lbPerAc)}`,
        text: `At the border of ${high.zone.letter} and ${low.zone.letter}, the greatest in the field: slow down.`,
        spots: [at],
        on: null,
      },
    ];
  }
  return found;
}

function split(
  { ratesSettings, handoff }: SheetInput,
  { pass }: Prescription,
  rows: readonly ZoneRow[],
  say: Measures,
  found: Found,
): Care[] {
  return rows.flatMap((row) => {
    const others = row.given.passes.filter(({ name, rate_lbPerAc }) => name !== pass && rate_lbPerAc > 0);
    const own = row.given.passes.find(({ name }) => name === pass);
    if (others.length === 0 || !own || own.rate_lbPerAc === 0 || row.rates_lbPerAc === null) return [];
    const light = heldBy(row.given.reading.cec_meq, row.given.history, ratesSettings.holding).light;
    const here = found(row);
    if (here) {
      const there = others.flatMap(({ name }) => {
        const of = handoff.prescriptions.find((one) => one.pass === name);
        const some = of && found(row, of);
        return some ? [`${inFilesWords(some, say)} ${name}`] : [];
      });
      return [
        zoneCare(
          row,
          light ? `Light ground, zone ${row.zone.letter}` : `Split between passes, zone ${row.zone.letter}`,
          `In the files ${inFilesWords(here, say)} there in this pass; the other pass: ${there.join(', ') || 'none'}.`,
        ),
      ];
    }
    const rest = others.map(({ name, rate_lbPerAc }) => `${say.wholeRate(rate_lbPerAc)} ${name}`).join(', ');
    return [
      zoneCare(
        row,
        light ? `Zone ${row.zone.letter} is light ground` : `Zone ${row.zone.letter} is split`,
        `This pass ${say.wholeRate(own.rate_lbPerAc)} ${say.rateUnit}; the other pass: ${rest}.`,
      ),
    ];
  });
}

const ownCautions = (rows: readonly ZoneRow[]): Care[] =>
  rows.flatMap((row) =>
    row.given.problems.flatMap(({ code }) => {
      const words = FOR_THE_CAB[code];
      return words && row.rate_lbPerAc > 0 ? [zoneCare(row, `Zone ${row.zone.letter}: ${words[0]}`, words[1])] : [];
    }),
  );

const spoken = (words: readonly string[]): string =>
  words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

export const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);
