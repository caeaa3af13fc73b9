import { useMemo } from 'react';
import { create } from 'zustand';
import type { NamedBytes } from '../../core/formats/types.ts';
import { bounds } from '../../core/geo/bounds.ts';
import { contains } from '../../core/geo/contains.ts';
import type { LngLat } from '../../core/geo/types.ts';
import type { Against } from '../../core/handoff/back/compare.ts';
import type { Looked, OpenedPrescription, Told } from '../../core/handoff/back/types.ts';
import type { OpenedAgainst } from '../compute/protocol.ts';
import { type OpenedOnMap, openedOnMap } from '../map/opened.ts';

/** A prescription that was opened to be looked at. It belongs to the session, not to the plan. */
export interface OpenedState {
  /** Empty while nothing is opened. */
  readonly files: readonly NamedBytes[];
  readonly told: Told;
  readonly reading: boolean;
  readonly look: Looked | null;
  /** Pass and product chosen to compare with; null follows the file. */
  readonly against: Against | null;
  /** Null where there is no plan to compare with, or it is not made yet. */
  readonly back: OpenedAgainst | null;
}

export const NOTHING_OPENED: OpenedState = {
  files: [],
  told: {},
  reading: false,
  look: null,
  against: null,
  back: null,
};

export const useOpened = create<OpenedState>()(() => NOTHING_OPENED);

const readOf = ({ look }: OpenedState): OpenedPrescription | null => (look?.read.ok ? look.read.value : null);

export const openedNow = (): OpenedPrescription | null => readOf(useOpened.getState());
export const useOpenedPrescription = (): OpenedPrescription | null => useOpened(readOf);

/** What the map draws of it, made once a file and comparison. */
export function useOpenedOnMap(): OpenedOnMap | null {
  const opened = useOpenedPrescription();
  const back = useOpened((state) => state.back);
  return useMemo(() => (opened ? openedOnMap(opened, back) : null), [opened, back]);
}

const boxes = new WeakMap<OpenedPrescription, Float64Array>();

/** West, south, east, north of each piece, one after the other. */
function boxesOf(opened: OpenedPrescription): Float64Array {
  const known = boxes.get(opened);
  if (known) return known;
  const made = new Float64Array(opened.pieces.length * 4);
  for (const [i, { polygons }] of opened.pieces.entries()) {
    const { west, south, east, north } = bounds(polygons);
    made.set([west, south, east, north], i * 4);
  }
  boxes.set(opened, made);
  return made;
}

/** What the file says at a place: its rate in lb/ac, NaN where the record there gives none, null outside all records. */
export function openedRateAt(opened: OpenedPrescription, [lng, lat]: LngLat): number | null {
  const box = boxesOf(opened);
  for (const [i, piece] of opened.pieces.entries()) {
    const at = i * 4;
    const [west = 0, south = 0, east = 0, north = 0] = [box[at], box[at + 1], box[at + 2], box[at + 3]];
    if (lng < west || lng > east || lat < south || lat > north) continue;
    if (contains(piece.polygons, [lng, lat])) return piece.rate_lbPerAc;
  }
  return null;
}
