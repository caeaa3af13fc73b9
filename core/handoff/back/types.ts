import type { Result } from '../../base/problem.ts';
import type { MultiPolygon } from '../../geo/types.ts';

export type RateUnit = 'lb/ac' | 'kg/ha';

/** What a person said about a file, for what the file itself leaves open. */
export interface Told {
  /** Which of several layers of polygons: its name in `Asked.layers`. */
  readonly layer?: string;
  /** Name of the column that holds the rate. */
  readonly column?: string;
  /** Goes before what the file says. */
  readonly unit?: RateUnit;
  /** Coordinate system where the file names none. */
  readonly crs?: string;
}

/** One record of an opened prescription. */
export interface OpenedPiece {
  /** Number of the record in its file, from 1. */
  readonly row: number;
  readonly polygons: MultiPolygon;
  /** On the WGS84 ellipsoid. */
  readonly acres: number;
  /** NaN where the record gives none. */
  readonly rate_lbPerAc: number;
  /** As the file has it, in its own unit; NaN likewise. */
  readonly asWritten: number;
}

/** All ground of one rate. */
export interface OpenedRate {
  readonly rate_lbPerAc: number;
  /** As the file has it, in its own unit. */
  readonly asWritten: number;
  readonly records: number;
  readonly acres: number;
  readonly product_lb: number;
}

/** A prescription as some file has it, whoever wrote it. It belongs to no plan. */
export interface OpenedPrescription {
  readonly name: string;
  readonly files: readonly string[];
  readonly format: 'shapefile' | 'geojson' | 'task data';
  /** Column that the rate was read from. */
  readonly column: string;
  readonly unit: RateUnit;
  /** How the unit is known, in words: `column UNIT`. */
  readonly unitFrom: string;
  /** As the file names it; empty where it does not. */
  readonly product: string;
  readonly pass: string;
  /** Records in the file = pieces + records set aside, which a Problem lists. */
  readonly records: number;
  readonly pieces: readonly OpenedPiece[];
  /** Of all pieces; ground that two of them share counts twice. */
  readonly acres: number;
  /** Of pieces with a rate above 0, at 0, and without any. */
  readonly spread_ac: number;
  readonly zero_ac: number;
  readonly unrated_ac: number;
  /** Ground that lies under more than one piece; null where the file is too large to measure it. */
  readonly overlap_ac: number | null;
  /** Outline of all pieces together; null where `overlap_ac` is. */
  readonly outline: MultiPolygon | null;
  /** Ascending. */
  readonly rates: readonly OpenedRate[];
  readonly product_lb: number;
  readonly product_tons: number;
}

/** A column that may hold the rate. */
export interface RateCandidate {
  readonly column: string;
  /** Least and most figure in it. */
  readonly least: number;
  readonly most: number;
  readonly records: number;
  /** How well its name says rate: 3 says so itself, 2 names a rate of something or a unit per area, 1 says neither. */
  readonly rank: 1 | 2 | 3;
}

/** What can be chosen about a file, whether or not it could be read. */
export interface Asked {
  readonly layers: readonly string[];
  readonly layer: string | null;
  /** Best first. */
  readonly candidates: readonly RateCandidate[];
  readonly column: string | null;
  readonly unit: RateUnit | null;
  /** True where no unit stands in the file, so that one had to be told. */
  readonly unitOpen: boolean;
}

export interface Looked {
  readonly asked: Asked;
  readonly read: Result<OpenedPrescription>;
}
