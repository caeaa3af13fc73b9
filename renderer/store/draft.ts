import { create } from 'zustand';
import type { Plan } from '../../core/plan/schema.ts';
import type { MeasuredId, SurfacesSettings } from '../../core/surfaces/settings.ts';
import type { MapPreview } from '../map/props.ts';

/** Settings that are being tried by hand, and the coarse surface that they give. Nothing here belongs to the plan. */
export interface SurfaceDraft {
  readonly settings: SurfacesSettings;
  readonly layer: MeasuredId;
  /** Null until the first coarse surface has come. */
  readonly values: Float64Array | null;
  /** The settings that `values` were made with, in words. */
  readonly says: string;
  /** The plan that the settings went into: the coarse surface stays until that plan's own has come. */
  readonly keptIn: Plan | null;
}

export const useDraft = create<{ readonly draft: SurfaceDraft | null }>()(() => ({ draft: null }));

/** What the map shows instead of the layer: the coarse surface of a draft. */
export function usePreview(): MapPreview | null {
  const draft = useDraft((state) => state.draft);
  // The same object for as long as the draft is the same, so that the map paints it once.
  return draft ? previewOf(draft) : null;
}
const previews = new WeakMap<SurfaceDraft, MapPreview>();

function previewOf(draft: SurfaceDraft): MapPreview | null {
  if (!draft.values) return null;
  const known = previews.get(draft);
  if (known) return known;
  const says = draft.keptIn ? 'Coarse; the fine one is being made' : `Coarse, while you try ${draft.says}`;
  const made = { layer: draft.layer, values: draft.values, says };
  previews.set(draft, made);
  return made;
}

export const dropDraft = (): void => useDraft.setState({ draft: null });

/** The plan's own surfaces have come: a draft that went into that plan has done its part. */
export function settleDraft(plan: Plan): void {
  const { draft } = useDraft.getState();
  if (draft?.keptIn === plan) dropDraft();
}
