import type { TiffDirectory } from './tiff-tags.ts';

/** The keys of a GeoTIFF by their number: a short, a number or a text. Numbers of OGC 19-008r4, annex B. */
export type GeoKeys = ReadonlyMap<number, number | string>;

/** The keys of a directory; none where it has none. A key that points past its tag is left out. */
export function readGeoKeys(directory: TiffDirectory): GeoKeys {
  const entries = directory.numbers(34735);
  const doubles = directory.numbers(34736);
  const texts = directory.text(34737) ?? '';
  const keys = new Map<number, number | string>();
  const count = Math.min(entries[3] ?? 0, Math.floor((entries.length - 4) / 4));
  for (let i = 0; i < count; i++) {
    const [id, place, length, value] = entries.slice(4 + i * 4, 8 + i * 4);
    if (id === undefined || value === undefined) continue;
    const found =
      place === 0
        ? value
        : place === 34736
          ? doubles[value]
          : place === 34737
            ? texts.slice(value, value + (length ?? 0)).replace(/[|\0]+$/, '')
            : undefined;
    if (found !== undefined) keys.set(id, found);
  }
  return keys;
}

/** What the keys say of the coordinate system: a code of the EPSG dataset, well-known text, a definition, or nothing. */
export type KeyedCrs =
  | { readonly how: 'code'; readonly code: string }
  | { readonly how: 'text'; readonly text: string }
  | { readonly how: 'definition'; readonly definition: string; readonly name: string; readonly datum: string }
  | { readonly how: 'none' }
  | { readonly how: 'unknown'; readonly detail: string };

const USER_DEFINED = 32767;

/**
 * The coordinate system that the keys name. A user-defined projection is put together from its parameters: transverse Mercator,
 * Lambert conformal conic with one or two parallels, Albers, Lambert azimuthal equal area, Mercator and polar stereographic.
 * Anything else is `unknown` and never guessed. Source: OGC 19-008r4, clause 7 and annex B; the same keys of GeoTIFF 1.0.
 */
export function crsOfKeys(keys: GeoKeys): KeyedCrs {
  const projected = codeOf(keys, 3072);
  const geographic = codeOf(keys, 2048);
  const model = keys.get(1024) ?? (projected === null ? 2 : 1);
  if (projected === null && geographic === null && !keys.has(3075) && !keys.has(2049) && !keys.has(1026))
    return { how: 'none' };
  const text = [keys.get(3073), keys.get(1026), keys.get(2049)].find(isWellKnown);
  if (model === 3) return { how: 'unknown', detail: 'its coordinates are geocentric' };
  if (model !== 1) {
    if (geographic !== null) return { how: 'code', code: `EPSG:${geographic}` };
    if (text !== undefined) return { how: 'text', text };
    const globe = globeOf(keys);
    return typeof globe === 'string'
      ? { how: 'unknown', detail: globe }
      : { how: 'definition', definition: `+proj=longlat ${globe.text} +no_defs`, name: globe.name, datum: globe.datum };
  }
  if (projected !== null) return { how: 'code', code: `EPSG:${projected}` };
  const utm = utmOf(keys);
  const method = utm ?? methodOf(keys);
  if (method === null) {
    if (text !== undefined) return { how: 'text', text };
    return { how: 'unknown', detail: `its projection is number ${keys.get(3075) ?? 'none'}` };
  }
  const unit_m = lengthUnit(keys);
  const globe = globeOf(keys);
  if (unit_m === null) return { how: 'unknown', detail: `its lengths are in unit number ${keys.get(3076)}` };
  if (typeof globe === 'string') return { how: 'unknown', detail: globe };
  const east = firstNumber(keys, 3082, 3086, 3090) ?? 0;
  const north = firstNumber(keys, 3083, 3087, 3091) ?? 0;
  const offsets = utm === null ? `+x_0=${east * unit_m} +y_0=${north * unit_m} ` : '';
  const unit = unit_m === 1 ? '+units=m' : `+to_meter=${unit_m}`;
  return {
    how: 'definition',
    definition: `${method} ${offsets}${globe.text} ${unit} +no_defs`,
    name: nameOf(keys) ?? 'a projection of its own',
    datum: globe.datum,
  };
}

