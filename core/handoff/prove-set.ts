import { KG_PER_LB, M2_PER_ACRE } from '../base/units.ts';
import { AREA_TOLERANCE } from './checks-ground.ts';
import { NOWHERE, type Places, recordsAt } from './points.kernel.ts';
import { NEAR, OUTSIDE } from './points.ts';
import type { Found } from './prove-read.ts';
import type { Manifest, ManifestChannel, ManifestSet, ProofLine } from './types.ts';

/** lb/ac of one unit of the file. */
export const perUnit_lbPerAc = (unit: Manifest['rateUnit']): number =>
  unit === 'kg/ha' ? M2_PER_ACRE / 10_000 / KG_PER_LB : 1;

/** The product that a channel's column comes to over a file's own acres, lb; NaN where a rate is missing. */
export const poundsOf = ({ rates, acres }: Found, channel: number, unit: Manifest['rateUnit']): number =>
  acres.reduce((sum, ac, i) => sum + ac * (rates[channel]?.[i] ?? Number.NaN), 0) * perUnit_lbPerAc(unit);

/** Last digit of the ACRES column. */
const TOLD_ACRES = 0.5e-6;

/** A file of a set against its manifest: records, acres in all and one by one, pounds of each column, and the words in it. */
export function compareSet(file: string, set: ManifestSet, found: Found, unit: Manifest['rateUnit']): ProofLine[] {
  const acres = found.acres.reduce((sum, one) => sum + one, 0);
  const off = found.acres.reduce((most, one, i) => {
    const apart = Math.abs(one - (found.toldAcres[i] ?? Number.NaN)) - one * AREA_TOLERANCE;
    return apart > most || Number.isNaN(apart) ? apart : most;
  }, 0);
  const line = (what: string, planned: string, read: string, holds: boolean): ProofLine => ({
    file,
    what,
    planned,
    found: read,
    holds,
  });
  const { records } = set;
  return [
    line('records', `${records}`, `${found.polygons.length}`, found.polygons.length === records),
    line('acres', set.acres.toFixed(4), acres.toFixed(4), Math.abs(acres - set.acres) <= AREA_TOLERANCE * set.acres),
    line(
      'acres, record by record',
      'as drawn',
      off <= TOLD_ACRES ? 'as drawn' : `${off.toFixed(6)} ac apart`,
      off <= TOLD_ACRES,
    ),
    ...set.channels.map((channel, i) => {
      const pounds = poundsOf(found, i, unit);
      // The column is rounded to its last decimal: each acre may be off by half of it.
      const half = (0.5 / 10 ** channel.decimals) * perUnit_lbPerAc(unit);
      const near = half * set.acres + AREA_TOLERANCE * channel.planned_lb;
      const holds = Math.abs(pounds - channel.planned_lb) <= near;
      return line(what(set, channel, 'pounds'), channel.planned_lb.toFixed(1), pounds.toFixed(1), holds);
    }),
    ...set.figures.map(({ column, property, planned }, i) => {
      const sum = found.acres.reduce((all, ac, record) => {
        const value = found.figures[i]?.[record] ?? Number.NaN;
        return all + (Number.isNaN(value) ? 0 : ac * value);
      }, 0);
      const holds = Math.abs(sum - planned) <= AREA_TOLERANCE * Math.abs(planned) + 0.001;
      const name = file.endsWith('.geojson') ? property : column;
      return line(`${name} over the acres`, planned.toFixed(1), sum.toFixed(1), holds);
    }),
    wordsLine(file, set, found, unit),
    line('remarks on reading', 'none', found.troubles[0] ?? 'none', found.troubles.length === 0),
  ];
}

/** `pounds` of a set's only column, else with the column's name. */
const what = ({ channels }: ManifestSet, { column }: ManifestChannel, word: string): string =>
  channels.length > 1 ? `${word} of ${column}` : word;

function wordsLine(file: string, set: ManifestSet, found: Found, unit: Manifest['rateUnit']): ProofLine {
  const asked = [unit, ...set.channels.flatMap(({ product, pass }) => [product, pass])];
  const read = [found.units, ...set.channels.flatMap((_, i) => [found.products[i] ?? [], found.passes[i] ?? []])];
  const holds = read.every((texts, i) => texts.length === 1 && sameText(asked[i] ?? '', texts[0] ?? ''));
  return {
    file,
    what: 'unit, product and pass',
    planned: [...new Set(asked)].join(', '),
    found: [...new Set(read.flat())].join(', '),
    holds,
  };
}

/** A table's column may have cut a long name. */
const LEAST_OF_CUT = 20;
const sameText = (asked: string, found: string): boolean =>
  asked.trim() === found || (found.length >= LEAST_OF_CUT && asked.startsWith(found));

/** What comparing a file's rates at the points came to. */
export interface AtPoints {
  readonly line: ProofLine;
  readonly compared: number;
  /** NaN where the file has no rate, or several, at a point where the plan has one, or one where it has none. */
  readonly greatest: number;
}

/** Rates are compared as they are written: to the last decimal. */
const SAME_RATE = 1e-6;

/** A file's rates against the plan's at the manifest's points; each column at each point that no border is too near to. */
export function compareAtPoints(file: string, set: ManifestSet, found: Found, places: Places): AtPoints {
  const at = recordsAt(places, found.polygons);
  let compared = 0;
  let greatest = 0;
  let wrong = 0;
  set.channels.forEach(({ atPoints }, channel) => {
    const planned = (atPoints ?? '').split(' ');
    if (planned.length !== at.length) greatest = Number.NaN;
    planned.forEach((text, i) => {
      if (text === NEAR) return;
      const record = at[i] ?? NOWHERE;
      const rate = found.rates[channel]?.[record] ?? Number.NaN;
      const off = text === OUTSIDE ? (record === NOWHERE ? 0 : Number.NaN) : Math.abs(rate - Number(text));
      compared++;
      if (!(off <= SAME_RATE)) wrong++;
      if (off > greatest || Number.isNaN(off)) greatest = Number.isNaN(greatest) ? greatest : off;
    });
  });
  const holds = wrong === 0 && compared > 0 && greatest <= SAME_RATE;
  return {
    line: {
      file,
      what: 'rates at points',
      planned: `${compared} compared`,
      found: holds ? 'all the same' : `${wrong} differ`,
      holds,
    },
    compared,
    greatest,
  };
}
