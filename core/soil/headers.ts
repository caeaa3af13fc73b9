import { type ToldUnit, unitOfWords } from '../base/parse-value.ts';
import { type LengthUnit, lengthOfWords } from './depth.ts';
import { type Entry, WORDS } from './header-words.ts';
import { type HeadingDepth, headingParts } from './heading-parts.ts';
import { plainUnits, splitUnit } from './heading-units.ts';
import { type ColumnRole, QUANTITIES } from './settings.ts';

/** What a header alone says of its column. */
export interface HeaderReading {
  readonly role: ColumnRole;
  /** Unit that the header names, or null. */
  readonly unit: ToldUnit | LengthUnit | null;
  /** The figure counts the oxide: K2O, CaO, MgO, Na2O. */
  readonly oxide?: true;
  /** How plainly it says so: 0 is plainest. Orders columns that claim one role. */
  readonly rank: number;
  /** Present where the words themselves need a person's word. */
  readonly doubt?: string;
  /** Present where the header says why the column is not used. */
  readonly why?: string;
  /** Depth that the heading names. */
  readonly depth?: HeadingDepth;
  /** Year of the test that the heading names. */
  readonly year?: number;
  /** Present on an unused column that starts like K: the words that were not understood. */
  readonly notUnderstood?: string;
  /** The name is an abbreviation that only a unit makes plain: `STK`. */
  readonly abbreviated?: true;
}

/** Words that only say how or where a value was found. */
const QUALIFIERS = new Set(
  'm3 mehlich mehlich3 mehlichiii iii aa nh4oac ammonium acetate exch exchangeable ex extr ext extractable extracted avail available cations kationen soil test result results value val wert lab conc concentration austauschbar austauschbares pflanzenverfugbar pflanzenverfugbares'.split(
    ' ',
  ),
);
/** Words that make it something other than a measured value. */
const NOT_A_VALUE = new Set(
  'rec recs recommended recommendation recommendations rate rating requirement req need removal uptake applied index idx ratio class code target goal critical crit optimum deficit surplus lbsneeded cost credit trend comment comments'.split(
    ' ',
  ),
);
/** Extractions and instruments that may stand beside a cation, K, Ca, Mg or Na, and change nothing of what the column is. */
const METHODS =
  /\b(olsen|bray[ -]?(?:p-?)?[12]?|morgan|modified|kelowna|mehlich[ -]?[12]|m-?1|m-?2|double acid|dtpa|edta|h3a(?:-\d)?|haney|cal|dl|cacl2|bacl2|nh4ac|nh4-ac|naoac|amac|am ac|icp(?:-(?:oes|aes|ms))?|aas|aes|oes|flame|by|dry|basis|dm|ts|boden|soil|im)(?![a-z0-9])/g;
/** What a soil test of plant-available cations is not. */
const OTHER_MATTER: readonly (readonly [RegExp, string])[] = [
  [/\b(plant|tissue|leaf|leaves|petiole|grain|forage|crop|blatt|pflanze)\b/, 'it counts what is in the plant'],
  [/\b(manure|compost|slurry|gulle|mist|litter)\b/, 'it counts what is in the manure'],
  [/\b(irrigation|well water|groundwater)\b/, 'it counts what is in the water'],
  [
    /\b(water[ -]?soluble|h2o|soluble|solution|paste|wasserloslich)\b/,
    'it counts what water alone dissolves, not what a soil test extracts',
  ],
  [
    /\b(total|gesamt|hno3|aqua regia|nonexchangeable|non-exchangeable|reserve|fixed|slowly)\b/,
    'it counts more than a soil test extracts',
  ],
];
const SATURATED = {
  k: 'kSat',
  ca: 'caSat',
  mg: 'mgSat',
  na: 'naSat',
  h: 'hSat',
} as const satisfies Partial<Record<ColumnRole, ColumnRole>>;

const ELEMENT_WITH_TAIL =
  /^(k|ca|mg|na|h|potassium|calcium|magnesium|sodium|kalium|natrium|cec|om|depth|acidity)(ppm|mgkg|mgl|lbac|lbsac|lba|meq|pct|cm|in)$/;
const ELEMENT_SATURATED =
  /^(k|ca|mg|na|h|potassium|calcium|magnesium|sodium|kalium|natrium|hydrogen)(sat|saturation|basesat|basesaturation|bs)$/;
