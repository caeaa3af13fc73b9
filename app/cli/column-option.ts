import { COLUMN_UNITS, type ColumnRole, type ColumnUnit, type SoilSettings } from '../../core/soil/settings.ts';
import { countsDepth } from '../../core/soil/units.ts';

/** What a person says of one column: `K lbs=k:lb/ac`. */
export interface ToldColumn {
  readonly column: string;
  readonly is: ColumnRole;
  readonly unit?: ColumnUnit;
  readonly oxide?: true;
  readonly of_in?: number;
}

/** Words of the command line for what a column can hold. */
const ROLES: Readonly<Record<string, ColumnRole>> = {
  id: 'sampleId',
  lng: 'lng',
  lat: 'lat',
  k: 'k',
  ca: 'ca',
  mg: 'mg',
  na: 'na',
  h: 'h',
  ph: 'ph',
  'buffer-ph': 'bufferPh',
  cec: 'cec',
  '%k': 'kSat',
  '%ca': 'caSat',
  '%mg': 'mgSat',
  '%na': 'naSat',
  '%h': 'hSat',
  om: 'organicMatter',
  depth: 'depth',
  'depth-top': 'depthTop',
  date: 'date',
  density: 'density',
  unused: 'unused',
};
/** Words for a column that counts the oxide. */
const OXIDES: Readonly<Record<string, ColumnRole>> = { k2o: 'k', cao: 'ca', mgo: 'mg', na2o: 'na' };
export const COLUMN_WORD_LIST: readonly string[] = [...Object.keys(ROLES), ...Object.keys(OXIDES)];

const UNITS: Readonly<Record<string, ColumnUnit>> = {
  ...Object.fromEntries(COLUMN_UNITS.map((unit) => [unit.toLowerCase(), unit])),
  meq: 'meq/100 g',
  'meq/100g': 'meq/100 g',
  'mg/100g': 'mg/100 g',
};

/** A `NAME=what[:unit[@depth]]`, or what is the matter with it. The last = parts them, since a header may hold one. */
export function readColumn(text: string): ToldColumn | string {
  const at = text.lastIndexOf('=');
  const [what = '', told] = text.slice(at + 1).split(':');
  const word = what.trim().toLowerCase();
  const is = ROLES[word] ?? OXIDES[word];
  if (at < 1 || is === undefined)
    return `--column is NAME=what or NAME=what:unit, with what one of ${COLUMN_WORD_LIST.join(', ')}, not "${text}".`;
  const column = text.slice(0, at);
  const use = { column, is, ...(word in OXIDES ? { oxide: true as const } : {}) };
  if (told === undefined) return use;
  const [unitText = '', depth] = told.split('@');
  const unit = UNITS[unitText.trim().toLowerCase()];
  if (unit === undefined)
    return `--column has no unit "${unitText}"; the units are ppm, mg/kg, g/kg, mg/100g, mg/L, lb/ac, kg/ha, meq, cmol/kg, mmolc/kg, mmol/kg, %, in, cm, mm, dm, m, ft, g/cm3.`;
  if (depth === undefined) return { ...use, unit };
  const of_in = Number(depth);
  return countsDepth(unit) && of_in > 0 && of_in <= 48
    ? { ...use, unit, of_in }
    : `--column takes a depth in inches to 48 behind lb/ac or kg/ha, as lb/ac@8, not "${told}".`;
}

const EXTRACTANTS: Readonly<Record<string, SoilSettings['extractant']>> = {
  'mehlich-3': 'Mehlich-3',
  'ammonium-acetate': 'ammonium acetate',
  'field-moist': 'field-moist',
  other: 'other',
};

/** The extractant of a word of the command line; undefined where there is none such. */
export const readExtractant = (word: string): SoilSettings['extractant'] | undefined => EXTRACTANTS[word.toLowerCase()];
export const EXTRACTANT_WORDS = Object.keys(EXTRACTANTS).join(', ');
