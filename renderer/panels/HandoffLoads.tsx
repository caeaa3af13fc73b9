import type { ReactElement } from 'react';
import type { LoadLine } from '../../core/handoff/types.ts';
import { useView } from '../store/view.ts';
import { counted, figure, quantity, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** How the product is carried to the field: whole loads, and what the last one holds. */
export function HandoffLoads({ loads }: { readonly loads: readonly LoadLine[] }): ReactElement | null {
  const units = useView((view) => view.units);
  const first = loads[0];
  if (!first) return null;
  return (
    <Section title="Loads" aside={`${quantity(first.hopper_tons, 'tons', units)} each`}>
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Pass</th>
            <th scope="col">Product</th>
            <th scope="col">Loads</th>
            <th scope="col" className="num">
              {unitOf('tons', units)} in all
            </th>
            <th scope="col" className="num">
              {unitOf('area', units)} a load
            </th>
          </tr>
        </thead>
        <tbody>
          {loads.map((load) => (
            <tr key={`${load.pass} ${load.product}`}>
              <td>{load.pass}</td>
              <td>{load.product}</td>
              <td>{loadText(load, units)}</td>
              <td className="num">{figure(load.tons, 'tons', units, 2)}</td>
              <td className="num">{figure(load.acresPerLoad, 'area', units)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Section>
  );
}

/** `2 full, then 4.38 tons`. */
function loadText({ full, last_tons }: LoadLine, units: 'US' | 'metric'): string {
  const last = quantity(last_tons, 'tons', units, 2);
  if (full === 0) return `one of ${last}`;
  return last_tons > 0 ? `${counted(full, 'full load')}, then ${last}` : counted(full, 'full load');
}
