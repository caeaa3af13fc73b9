import type { ReactElement } from 'react';
import { Note } from '../ui/Note.tsx';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';

/** Review stands beside the way; what it says is all that this version can. */
export const ReviewPanel = (): ReactElement => (
  <PanelFrame panel="review" title="Review" sentence="What the field did with the plan.">
    <Section>
      <p>
        Nothing yet. This version reads neither yield points nor pinned notes, as-applied records nor earlier tests. The
        prescription needs none of them.
      </p>
      <Note>
        Keep those files beside the plan: its zones keep their letters and outlines, so that they can be set against
        them later.
      </Note>
    </Section>
  </PanelFrame>
);
