import './outlines.css';
import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { ZoneHand } from './ZoneHand.tsx';
import { ZoneMethod } from './ZoneMethod.tsx';
import { ZoneTable } from './ZoneTable.tsx';
import { ZoneWorth } from './ZoneWorth.tsx';

/** How the zones are cut, what was changed by hand, and the zones that came of it. */
export const Outlines = ({ plan }: { readonly plan: Plan }): ReactElement => (
  <>
    <ZoneMethod plan={plan} />
    <ZoneHand plan={plan} />
    <ZoneTable plan={plan} />
    <ZoneWorth plan={plan} />
  </>
);
