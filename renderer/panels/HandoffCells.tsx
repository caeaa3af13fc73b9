import type { ReactElement } from 'react';
import { localFrame, toLocal } from '../../core/geo/frame.ts';
import type { LngLat } from '../../core/geo/types.ts';
import type { CellsOut } from '../../core/handoff/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { endSketch, startSketch, useSketch } from '../store/sketch.ts';
import { useView } from '../store/view.ts';
import { CheckField, NumberField } from '../ui/Fields.tsx';
import { counted, number, quantity, shortNumber } from '../ui/format.ts';

const DRAWN = 'The way the machine drives.';

/** Cells along the way of driving: where they lie, and what cutting the zones into them changes. */
export function HandoffCells({ plan }: { readonly plan: Plan }): ReactElement {
  const { cells } = plan.handoff;
  const made = useResults((results) => results.out?.handoff?.cells ?? null);
  const boundary = useResults((results) => results.out?.field?.boundary);
  const task = useSketch((state) => state.task);
  const units = useView((view) => view.units);
  const change = (label: string, patch: Partial<Plan['handoff']['cells']>): void =>
    editPart('handoff', label, { cells: { ...cells, ...patch } });
  const draw = (): void =>
    startSketch({
      shape: 'line',
      says: DRAWN,
      snapTo: (boundary ?? []).flat(),
      onDone: (positions) => {
        endSketch();
        const heading_deg = headingOf(positions);
        if (heading_deg !== null)
          change(`drive at ${shortNumber(heading_deg, 1)}°`, { heading_deg: Number(heading_deg.toFixed(1)) % 360 });
      },
    });
  return (
    <fieldset className="sub-fields">
      <legend>Cells</legend>
      <NumberField
        label="Way of driving"
        hint="from north, clockwise; blank follows the longest edge"
        setting="handoff.cells.heading_deg"
        measure="plain"
        unit="°"
        min={0}
        max={359.9}
        value={cells.heading_deg}
        blank={made?.from === 'longest edge' ? shortNumber(made.heading_deg, 1) : ''}
        onCommit={(heading_deg) => change(`drive at ${shortNumber(heading_deg, 1)}°`, { heading_deg })}
        onBlank={() => change('drive along the longest edge', { heading_deg: null })}
      />
      <div className="hand-acts">
        <button type="button" className="btn s" aria-pressed={task?.says === DRAWN} onClick={draw}>
          Draw the way
        </button>
      </div>
      <NumberField
        label="Swath"
        hint="what one run covers"
        setting="handoff.cells.swath_m"
        measure="distance"
        min={2}
        max={100}
        value={cells.swath_m}
        onCommit={(swath_m) => change(`swath ${quantity(swath_m, 'distance', units)}`, { swath_m })}
      />
      <NumberField
        label="Length of a cell"
        setting="handoff.cells.length_m"
        measure="distance"
        min={2}
        max={500}
        value={cells.length_m}
        onCommit={(length_m) => change(`cells ${quantity(length_m, 'distance', units)} long`, { length_m })}
      />
      <NumberField
        label="Join cut cells under"
        hint="of a whole one"
        setting="handoff.cells.least_share"
        measure="percent"
        min={0}
        max={90}
        value={cells.least_share * 100}
        onCommit={(percent) =>
          change(`join cells under ${shortNumber(percent)} %`, { least_share: Number((percent / 100).toFixed(6)) })
        }
      />
      <NumberField
        label="Most change from cell to cell"
        hint="along the way"
        setting="handoff.cells.ramp_lbPerAc"
        measure="rate"
        min={0.1}
        value={cells.ramp_lbPerAc}
        blank="no limit"
        onCommit={(ramp) => change(`rates change by ${quantity(ramp, 'rate', units)} at most`, { ramp_lbPerAc: ramp })}
        onBlank={() => change('no limit on change from cell to cell', { ramp_lbPerAc: null })}
      />
      <CheckField
        label="Cells of one rate become one record"
        setting="handoff.cells.joinEqual"
        checked={cells.joinEqual}
        onCommit={(joinEqual) => change(joinEqual ? 'join cells of one rate' : 'a record a cell', { joinEqual })}
      />
      {made && <p className="small ink2">{cellsText(made, units)}</p>}
    </fieldset>
  );
}

/** What the cells are and what they change, in a sentence or two. */
export function cellsText(made: CellsOut, units: 'US' | 'metric'): string {
  const size = `${quantity(made.swath_m, 'distance', units)} × ${quantity(made.length_m, 'distance', units)}`;
  const way = `${shortNumber(made.heading_deg, 1)}°${made.from === 'longest edge' ? ', along the longest edge' : ''}`;
  const moved = made.ramped > 0 ? ` The limit on change moved ${counted(made.ramped, 'rate')}.` : '';
  const change = quantity(Math.abs(made.change_lb), 'pounds', units);
  const much =
    Math.abs(made.change_lb) < 0.5
      ? 'The product stays the same'
      : `${change} ${made.change_lb > 0 ? 'more' : 'less'} product than by zones`;
  return `${counted(made.cells, 'cell')} of ${size} at ${way}; ${counted(made.slivers, 'sliver')} joined, ${number(made.mixed)} across zones. ${much}: ${quantity(made.over_ac, 'area', units)} get more than their zone asks, ${quantity(made.under_ac, 'area', units)} less.${moved}`;
}

/** Degrees clockwise from north, from the first to the last place of a drawn line; null where it goes nowhere. */
function headingOf(positions: readonly LngLat[]): number | null {
  const first = positions[0];
  const last = positions.at(-1);
  if (!first || !last) return null;
  const [east, north] = toLocal(localFrame(first), last);
  if (east === 0 && north === 0) return null;
  return ((Math.atan2(east, north) * 180) / Math.PI + 360) % 360;
}
