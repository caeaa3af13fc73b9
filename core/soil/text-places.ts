import type { DataRecord, Dataset } from '../formats/types.ts';
import type { LngLat } from '../geo/types.ts';
import { guessColumns } from './guess.ts';

const PAIR = /^[([]?\s*([+-]?\d{1,3}(?:\.\d+)?)\s*(?:[,;]|\s)\s*([+-]?\d{1,3}(?:\.\d+)?)\s*[)\]]?$/;
const WKT =
  /^(?:SRID=4326;)?\s*POINT\s*Z?\s*\(\s*([+-]?\d+(?:\.\d+)?)\s+([+-]?\d+(?:\.\d+)?)(?:\s+[+-]?[\d.]+)?\s*\)$/i;

/** A column whose cells hold both coordinates. */
export interface PairColumn {
  readonly column: string;
  /** A cell as an example. */
  readonly example: string;
  /** Which figure is first; null where nothing tells. */
  readonly first: 'latitude' | 'longitude' | null;
  /** Places by record, in the order told; null where a cell holds none. */
  readonly at: readonly (LngLat | null)[];
}

/**
 * The column of a table without shapes and without coordinate columns that holds both coordinates in each cell: `42.703, -94.226`, or
 * `POINT (-94.226 42.703)`, longitude first (OGC 06-103r4, well-known text). At least nine in ten filled cells must be so, with decimals. Which is
 * the latitude is told by a figure beyond 90, else by the heading (`Lat, Long`), else by nobody. Null where there is no such column.
 */
export function pairColumn(dataset: Dataset): PairColumn | null {
  if (dataset.geometry !== 'none') return null;
  for (const [index, column] of dataset.columns.entries()) {
    const cells = dataset.records.map(({ cells }) => cells[index] ?? null);
    const texts = cells.filter((cell) => cell !== null && cell !== '');
    const pairs = cells.map((cell) => pairOf(cell));
    const found = pairs.flatMap((pair) => pair ?? []);
    if (found.length === 0 || found.length < 0.9 * texts.length) continue;
    const guesses = guessColumns(dataset);
    if (guesses.some(({ is }) => is === 'lng') && guesses.some(({ is }) => is === 'lat')) return null;
    const wkt = found.every((pair) => pair.wkt);
    const first = wkt ? 'longitude' : orderOf(column, found);
    const at = pairs.map((pair): LngLat | null => {
      if (!pair || first === null) return null;
      const [lng, lat] = first === 'longitude' ? [pair.a, pair.b] : [pair.b, pair.a];
      return Math.abs(lng) <= 180 && Math.abs(lat) <= 90 ? [lng, lat] : null;
    });
    return { column, example: String(texts[0] ?? ''), first, at };
  }
  return null;
}

interface Pair {
  readonly a: number;
  readonly b: number;
  readonly wkt: boolean;
}

function pairOf(cell: DataRecord['cells'][number]): Pair | null {
  if (typeof cell !== 'string') return null;
  const text = cell.trim();
  const wkt = WKT.exec(text);
  const found = wkt ?? PAIR.exec(text);
  const [, a = '', b = ''] = found ?? [];
  return found && (wkt || (a.includes('.') && b.includes('.')))
    ? { a: Number(a), b: Number(b), wkt: wkt !== null }
    : null;
}

function orderOf(column: string, pairs: readonly Pair[]): PairColumn['first'] {
  const beyond = (of: (pair: Pair) => number): boolean => pairs.every((pair) => Math.abs(of(pair)) > 90);
  const isLat = (of: (pair: Pair) => number): boolean => pairs.every((pair) => Math.abs(of(pair)) <= 90);
  if (beyond(({ b }) => b) && isLat(({ a }) => a)) return 'latitude';
  if (beyond(({ a }) => a) && isLat(({ b }) => b)) return 'longitude';
  const name = column.toLowerCase();
  const [lat, lng] = [name.search(/lat|breite/), name.search(/lo?ng|lon|l\u00e4nge/)];
  return lat < 0 || lng < 0 ? null : lat < lng ? 'latitude' : 'longitude';
}

/** The table with its places as points, where one column holds both coordinates and their order is told; else the table itself. */
export function placedByText(dataset: Dataset): Dataset {
  const pair = pairColumn(dataset);
  if (!pair || pair.first === null) return dataset;
  return {
    ...dataset,
    geometry: 'point',
    crs: { name: 'WGS 84', from: 'assumed' },
    records: dataset.records.map((record, index): DataRecord => {
      const at = pair.at[index];
      return { ...record, geometry: at ? { type: 'Point', at } : null };
    }),
    reading: [...dataset.reading, `places are read from "${pair.column}", the ${pair.first} first`],
  };
}
