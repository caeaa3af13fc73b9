import { type Problem, stop } from '../base/problem.ts';
import { decodeTable } from './csv-text.ts';

/** A kind of file that is known and not read: what it is, and what to do. */
interface Refused {
  readonly code: string;
  readonly what: string;
  readonly remedy: string;
}

const RASTER: Refused = {
  code: 'file-raster',
  what: 'is a raster or picture, not a boundary or table',
  remedy: 'Take in a shapefile, GeoJSON, CSV or workbook here; a GeoTIFF comes in as a layer of its own.',
};
const WORKBOOK: Refused = {
  code: 'file-workbook',
  what: 'is a workbook of a kind that is not read',
  remedy: 'Save it as .xlsx, or the sheet as CSV, and take that in.',
};
const LOCKED: Refused = {
  code: 'file-locked',
  what: 'is locked with a password',
  remedy: 'Open it, save it without the password, and take that in.',
};
const MAP_TILES: Refused = {
  code: 'file-tiles',
  what: 'holds background map tiles, not a boundary or table',
  remedy: 'Take in a shapefile, GeoJSON or CSV.',
};
const MAP_FILE: Refused = {
  code: 'file-other-map',
  what: 'is a map file of a kind that is not read',
  remedy: 'Export it as a shapefile or GeoJSON.',
};
const TASK_DATA: Refused = {
  code: 'file-task-data',
  what: 'is ISO 11783-10 task data, which is not read',
  remedy: 'Export the field boundary as a shapefile or GeoJSON.',
};
const XML: Refused = {
  code: 'file-xml',
  what: 'is an XML file of a kind that is not read',
  remedy: 'Export it as a shapefile, GeoJSON or CSV.',
};
const DOCUMENT: Refused = {
  code: 'file-document',
  what: 'is a document or report, whose tables cannot be read',
  remedy: 'Ask for the same values as CSV.',
};
const ARCHIVE: Refused = {
  code: 'file-archive',
  what: 'is packed in a way that is not opened',
  remedy: 'Unpack it and take in the files inside, or pack them as a zip.',
};
const UNKNOWN: Refused = {
  code: 'file-unknown',
  what: 'is of a kind that is not read',
  remedy: 'Take in a shapefile (zip or its parts), GeoJSON, CSV or workbook (.xlsx).',
};

const BY_ENDING: Readonly<Record<string, Refused>> = {
  ...all(RASTER, 'tif', 'tiff', 'img', 'asc', 'png', 'jpg', 'jpeg', 'gif', 'bmp', 'jp2', 'vrt'),
  ...all(WORKBOOK, 'xls', 'xlsb', 'ods', 'xlt', 'xltx'),
  ...all(MAP_TILES, 'pmtiles', 'mbtiles'),
  ...all(MAP_FILE, 'kml', 'kmz', 'gpkg', 'gpx', 'gml', 'dxf', 'dwg', 'tab', 'mif', 'fgb', 'gdb', 'topojson'),
  ...all(DOCUMENT, 'pdf', 'doc', 'docx', 'rtf', 'htm', 'html'),
  ...all(ARCHIVE, 'rar', '7z', 'gz', 'tgz', 'tar', 'bz2', 'xz', 'zipx'),
};

function all(refused: Refused, ...endings: readonly string[]): Record<string, Refused> {
  return Object.fromEntries(endings.map((ending) => [ending, refused]));
}

/** First bytes, one a character, that say what a file is whatever its name. */
const BY_START: readonly (readonly [starts: readonly string[], Refused])[] = [
  [['II*\0', 'MM\0*', 'II+\0', 'MM\0+', '\x89PNG', '\xff\xd8\xff', 'GIF8'], RASTER],
  [['PMTiles'], MAP_TILES],
  [['SQLite format 3\0'], MAP_FILE],
  [['\xd0\xcf\x11\xe0'], WORKBOOK],
  [['%PDF', '{\\rtf'], DOCUMENT],
  [['Rar!', '7z\xbc\xaf', '\x1f\x8b', 'BZh', '\xfd7zXZ'], ARCHIVE],
];

/** Why a file is refused by what its bytes are, whatever its name, or null. */
export function refusedByContent(bytes: Uint8Array, name: string): Problem | null {
  const latin = Array.from(bytes.subarray(0, 16), (b) => String.fromCharCode(b)).join('');
  const found = BY_START.find(([starts]) => starts.some((start) => latin.startsWith(start)))?.[1];
  if (found) return problem(found === WORKBOOK && isLocked(bytes) ? LOCKED : found, name);
  const text = decodeTable(bytes.subarray(0, 1000))?.text.trimStart() ?? '';
  if (!text.startsWith('<')) return null;
  if (/<ISO11783_TaskData\b/.test(text)) return problem(TASK_DATA, name);
  if (/<(?:kml|gpx)\b/i.test(text)) return problem(MAP_FILE, name);
  return problem(/^<!doctype html|<html\b/i.test(text) ? DOCUMENT : XML, name);
}

/** A compound file that holds an encrypted package: how office programs lock a workbook (MS-OFFCRYPTO 2.3.4.4). */
function isLocked(bytes: Uint8Array): boolean {
  const name = Array.from('EncryptedPackage', (char) => [char.charCodeAt(0), 0]).flat();
  for (let at = bytes.indexOf(0x45); at >= 0; at = bytes.indexOf(0x45, at + 1))
    if (name.every((byte, i) => bytes[at + i] === byte)) return true;
  return false;
}

/** Why a file is refused by its ending; every ending that no reader takes has an answer. */
export function refusedByEnding(ending: string, name: string): Problem {
  return problem(BY_ENDING[ending] ?? (ending === 'xml' ? XML : UNKNOWN), name);
}

/** What a zip is when it is no bundle of files for us: a workbook, a document or a packed map. */
export function refusedZip(inside: readonly string[], name: string): Problem | null {
  if (inside.some((path) => /^xl\/workbook\.bin$|^content\.xml$/.test(path))) return problem(WORKBOOK, name);
  if (inside.some((path) => /^word\/document\.xml$/.test(path))) return problem(DOCUMENT, name);
  return inside.includes('doc.kml') ? problem(MAP_FILE, name) : null;
}

export const refuse = (refused: 'twice' | 'no-ending' | 'zip-in-zip', name: string): Problem => {
  switch (refused) {
    case 'twice':
      return stop('file-twice', `${name} comes twice; the second one is left out.`, 'Take it in once.', { file: name });
    case 'no-ending':
      return stop('file-unknown', `${name} has no ending that says what it is.`, UNKNOWN.remedy, { file: name });
    case 'zip-in-zip':
      return stop('file-archive', `${name} is a zip inside a zip, which is not opened.`, ARCHIVE.remedy, {
        file: name,
      });
  }
};

const problem = (refused: Refused, name: string): Problem =>
  stop(refused.code, `${name} ${refused.what}.`, refused.remedy, { file: name });
