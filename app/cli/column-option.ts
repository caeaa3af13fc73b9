import { COLUMN_UNITS, type ColumnRole, type ColumnUnit, type SoilSettings } from '../../core/soil/settings.ts';

/** What a person says of one column: `K lbs=k:lb/ac`. */
export interface ToldColumn {
  readonly column: string;
  readonly is: ColumnRole;
  readonly unit?: ColumnUnit;
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
  unused: 'unused',
};
export const COLUMN_WORD_LIST: readonly string[] = Object.keys(ROLES);

const UNITS: Readonly<Record<string, ColumnUnit>> = {
  ...Object.fromEntries(COLUMN_UNITS.map((unit) => [unit, unit])),
  meq: 'meq/100 g',
};

/** A `NAME=what[:unit]`, or what is the matter with it. The last = parts them, since a header may hold one. */
export function readColumn(text: string): ToldColumn | string {
  const at = text.lastIndexOf('=');
  const [what = '', unitText] = text.slice(at + 1).split(':');
  const is = ROLES[what.trim().toLowerCase()];
  if (at < 1 || is === undefined)
    return `--column is NAME=what or NAME=what:unit, with what one of ${COLUMN_WORD_LIST.join(', ')}, not "${text}".`;
  const column = text.slice(0, at);
  if (unitText === undefined) return { column, is };
  const unit = UNITS[unitText.trim().toLowerCase()];
  return unit === undefined
    ? `--column has no unit "${unitText}"; the units are ppm, lb/ac, meq, %, in, cm.`
    : { column, is, unit };
}

const EXTRACTANTS: Readonly<Record<string, SoilSettings['extractant']>> = {
  'mehlich-3': 'Mehlich-3',
  'ammonium-acetate': 'ammonium acetate',
  other: 'other',
};

/** The extractant of a word of the command line; undefined where there is none such. */
export const readExtractant = (word: string): SoilSettings['extractant'] | undefined => EXTRACTANTS[word.toLowerCase()];
export const EXTRACTANT_WORDS = Object.keys(EXTRACTANTS).join(', ');