const RATIO =
  /\b(k|ca|mg|na|potassium|calcium|magnesium|sodium) ?[:/] ?(k|ca|mg|na|potassium|calcium|magnesium|sodium)\b/;

/** Roles whose headings may name a depth and a year beside the quantity. */
const MEASURED: ReadonlySet<ColumnRole> = new Set<ColumnRole>(QUANTITIES);
const CATIONS: ReadonlySet<ColumnRole> = new Set<ColumnRole>(['k', 'ca', 'mg', 'na']);

/**
 * What a header says: role, unit, and how plainly. `K_ppm`, `K (ppm)`, `Potassium`, `POT1`, `MG PPM`, `Ca_`, `%K`, `K Sat`, `BpH` ...
 * Upper and lower case, spaces, underscores and brackets do not matter; words such as "Mehlich-3" or "exchangeable" are passed over, and an
 * element may stand in its unit (`mg K/kg`). Depth and year beside a quantity are taken out and told: `K lb/ac (8 in.)`, `K ppm 2018`.
 *
 * A unit told twice is one unit; two different ones are a doubt. An oxide is read as one, in doubt, unless in lb/ac or kg/ha with no word
 * that it was found in the soil. Lime index is no buffer pH: it is unused and says so. So are recommendations, ratings, ratios, and what is
 * in plants, manure or water, or soluble, or total. A heading that starts like K and goes on in words that are not understood is unused.
 */
export function readHeader(column: string): HeaderReading {
  // Letters stand for themselves whatever mark is over them: "Länge" is looked up as "lange".
  const text = column
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replace(/[_\s]+/g, ' ')
    // `K6-12`: the name runs into its depth.
    .replace(/(?<![a-z0-9])(k|ca|mg|na|ph|om|cec)(?=\d+(?:\.\d+)? ?(?:-|to) ?\d)/, '$1 ')
    .trim();
  const layer = LAYER.exec(text);
  const parts = headingParts(layer ? text.replace(LAYER, ' ').replace(/\s+/g, ' ').trim() : text);
  if (parts.depth === null && parts.year === null && layer === null) return readText(text);
  const read = readText(parts.rest);
  if (!MEASURED.has(read.role)) return read.notUnderstood === undefined ? readText(text) : read;
  const isSubsoil = layer !== null && SUBSOIL.test(layer[0]);
  const below = isSubsoil || (parts.depth !== null && parts.depth.top_in > 0.05);
  const doubts = [
    ...(read.doubt === undefined ? [] : [read.doubt]),
    ...(below ? [`the heading names ${parts.depth?.told ?? 'subsoil'}, ground below the surface`] : []),
    ...(parts.depth?.unitInferred ? [`the heading’s depth is taken as ${parts.depth.told}`] : []),
  ];
  return {
    ...read,
    // The plow layer goes before what lies under it.
    rank: read.rank + (below ? 2 : 0),
    ...(parts.depth ? { depth: parts.depth } : {}),
    ...(parts.year === null ? {} : { year: parts.year }),
    ...(doubts.length === 0 ? {} : { doubt: doubts.join('; ') }),
  };
}

