import type { ReactElement } from 'react';
import type { SoilOut } from '../../core/soil/types.ts';
import { number } from '../ui/format.ts';

/** `66 rows read = 60 kept + 6 set aside, each with its reason`. */
export const RowCount = ({ soil }: { readonly soil: SoilOut }): ReactElement => (
  <p className="row-count">
    {number(soil.read)} <span>rows read</span>
    <i>=</i>
    {number(soil.kept)} <span>kept</span>
    <i>+</i>
    {number(soil.setAside)} <span>set aside, each with its reason</span>
  </p>
);
