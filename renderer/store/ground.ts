import { useMemo } from 'react';
import { create } from 'zustand';
import type { Problem } from '../../core/base/problem.ts';
import { intersection } from '../../core/geo/clip.ts';
import type { HistoryArea } from '../../core/soil/history.ts';
import type { GroundArea } from '../map/props.ts';
import { usePlan } from './document.ts';
import { useResults } from './results.ts';
import { useView } from './view.ts';

/** What is looked at of the ground's history. Nothing here belongs to the plan. */
export interface GroundView {
  /** Id of the area whose history is being told. */
  readonly open: string | null;
  /** Id of the area that has just been added: its name is asked for. */
  readonly fresh: string | null;
  /** What was the matter with the last area drawn or read. */
  readonly problems: readonly Problem[];
  readonly reading: boolean;
}

export const NO_GROUND: GroundView = { open: null, fresh: null, problems: [], reading: false };
export const useGround = create<GroundView>()(() => NO_GROUND);

const NO_AREAS: readonly HistoryArea[] = [];

/** The areas as the map draws them, as far as they lie in the field: while the field's own panel is open. */
export function useShownAreas(): readonly GroundArea[] {
  const areas = usePlan()?.ground.areas ?? NO_AREAS;
  const shown = useView((view) => view.panel === 'field');
  const open = useGround((state) => state.open);
  const field = useResults((results) => results.out?.field?.boundary);
  return useMemo(
    () =>
      shown
        ? areas.map(({ id, name, polygons }) => {
            const inside = field ? intersection(polygons, field) : polygons;
            return { id, name, polygons: inside.length > 0 ? inside : polygons, chosen: id === open };
          })
        : [],
    [areas, shown, open, field],
  );
}
