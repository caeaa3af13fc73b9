import { EPSG_ZONES } from './epsg-zones.ts';

/** A coordinate system for proj4, with its name for people and the datum that its positions stand on. */
export interface CodedCrs {
  readonly definition: string;
  readonly name: string;
  readonly datum: string;
}

/** Geographic systems within about 2 m of WGS84, by their EPSG code. */
export const LIKE_WGS84: Readonly<Record<number, string>> = {
  4269: 'NAD83',
  4258: 'ETRS89',
  4152: 'NAD83(HARN)',
  4759: 'NAD83(NSRS2007)',
  6318: 'NAD83(2011)',
  4617: 'NAD83(CSRS)',
  4283: 'GDA94',
  7844: 'GDA2020',
  4674: 'SIRGAS 2000',
  4167: 'NZGD2000',
};

interface UtmRange {
  /** First and last code, and the zone of the first. */
  readonly codes: readonly [number, number];
  readonly zone: number;
  readonly name: string;
  readonly datum: string;
  readonly rest: string;
}

const GRS80 = '+ellps=GRS80';
const UTM: readonly UtmRange[] = [
  { codes: [32601, 32660], zone: 1, name: 'WGS 84 / UTM zone #N', datum: 'WGS84', rest: '+datum=WGS84' },
  { codes: [32701, 32760], zone: 1, name: 'WGS 84 / UTM zone #S', datum: 'WGS84', rest: '+south +datum=WGS84' },
  { codes: [26901, 26923], zone: 1, name: 'NAD83 / UTM zone #N', datum: 'NAD83', rest: GRS80 },
  { codes: [6330, 6348], zone: 1, name: 'NAD83(2011) / UTM zone #N', datum: 'NAD83', rest: GRS80 },
  { codes: [2955, 2957], zone: 11, name: 'NAD83(CSRS) / UTM zone #N', datum: 'NAD83', rest: GRS80 },
  { codes: [2958, 2962], zone: 17, name: 'NAD83(CSRS) / UTM zone #N', datum: 'NAD83', rest: GRS80 },
  { codes: [3154, 3157], zone: 7, name: 'NAD83(CSRS) / UTM zone #N', datum: 'NAD83', rest: GRS80 },
  { codes: [3158, 3160], zone: 14, name: 'NAD83(CSRS) / UTM zone #N', datum: 'NAD83', rest: GRS80 },
  { codes: [25828, 25838], zone: 28, name: 'ETRS89 / UTM zone #N', datum: 'ETRS89', rest: GRS80 },
  { codes: [26701, 26722], zone: 1, name: 'NAD27 / UTM zone #N', datum: 'NAD27', rest: '+ellps=clrk66' },
  { codes: [28348, 28358], zone: 48, name: 'GDA94 / MGA zone #', datum: 'GDA94', rest: `+south ${GRS80}` },
  { codes: [7846, 7859], zone: 46, name: 'GDA2020 / MGA zone #', datum: 'GDA2020', rest: `+south ${GRS80}` },
  { codes: [31965, 31976], zone: 11, name: 'SIRGAS 2000 / UTM zone #N', datum: 'SIRGAS 2000', rest: GRS80 },
  { codes: [31977, 31985], zone: 17, name: 'SIRGAS 2000 / UTM zone #S', datum: 'SIRGAS 2000', rest: `+south ${GRS80}` },
];

const SINGLE: Readonly<Record<number, CodedCrs>> = {
  3857: { definition: 'EPSG:3857', name: 'WGS 84 / Pseudo-Mercator', datum: 'WGS84' },
  4267: { definition: '+proj=longlat +ellps=clrk66 +no_defs', name: 'NAD27', datum: 'NAD27' },
  2193: {
    definition: `+proj=tmerc +lat_0=0 +lon_0=173 +k=0.9996 +x_0=1600000 +y_0=10000000 ${GRS80} +units=m +no_defs`,
    name: 'NZGD2000 / New Zealand Transverse Mercator 2000',
    datum: 'NZGD2000',
  },
  3035: {
    definition: `+proj=laea +lat_0=52 +lon_0=10 +x_0=4321000 +y_0=3210000 ${GRS80} +units=m +no_defs`,
    name: 'ETRS89-extended / LAEA Europe',
    datum: 'ETRS89',
  },
  2154: {
    definition: `+proj=lcc +lat_0=46.5 +lon_0=3 +lat_1=49 +lat_2=44 +x_0=700000 +y_0=6600000 ${GRS80} +units=m +no_defs`,
    name: 'RGF93 / Lambert-93',
    datum: 'RGF93',
  },
  3347: {
    definition: `+proj=lcc +lat_0=63.390675 +lon_0=-91.8666666666667 +lat_1=49 +lat_2=77 +x_0=6200000 +y_0=3000000 ${GRS80} +units=m +no_defs`,
    name: 'NAD83 / Statistics Canada Lambert',
    datum: 'NAD83',
  },
  3978: {
    definition: `+proj=lcc +lat_0=49 +lon_0=-95 +lat_1=49 +lat_2=77 +x_0=0 +y_0=0 ${GRS80} +units=m +no_defs`,
    name: 'NAD83 / Canada Atlas Lambert',
    datum: 'NAD83',
  },
};

const UNITS = {
  m: { text: '+units=m', name: '' },
  u: { text: '+units=us-ft', name: ' (ftUS)' },
  f: { text: '+units=ft', name: ' (ft)' },
} as const;
const REALIZATIONS = { '': 'NAD83', H: 'NAD83(HARN)', N: 'NAD83(NSRS2007)', B: 'NAD83(2011)' } as const;

/**
 * The system of an EPSG code, or null where it is not known by number: UTM on WGS84 and the usual continental datums, the state
 * plane zones and statewide systems of the United States on NAD83 and its realizations, and some national grids.
 * Source: EPSG Geodetic Parameter Dataset, by way of PROJ's copy.
 */
export function definitionOfCode(code: number): CodedCrs | null {
  const single = SINGLE[code];
  if (single) return single;
  const utm = UTM.find(({ codes }) => code >= codes[0] && code <= codes[1]);
  if (utm) {
    const zone = utm.zone + code - utm.codes[0];
    return {
      definition: `+proj=utm +zone=${zone} ${utm.rest} +units=m +no_defs`,
      name: utm.name.replace('#', String(zone)),
      datum: utm.datum,
    };
  }
  return zoneOfCode(code);
}

function zoneOfCode(code: number): CodedCrs | null {
  const found = new RegExp(`^(.+)\\|(.+)\\|.*?\\b([muf])([HNB]?)${code}\\b`, 'm').exec(EPSG_ZONES);
  if (!found) return null;
  const [, zone = '', text = '', unit = 'm', letter = ''] = found;
  // The two letters are of the lists above: the pattern lets no other through.
  const { text: unitText, name: unitName } = UNITS[unit as keyof typeof UNITS];
  return {
    definition: `+${text.split(' ').join(' +')} ${GRS80} ${unitText} +no_defs`,
    name: `${REALIZATIONS[letter as keyof typeof REALIZATIONS]} / ${zone}${unitName}`,
    datum: 'NAD83',
  };
}
