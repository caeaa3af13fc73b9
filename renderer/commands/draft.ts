import type { MeasuredId, SurfacesSettings } from '../../core/surfaces/settings.ts';
import { compute } from '../compute/index.ts';
import { currentPlan, editPart } from '../store/document.ts';
import { useDraft } from '../store/draft.ts';

let asking = false;

/** Shows what other settings would give, coarsely: the plan stays as it is. The latest wish wins; those between are skipped. */
export function tryOut(settings: SurfacesSettings, layer: MeasuredId, says: string): void {
  const before = useDraft.getState().draft;
  const coarse = before?.layer === layer ? before.coarse : null;
  useDraft.setState({ draft: { settings, layer, says, coarse, keptIn: null } });
  void ask();
}

async function ask(): Promise<void> {
  if (asking) return;
  asking = true;
  try {
    for (;;) {
      const wish = useDraft.getState().draft;
      if (!wish) return;
      const outcome = await compute.call('preview', { settings: wish.settings, layer: wish.layer });
      const now = useDraft.getState().draft;
      // Let go of meanwhile, or already going on to something else: then this one is not shown as that.
      if (!now || now.layer !== wish.layer) {
        if (now) continue;
        return;
      }
      if (outcome.ok && outcome.response)
        useDraft.setState({ draft: { ...now, coarse: { painted: outcome.response, says: wish.says } } });
      if (now.settings === wish.settings) return;
    }
  } finally {
    asking = false;
  }
}

/** The draft goes into the plan, as one step; its coarse surface stays until the plan's own has come. */
export function keepDraft(label: string, patch: Partial<SurfacesSettings>): void {
  const { draft } = useDraft.getState();
  editPart('surfaces', label, patch);
  if (draft) useDraft.setState({ draft: { ...draft, keptIn: currentPlan() } });
}
