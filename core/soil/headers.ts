import { type ToldUnit, unitOfWords } from '../base/parse-value.ts';
import type { ColumnRole } from './settings.ts';

/** What a header alone says of its column. */
export interface HeaderReading {
  readonly role: ColumnRole;
  /** Unit that the header names, or null. */
  readonly unit: ToldUnit | null;
  /** The figure counts the oxide: K2O, CaO, MgO, Na2O. */
  readonly oxide?: true;
  /** How plainly it says so: 0 is plainest. Orders columns that claim one role. */
  readonly rank: number;
  /** Present where the words themselves need a person's word. */
  readonly doubt?: string;
  /** Present where the header says why the column is not used. */
  readonly why?: string;
}

type Entry = readonly [ColumnRole, number, string?];
const names = (role: ColumnRole, rank: number, words: string, doubt?: string): [string, Entry][] =>
  words.split(' ').map((word) => [word, doubt === undefined ? [role, rank] : [role, rank, doubt]]);

/** Rank of a word such as `top` or `to`, which bounds a depth only where the other bound stands beside it. */
export const BARE_BOUND_RANK = 3;
const SALT_PH = 'a pH in salt solution reads about half a point lower than in water';

/** Headers with spaces, units and qualifiers taken out. */
const WORDS: ReadonlyMap<string, Entry> = new Map<string, Entry>([
  ...names('k', 0, 'k potassium potass pot kalium potasio'),
  ...names('ca', 0, 'ca calcium calc kalzium calcio'),
  ...names('mg', 0, 'mg magnesium magnes magn mag magnesio'),
  ...names('na', 0, 'na sodium sod natrium sodio'),
  ...names('h', 0, 'h hydrogen acidity totalacidity hmeq acidez acidite'),
  ...names('ph', 0, 'ph phw phwater waterph wph phh2o h2oph ph11 11ph phwater11 pheau phagua phwert'),
  ...names('ph', 2, 'saltph phsalt phs phcacl2 cacl2ph phcacl phkcl kclph', SALT_PH),
  ...names('bufferPh', 0, 'bufferph bufph buffph phbuffer phbuf bph phb bufferedph pufferph phpuffer'),
  ...names(
    'bufferPh',
    1,
    'buffer buf puffer tampon phtampon smp smpph phsmp smpbuffer smpbufferph sikora sikoraph phsikora sikorabufferph',
  ),
  ...names('bufferPh', 1, 'adamsevans adamsevansph adamsevansbufferph aebufferph woodruff woodruffbufferph'),
  ...names(
    'cec',
    0,
    'cec cationexchangecapacity cationexchcapacity kak kationenaustauschkapazitat cic capacidaddeintercambiocationico capacitedechangecationique',
  ),
  ...names('cec', 1, 'tec totalexchangecapacity exchangecapacity calculatedcec calccec estcec estimatedcec cecsum'),
  ...names('cec', 2, 'ecec effectivecec', 'an effective CEC leaves out part of the acidity'),
  ...names(
    'organicMatter',
    0,
    'om organicmatter orgmatter som omloi loi orgmat humus matiereorganique materiaorganica',
  ),
  ...names('depth', 0, 'depth sampledepth samplingdepth depthin depthcm tiefe profondeur profundidad'),
  ...names('depth', 1, 'depthto depthend enddepth bottomdepth depthbottom lowerdepth depthlower depthrange tiefebis'),
  ...names('depth', BARE_BOUND_RANK, 'bottom to lower bis'),
  ...names(
    'depthTop',
    0,
    'depthfrom depthstart startdepth topdepth depthtop upperdepth depthupper begindepth tiefevon',
  ),
  ...names('depthTop', BARE_BOUND_RANK, 'top from upper von'),
  ...names(
    'date',
    0,
    'date sampledate samplingdate datesampled sampleddate dateofsampling sampled sampledon datum probedatum',
  ),
  ...names('date', 0, 'probenahmedatum fecha fechamuestreo fechademuestreo dateprelevement datedeprelevement'),
  ...names(
    'date',
    1,
    'year yr testyear sampleyear samplingyear yearsampled sampledyear jahr probejahr annee ano collected datecollected collectiondate',
  ),
  ...names('date', 2, 'testdate datetested labdate dateanalyzed datereceived receiveddate reportdate datereported'),
  ...names(
    'density',
    0,
    'density scoopdensity scoopeddensity densityscooped sampledensity wv weightvolume volumeweight',
  ),
  ...names('sampleId', 0, 'sampleid sampid smpid smplid idsample'),
  ...names('sampleId', 1, 'probe probenr probennr probennummer muestra idmuestra nomuestra echantillon'),
  ...names(
    'sampleId',
    1,
    'sample sampleno samplenumber samplenum samplenr samplename sampno sampnum samp smp# sample# sid',
  ),
  ...names('sampleId', 1, 'pointid ptid gridid cellid siteid stationid coreid locationid locid zoneid pointno gridno'),
  ...names(
    'sampleId',
    2,
    'id labid labno labnumber labnum labnr lab# uid uniqueid key point pt grid site station zone',
  ),
  ...names('sampleId', 3, 'name label no nr num number # cell core location loc zonename'),
  ...names('sampleId', 4, 'fid objectid oid gid row record recno'),
  ...names('lat', 0, 'lat latitude latdd gpslat gpslatitude latwgs84 latdeg latitudedd breite breitengrad latitud'),
  ...names(
    'lng',
    0,
    'long longitude lon lng longdd londd gpslong gpslon gpslongitude lonwgs84 longwgs84 longdeg longitudedd lange laenge langengrad laengengrad longitud',
  ),
  ...names('lat', 1, 'y pointy ycoord ycoordinate coordy yutm utmy northing north'),
  ...names('lng', 1, 'x pointx xcoord xcoordinate coordx xutm utmx easting east'),
]);