/** What stands in brackets behind the name of an id, a place or a date says how it is written: `Date (local)`, `Lat (WGS 84)`. */
const NOTE = /^(.*\S)\s*[([{][^)\]}]*[)\]}]$/;
const LENGTH_BEHIND = /^(.*?)[\s([{,]+([a-z]+|['\u2032])\.?\s*[)\]}]?$/;
const NOTED: ReadonlySet<ColumnRole> = new Set<ColumnRole>(['sampleId', 'lat', 'lng', 'date']);

const LAYER = /(?<![a-z])(top ?-?soil|sub ?-?soil|oberboden|unterboden)(?![a-z])/;
const SUBSOIL = /^(sub|unter)/;

function readText(told: string): HeaderReading {
  const read = readPlain(told);
  const [, name, words] = (read.role === 'unused' ? LENGTH_BEHIND.exec(told) : null) ?? [];
  const length = words === undefined ? null : lengthOfWords(words);
  if (name !== undefined && length !== null) {
    const ofDepth = readPlain(name);
    if (ofDepth.role === 'depth' || ofDepth.role === 'depthTop') return { ...ofDepth, unit: length };
  }
  const bare = read.role === 'unused' && read.why === NOTHING ? NOTE.exec(told)?.[1] : undefined;
  const again = bare === undefined ? read : readPlain(bare);
  return NOTED.has(again.role) ? again : read;
}

function readPlain(told: string): HeaderReading {
  const text = plainUnits(told);
  let read = readWords(text);
  let clash = splitUnit(text).clash;
  if (read.role === 'unused' && read.why === NOTHING) {
    const bare = text.replace(METHODS, ' ').replace(/\s+/g, ' ').trim();
    const other = OTHER_MATTER.find(([words]) => words.test(text));
    const again = readWords(other ? bare.replace(other[0], ' ') : bare);
    if (CATIONS.has(again.role)) {
      if (other) return { role: 'unused', unit: null, rank: 9, why: other[1] };
      read = again;
      clash = splitUnit(bare).clash;
    } else if (!other) return unknownWords(told.replace(METHODS, ' ').replace(/\s+/g, ' ').trim(), read);
  } else if (CATIONS.has(read.role)) {
    const other = OTHER_MATTER.find(([words]) => words.test(text));
    if (other) return { role: 'unused', unit: null, rank: 9, why: other[1] };
  }
  if (read.role === 'k' && read.unit === null && /\bst ?-?k\b/.test(text)) read = { ...read, abbreviated: true };
  if (clash === undefined || read.role === 'unused') return read;
  const doubt = `the header names two units: ${clash}`;
  return { ...read, doubt: read.doubt === undefined ? doubt : `${read.doubt}; ${doubt}` };
}

/** A heading of K and words that nobody here knows, such as a unit of its own. */
function unknownWords(text: string, read: HeaderReading): HeaderReading {
  const { rest, unit } = splitUnit(text);
  const bare = wordsOf(rest).filter((word) => !QUALIFIERS.has(word));
  const others = bare.filter((word) => WORDS.get(word)?.[0] !== 'k');
  if (bare[0] === undefined || WORDS.get(bare[0])?.[0] !== 'k' || others.length === 0) return read;
  const tail = text.replace(/^[^a-z]*[a-z]+[^a-z0-9\u00b5\u03bc]*/, '').trim();
  const left = /^[^([{]*[)\]}]$/.test(tail) ? tail.slice(0, -1) : tail;
  return { ...read, unit, why: `it starts like K, but "${left}" is not understood`, notUnderstood: left };
}

const NOTHING = 'its header names nothing that is needed';

function readWords(text: string): HeaderReading {
  const unused = (why: string, doubt?: string): HeaderReading =>
    doubt === undefined
      ? { role: 'unused', unit: null, rank: 9, why }
      : { role: 'unused', unit: null, rank: 9, why, doubt };
  const compact = text.replace(/[^a-z0-9]/g, '');
  if (/potash/.test(compact))
    return unused(
      'potash is K2O as fertilizer',
      'potash is K2O, which is not K (1 ppm K = 1.2046 ppm K2O): left unused; a column of K is needed',
    );
  if (/lime(test)?index|^lti$/.test(compact)) return unused('a lime index is not a buffer pH');
  const plain = text
    .replace(/mehlich[ -]?(3|iii)\b/g, 'm3')
    .replace(/\bm-3\b/g, 'm3')
    .replace(/(c|m)mol ?\((\+|c)\)/g, '$1molc');
  if (RATIO.test(plain)) return unused('it reads as a ratio');
  const oxide = OXIDE.exec(plain);
  if (oxide) return readOxide(plain, oxide[0], unused);
  const all = wordsOf(splitUnit(plain).rest);
  if (all.some((word) => NOT_A_VALUE.has(word)))
    return unused('it reads as advice or a rating, not as a measured value');
  const whole = lookUp(all.join(''));
  if (whole?.entry[0] === 'sampleId') return found(whole, null);
  const { rest, unit } = splitUnit(plain.replace(/[a-z0-9]+/g, (word) => (QUALIFIERS.has(word) ? ' ' : word)));
  const bare = wordsOf(rest);
  const tail = bare.length === 1 ? ELEMENT_WITH_TAIL.exec(bare[0] ?? '') : null;
  if (tail) return withUnit(tail[1] ?? '', unitOfTail(tail[2] ?? ''));
  const sat = ELEMENT_SATURATED.exec(bare.join(''));
  if (sat) return saturated(sat[1] ?? '') ?? unused('no role fits');
  const isSat = bare.some((word) => SAT_WORD.test(word));
  const named = isSat ? bare.filter((word) => !SAT_WORD.test(word) && word !== 'base') : bare;
  if (isSat || unit === '%') {
    const as = saturated(named.join(''));
    if (as) return as;
    if (isSat) return unused('it reads as a total of base saturation');
  }
  if (
    named.length > 1 &&
    named.every((word) => BUFFER_WORD.test(word) || word === 'ph') &&
    named.some((word) => BUFFER_WORD.test(word))
  )
    return { role: 'bufferPh', unit: null, rank: 1 };
  const hit = lookUp(named.join('')) ?? sameRole(named) ?? whole;
  return hit ? found(hit, unit) : unused(NOTHING);
}

const OXIDE = /(?<![a-z0-9])(k2o|cao|mgo|na2o)(?![a-z0-9])|(?<![a-z0-9])(k2o|cao|mgo|na2o)(?=ppm|mgkg|mgl)/;
const ELEMENT_OF: Readonly<Record<string, string>> = { k2o: 'k', cao: 'ca', mgo: 'mg', na2o: 'na' };

/** A header with an oxide in it: read as its element would be, with a doubt; pounds of K2O read like advice. */
function readOxide(text: string, oxide: string, unused: (why: string, doubt?: string) => HeaderReading): HeaderReading {
  const name = oxide.toUpperCase().replace('A', 'a').replace('G', 'g');
  const read = readWords(text.replace(oxide, `${ELEMENT_OF[oxide] ?? ''} `));
  if (read.role !== 'k' && read.role !== 'ca' && read.role !== 'mg' && read.role !== 'na')
    return unused(read.why ?? `it reads as ${name}`);
  if ((read.unit === 'lb/ac' || read.unit === 'kg/ha') && !FOUND_IN_SOIL.test(text))
    return {
      ...unused(
        `${name} in ${read.unit} reads like advice`,
        `${name} in ${read.unit} reads like advice, and ${name} is not ${name.slice(0, -1).replace('2', '')}: left unused; if it is a test value, say that the column is the oxide`,
      ),
      unit: read.unit,
    };
  return {
    ...read,
    oxide: true,
    rank: read.rank + 2,
    doubt: `${name} is read, and turned to the element`,
  };
}

/** Words that say the figure was found, not advised. */
const FOUND_IN_SOIL =
  /\b(avail(able)?|exch(angeable)?|extr(actable)?|soil test|stk|m3|mehlich|olsen|bray|morgan|cal|dl)\b/;

const SAT_WORD = /^(sat|saturation|bs|basesat|basesaturation)$/;
const BUFFER_WORD = /^(buf|buff|buffer|puffer|smp|sikora|woodruff|adams|evans|ae|moore)$/;
const wordsOf = (text: string): string[] => text.split(/[^a-z0-9#]+/).filter((word) => word !== '');

/** `Potassium (K)`: words that each name the same thing. */
function sameRole(words: readonly string[]): Hit | null {
  const hits = words.map((word) => lookUp(word));
  const first = hits[0] ?? null;
  return first && hits.every((hit) => hit?.entry[0] === first.entry[0]) ? first : null;
}

interface Hit {
  readonly entry: Entry;
  readonly numbered: boolean;
}
function lookUp(word: string): Hit | null {
  const entry = WORDS.get(word);
  if (entry) return { entry, numbered: false };
  const short = WORDS.get(word.replace(/\d+$/, ''));
  return short && short[0] !== 'sampleId' && short[0] !== 'lat' && short[0] !== 'lng'
    ? { entry: short, numbered: true }
    : null;
}

function found(hit: Hit, unit: ToldUnit | null): HeaderReading {
  const [role, rank, doubt] = hit.entry;
  const read = { role, unit, rank: rank + (hit.numbered ? 1 : 0) + (unit === null ? 0.5 : 0) };
  return doubt === undefined ? read : { ...read, doubt };
}

function withUnit(word: string, unit: ToldUnit | null): HeaderReading {
  if (unit === '%') {
    const as = saturated(word);
    if (as) return as;
  }
  const hit = lookUp(word);
  if (!hit) throw new Error(`no role for ${word}`);
  return found(hit, unit);
}

function saturated(word: string): HeaderReading | null {
  const role = lookUp(word)?.entry[0];
  if (role === undefined || !(role in SATURATED)) return null;
  return { role: SATURATED[role as keyof typeof SATURATED], unit: '%', rank: 0 }; // checked by `in` one line above
}

const unitOfTail = (tail: string): ToldUnit | null =>
  tail === 'mgkg' ? 'ppm' : tail === 'mgl' ? 'mg/L' : tail.startsWith('lb') ? 'lb/ac' : unitOfWords(tail);