const isWellKnown = (value: number | string | undefined): value is string =>
  typeof value === 'string' && /\b(?:PROJCS|GEOGCS|PROJCRS|GEOGCRS)\s*\[/.test(value);

function codeOf(keys: GeoKeys, id: number): number | null {
  const value = keys.get(id);
  return typeof value === 'number' && value > 0 && value !== USER_DEFINED ? value : null;
}

function firstNumber(keys: GeoKeys, ...ids: readonly number[]): number | null {
  for (const id of ids) {
    const value = keys.get(id);
    if (typeof value === 'number' && Number.isFinite(value)) return value;
  }
  return null;
}

/** A name that a person can read, out of the citations. */
function nameOf(keys: GeoKeys): string | null {
  const said = [keys.get(3073), keys.get(1026)].find((one) => typeof one === 'string' && one.trim() !== '');
  if (typeof said !== 'string') return null;
  const named = /PCS Name = ([^|]+)/.exec(said)?.[1] ?? said.split('|')[0] ?? said;
  return named.trim().slice(0, 80) || null;
}

/** UTM by its projection code (EPSG 16001 to 16060 north, 16101 to 16160 south). */
function utmOf(keys: GeoKeys): string | null {
  const code = codeOf(keys, 3074);
  if (code === null) return null;
  const zone = code % 100;
  if (zone < 1 || zone > 60) return null;
  return code > 16000 && code < 16061
    ? `+proj=utm +zone=${zone}`
    : code > 16100 && code < 16161
      ? `+proj=utm +zone=${zone} +south`
      : null;
}

/** The projection with its angles. The keys that carry an origin differ by method and by writer; any of them is taken. */
function methodOf(keys: GeoKeys): string | null {
  const lon = firstNumber(keys, 3080, 3084, 3088) ?? 0;
  const lat = firstNumber(keys, 3081, 3085, 3089) ?? 0;
  const scale = firstNumber(keys, 3092, 3093) ?? 1;
  const first = firstNumber(keys, 3078);
  const second = firstNumber(keys, 3079);
  switch (keys.get(3075)) {
    case 1:
      return `+proj=tmerc +lat_0=${lat} +lon_0=${lon} +k_0=${scale}`;
    case 7:
      return first === null ? `+proj=merc +lon_0=${lon} +k_0=${scale}` : `+proj=merc +lon_0=${lon} +lat_ts=${first}`;
    case 8:
      return first === null || second === null
        ? null
        : `+proj=lcc +lat_1=${first} +lat_2=${second} +lat_0=${lat} +lon_0=${lon}`;
    case 9:
      return `+proj=lcc +lat_1=${lat} +lat_0=${lat} +lon_0=${lon} +k_0=${scale}`;
    case 10:
      return `+proj=laea +lat_0=${lat} +lon_0=${lon}`;
    case 11:
      return first === null || second === null
        ? null
        : `+proj=aea +lat_1=${first} +lat_2=${second} +lat_0=${lat} +lon_0=${lon}`;
    case 15: {
      const pole = firstNumber(keys, 3095, 3080) ?? 0;
      return `+proj=stere +lat_0=${lat < 0 ? -90 : 90} +lat_ts=${lat} +lon_0=${pole} +k_0=${scale}`;
    }
    default:
      return null;
  }
}

/** Metres of the projected unit; null where it is none of those known (EPSG 9001 to 9003, or a size of its own). */
function lengthUnit(keys: GeoKeys): number | null {
  switch (keys.get(3076) ?? 9001) {
    case 9001:
      return 1;
    case 9002:
      return 0.3048;
    case 9003:
      return 1200 / 3937;
    case USER_DEFINED: {
      const size = firstNumber(keys, 3077);
      return size !== null && size > 0 ? size : null;
    }
    default:
      return null;
  }
}

interface Globe {
  readonly text: string;
  readonly name: string;
  readonly datum: string;
}

/** Geographic systems by their EPSG code that a projection of its own is most often built on. */
const GLOBES: Readonly<Record<number, Globe>> = {
  4326: { text: '+datum=WGS84', name: 'WGS 84', datum: 'WGS84' },
  4269: { text: '+ellps=GRS80', name: 'NAD83', datum: 'NAD83' },
  6318: { text: '+ellps=GRS80', name: 'NAD83(2011)', datum: 'NAD83' },
  4152: { text: '+ellps=GRS80', name: 'NAD83(HARN)', datum: 'NAD83' },
  4617: { text: '+ellps=GRS80', name: 'NAD83(CSRS)', datum: 'NAD83' },
  4258: { text: '+ellps=GRS80', name: 'ETRS89', datum: 'ETRS89' },
  4283: { text: '+ellps=GRS80', name: 'GDA94', datum: 'GDA94' },
  7844: { text: '+ellps=GRS80', name: 'GDA2020', datum: 'GDA2020' },
  4674: { text: '+ellps=GRS80', name: 'SIRGAS 2000', datum: 'SIRGAS 2000' },
  4267: { text: '+ellps=clrk66', name: 'NAD27', datum: 'NAD27' },
};
/** Ellipsoids by their EPSG code, as proj4 calls them. */
const ELLIPSOIDS: Readonly<Record<number, string>> = {
  7030: 'WGS84',
  7019: 'GRS80',
  7008: 'clrk66',
  7004: 'bessel',
  7022: 'intl',
  7001: 'airy',
  7024: 'krass',
};
const DATUMS: Readonly<Record<number, string>> = { 6326: 'WGS84', 6269: 'NAD83', 6258: 'ETRS89', 6267: 'NAD27' };
const DEGREE = 9102;
const GREENWICH = 8901;

/** Ellipsoid and datum, or why they cannot be told. */
function globeOf(keys: GeoKeys): Globe | string {
  const angle = keys.get(2054);
  if (angle !== undefined && angle !== DEGREE) return `its angles are in unit number ${angle}`;
  const meridian = keys.get(2051);
  if (meridian !== undefined && meridian !== GREENWICH) return `its longitudes count from meridian number ${meridian}`;
  const code = codeOf(keys, 2048);
  if (code !== null) return GLOBES[code] ?? `its projection stands on EPSG:${code}, which is not in the list`;
  const major = firstNumber(keys, 2057);
  const flattening = firstNumber(keys, 2059);
  const minor = firstNumber(keys, 2058);
  const ellipsoid = ELLIPSOIDS[codeOf(keys, 2056) ?? 0];
  const axes =
    major !== null && flattening !== null
      ? `+a=${major} ${flattening === 0 ? `+b=${major}` : `+rf=${flattening}`}`
      : major !== null && minor !== null
        ? `+a=${major} +b=${minor}`
        : ellipsoid === undefined
          ? null
          : `+ellps=${ellipsoid}`;
  if (axes === null) return 'its ellipsoid is not told';
  const said = keys.get(2049);
  const citation = typeof said === 'string' ? said : '';
  const named =
    DATUMS[codeOf(keys, 2050) ?? 0] ??
    /Datum = ([^|]+)/.exec(citation)?.[1] ??
    /GCS Name = ([^|]+)/.exec(citation)?.[1] ??
    citation.split('|')[0];
  const datum = named === undefined || named.trim() === '' ? 'unknown' : named.trim();
  return { text: axes, name: /GCS Name = ([^|]+)/.exec(citation)?.[1]?.trim() ?? datum, datum };
}
