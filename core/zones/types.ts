import type { LngLat, MultiPolygon } from '../geo/types.ts';
import type { AnyLayerId } from '../surfaces/types.ts';
import type { Balance } from './balance.ts';
import type { ZoneRole } from './settings.ts';

/** Spread of one layer over a zone, each cell weighted by the ground it shares with the field. */
export interface ZoneStat {
  readonly mean: number;
  readonly median: number;
  /** Twentieth percentile. */
  readonly p20: number;
  readonly sd: number;
  /** 100 x sd / mean; NaN where the mean is 0. */
  readonly cv_pct: number;
  readonly min: number;
  readonly max: number;
  /** Acres of the zone where the layer has a value. */
  readonly known_ac: number;
}

export interface Zone {
  /** Stable while the class limits stay: `2` or `2.1.1`. Overrides and names hang on it. */
  readonly key: string;
  /** A, B, C ... in class order. */
  readonly letter: string;
  readonly name: string;
  /** What the class is, in words: `K₂O to reach the target 100-200 lb/ac, CEC under 8`. */
  readonly what: string;
  /** Value in the label raster. */
  readonly label: number;
  readonly acres: number;
  readonly polygons: MultiPolygon;
  /** Widest spot of the largest part: where its letter is drawn. */
  readonly spot: LngLat;
  /** Widest spots of the other parts of half an acre and more, where the letter is drawn again. */
  readonly otherSpots: readonly LngLat[];
  readonly samples: number;
  readonly far_ac: number;
  /** Part of the spreadable ground, 0 to 1. */
  readonly share: number;
  readonly role: ZoneRole;
  readonly stats: Readonly<Partial<Record<AnyLayerId, ZoneStat>>>;
}

export interface ZonesOut {
  /** Over the lattice's cells: 0 outside, else the zone's label. */
  readonly labels: Int16Array;
  readonly zones: readonly Zone[];
  /** Acres that changed class in the sieve. */
  readonly sieved_ac: number;
  /** Acres that changed class where narrow parts were opened away. */
  readonly opened_ac: number;
  /** Columns of the file of zone polygons, to name zones by; empty with another method. */
  readonly polygonColumns: readonly string[];
  /** Limits of the classes of the first layer, as they were made; null with another method. */
  readonly breaks: readonly number[] | null;
  /** Share of each layer's variance that the zones account for, 0 to 1. */
  readonly explained: Readonly<Partial<Record<AnyLayerId, number>>>;
  /** Null without K or saturation. */
  readonly balance: Balance | null;
  readonly spreadable_ac: number;
}
