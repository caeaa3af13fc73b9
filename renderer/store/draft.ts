import { create } from 'zustand';
import type { Plan } from '../../core/plan/schema.ts';
import type { MeasuredId, SurfacesSettings } from '../../core/surfaces/settings.ts';
import type { PaintedLayer } from '../map/painted.ts';
import type { MapPreview } from '../map/props.ts';

/** Settings that are being tried by hand, and the coarse surface that they give. Nothing here belongs to the plan. */
export interface SurfaceDraft {
  readonly settings: SurfacesSettings;
  readonly layer: MeasuredId;
  /** The settings in words. */
  readonly says: string;
  /** The coarse surface that came last, and what it was made with; null until the first has come. */
  readonly coarse: { readonly painted: PaintedLayer; readonly says: string } | null;
  /** The plan that the settings went into: the coarse surface stays until that plan's own has come. */
  readonly keptIn: Plan | null;
}

export const useDraft = create<{ readonly draft: SurfaceDraft | null }>()(() => ({ draft: null }));

/** What the map shows instead of the layer: the coarse surface of a draft. */
export function usePreview(): MapPreview | null {
  const draft = useDraft((state) => state.draft);
  return draft ? previewOf(draft) : null;
}
function previewOf(draft: SurfaceDraft): MapPreview | null {
  if (!draft.coarse) return null;
  const { coarse, keptIn } = draft;
  const says = keptIn ? 'Coarse; the fine one is being made' : `Coarse, while you try ${coarse.says}`;
  // The same object for as long as nothing of it changes, so that the map paints it once.
  if (last?.painted !== coarse.painted || last.says !== says) last = { painted: coarse.painted, says };
  return last;
}
let last: MapPreview | null = null;

export function dropDraft(): void {
  last = null;
  useDraft.setState({ draft: null });
}

/** The plan's own surfaces have come, or never will: a draft that went into the plan has done its part. */
export function settleDraft(): void {
  if (useDraft.getState().draft?.keptIn) dropDraft();
}