/** Words that only say how or where a value was found. */
const QUALIFIERS = new Set(
  'm3 mehlich mehlich3 mehlichiii iii aa nh4oac ammonium acetate exch exchangeable extr ext extractable avail available soil test result results value val wert lab conc concentration'.split(
    ' ',
  ),
);
/** Words that make it something other than a measured value. */
const NOT_A_VALUE = new Set(
  'rec recs recommended recommendation recommendations rate rating requirement req need removal uptake applied index idx ratio class code target goal critical crit optimum deficit surplus lbsneeded cost credit trend comment comments'.split(
    ' ',
  ),
);
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

/**
 * What a header says: role, unit, and how plainly. `K_ppm`, `K (ppm)`, `Potassium`, `POT1`, `MG PPM`, `Ca_`, `%K`, `K Sat`, `BpH` ...
 * Upper and lower case, spaces, underscores and brackets do not matter; words such as "Mehlich-3" or "exchangeable" are passed over.
 *
 * A unit told twice is one unit; two different ones are a doubt. An oxide is read as one, in doubt, unless in lb/ac. Lime index is no buffer pH: it is unused and says so. So are recommendations, ratings and ratios.
 */
export function readHeader(column: string): HeaderReading {
  // Letters stand for themselves whatever mark is over them: "Länge" is looked up as "lange".
  const text = column
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .toLowerCase()
    .replace(/[_\s]+/g, ' ')
    .trim();
  const read = readWords(text);
  const { clash } = splitUnit(text);
  if (clash === undefined || read.role === 'unused') return read;
  const doubt = `the header names two units: ${clash}`;
  return { ...read, doubt: read.doubt === undefined ? doubt : `${read.doubt}; ${doubt}` };
}

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
    .replace(/cmol ?\((\+|c)\)/g, 'cmolc');
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
  return hit ? found(hit, unit) : unused('its header names nothing that is needed');
}

const OXIDE = /(?<![a-z0-9])(k2o|cao|mgo|na2o)(?![a-z0-9])|(?<![a-z0-9])(k2o|cao|mgo|na2o)(?=ppm|mgkg|mgl)/;
const ELEMENT_OF: Readonly<Record<string, string>> = { k2o: 'k', cao: 'ca', mgo: 'mg', na2o: 'na' };

/** A header with an oxide in it: read as its element would be, with a doubt; pounds of K2O read like advice. */
function readOxide(text: string, oxide: string, unused: (why: string, doubt?: string) => HeaderReading): HeaderReading {
  const name = oxide.toUpperCase().replace('A', 'a').replace('G', 'g');
  const read = readWords(text.replace(oxide, `${ELEMENT_OF[oxide] ?? ''} `));
  if (read.role !== 'k' && read.role !== 'ca' && read.role !== 'mg' && read.role !== 'na')
    return unused(read.why ?? `it reads as ${name}`);
  if (read.unit === 'lb/ac')
    return unused(
      `${name} in lb/ac reads like advice`,
      `${name} in lb/ac reads like advice, and ${name} is not ${name.slice(0, -1).replace('2', '')}: left unused; if it is a test value, say that the column is the oxide`,
    );
  return {
    ...read,
    oxide: true,
    rank: read.rank + 2,
    doubt: `${name} is read, and turned to the element`,
  };
}

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

/** Takes the unit out of a header: in brackets, as `%`, or as words at its end or its start, as long as something else is left. */
function splitUnit(text: string): { readonly rest: string; readonly unit: ToldUnit | null; readonly clash?: string } {
  let unit: ToldUnit | null = null;
  const units = new Set<ToldUnit>();
  const open = text.replace(/[([{]([^)\]}]*)[)\]}]/g, (_all, inner: string) => {
    const told = unitOfWords(inner);
    if (told === null) return ` ${inner} `;
    unit ??= told;
    units.add(told);
    return ' ';
  });
  const plain = open.replace(/%|\b(pct|percent)\b/g, () => {
    unit ??= '%';
    units.add('%');
    return ' ';
  });
  const words = plain.split(/[\s,;.-]+/).filter((word) => word !== '');
  if (unit !== null) {
    const again = splitWords(words);
    if (again.unit !== null) units.add(again.unit);
    return { rest: again.rest, unit, ...(units.size > 1 ? { clash: [...units].join(' and ') } : {}) };
  }
  return splitWords(words);
}

/** Takes a unit that stands as words at the end or the start. */
function splitWords(words: readonly string[]): { readonly rest: string; readonly unit: ToldUnit | null } {
  for (const fromEnd of [true, false]) {
    for (let count = Math.min(4, words.length - 1); count > 0; count--) {
      const part = fromEnd ? words.slice(-count) : words.slice(0, count);
      const told = unitOfWords(part.join(' '));
      if (told === null) continue;
      const left = fromEnd ? words.slice(0, -count) : words.slice(count);
      return { rest: left.join(' '), unit: told };
    }
  }
  return { rest: words.join(' '), unit: null };
}
