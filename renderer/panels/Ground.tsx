import './ground.css';
import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { setFieldHistory } from '../commands/ground.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { GroundAreas } from './GroundAreas.tsx';
import { GroundFields } from './GroundFields.tsx';

/** What a soil test does not tell of the ground: manure, water, texture, slope, grazing, days and seasons. */
export const Ground = ({ plan }: { readonly plan: Plan }): ReactElement => (
  <>
    <Section title="The whole field">
      <p className="small ink2">
        CEC alone does not tell manured ground. What is told here decides cautions, credits and how much a pass may
        hold; what is not told is assumed nowhere.
      </p>
      <div className="under">
        <GroundFields history={plan.ground.history} setting="ground.history" onChange={setFieldHistory} />
      </div>
    </Section>
    <GroundAreas plan={plan} />
  </>
);
