import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { ColumnUse } from '../../core/soil/settings.ts';
import type { SoilRow } from '../../core/soil/types.ts';
import { countsDepth } from '../../core/soil/units.ts';
import { MiniHistogram } from '../charts/MiniHistogram.tsx';
import type { TableColumns } from '../compute/protocol.ts';
import { editPart, usePlan } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { NumberField, Select } from '../ui/Fields.tsx';
import { shortNumber, shownValue } from '../ui/format.ts';
import { hasReasonColumn } from './LabRow.tsx';
import {
  columnUse,
  figuresOf,
  openDoubts,
  ROLE_OPTIONS,
  roleChoice,
  setColumn,
  unitOptions,
  type WhichColumns,
  withRole,
} from './soil-columns.ts';

interface LabHeadProps {
  readonly which: WhichColumns;
  readonly table: TableColumns;
  readonly uses: readonly ColumnUse[];
  readonly rows: readonly SoilRow[];
}

/** Of each column: its name, what it is, in which unit, what that unit counts, and the spread of its values. */
export function LabHead(props: LabHeadProps): ReactElement {
  const { which, table, uses, rows } = props;
  const plan = usePlan();
  const doubtful = new Set(openDoubts(table, uses).map((guess) => guess.column));
  const asks = (use: ColumnUse): string => (doubtful.has(use.column) ? 'asks' : '');
  const ofWhat = table.columns.some((column) => needsMore(columnUse(uses, column), uses));
  const spare = hasReasonColumn(table) ? <td className="spare" /> : null;
  return (
    <thead>
      <tr className="lab-names">
        <th scope="col" className="row-n">
          {table.format === 'shapefile' || table.format === 'geojson' ? 'No.' : 'Row'}
        </th>
        {table.columns.map((column) => (
          <th scope="col" key={column}>
            {column}
          </th>
        ))}
        {spare && (
          <th scope="col" className="spare">
            Why it is set aside
          </th>
        )}
      </tr>
      <tr className="lab-is">
        <th scope="row" className="row-n">
          is
        </th>
        {table.columns.map((column) => {
          const use = columnUse(uses, column);
          return (
            <td key={column}>
              <Select
                spoken={`${column} is`}
                setting={`soil.${which}.${column}`}
                className={`${use.is === 'unused' ? 'skip' : ''} ${asks(use)}`}
                value={roleChoice(use)}
                options={ROLE_OPTIONS}
                onCommit={(choice) => setColumn(which, table, uses, withRole(use, choice))}
              />
            </td>
          );
        })}
        {spare}
      </tr>
      <tr className="lab-in">
        <th scope="row" className="row-n">
          in
        </th>
        {table.columns.map((column) => {
          const use = columnUse(uses, column);
          const options = unitOptions(use.is);
          return (
            <td key={column}>
              {options.length > 1 ? (
                <Select
                  spoken={`${column} in`}
                  className={asks(use)}
                  value={use.unit}
                  options={options}
                  onCommit={(unit) => setColumn(which, table, uses, { ...use, unit })}
                />
              ) : (
                <span className="only-unit">{use.unit === 'none' ? '' : use.unit}</span>
              )}
            </td>
          );
        })}
        {spare}
      </tr>
      {ofWhat && plan && (
        <tr className="lab-of">
          <th scope="row" className="row-n">
            of
          </th>
          {table.columns.map((column) => (
            <td key={column}>
              <OfWhat {...props} plan={plan} use={columnUse(uses, column)} />
            </td>
          ))}
          {spare}
        </tr>
      )}
      <tr className="lab-spread">
        <th scope="row" className="row-n">
          spread
        </th>
        {table.columns.map((column, index) => {
          const { is } = columnUse(uses, column);
          return (
            <td key={column}>
              {is !== 'unused' && is !== 'sampleId' && (
                <MiniHistogram values={figuresOf(rows, index, table.decimal)} label={column} />
              )}
            </td>
          );
        })}
        {spare}
      </tr>
    </thead>
  );
}

const hasDensity = (uses: readonly ColumnUse[]): boolean => uses.some((use) => use.is === 'density');

/** Whether a column's unit says nothing without a depth or a density. */
export const needsMore = (use: ColumnUse, uses: readonly ColumnUse[]): boolean =>
  countsDepth(use.unit) || (use.unit === 'mg/L' && !hasDensity(uses));

/** What a figure in lb/ac or kg/ha counts, or the density that turns mg/L into ppm. */
function OfWhat(props: LabHeadProps & { readonly plan: Plan; readonly use: ColumnUse }): ReactElement | null {
  const { plan, use, uses, which, table } = props;
  const units = useView((view) => view.units);
  if (!needsMore(use, uses)) return null;
  if (countsDepth(use.unit))
    return (
      <NumberField
        label={<span className="unseen">Depth that {use.column} counts</span>}
        measure="depth"
        min={0.5}
        max={48}
        value={use.of_in ?? null}
        blank={shortNumber(shownValue(plan.soil.depth_in, 'depth', units), 1)}
        onCommit={(of_in) => setColumn(which, table, uses, { ...use, of_in })}
        onBlank={() => {
          const { of_in: _, ...rest } = use;
          setColumn(which, table, uses, rest);
        }}
      />
    );
  const { scooped_gPerCm3 } = plan.soil;
  return (
    <div className={scooped_gPerCm3 === null ? 'asks-density' : undefined}>
      <NumberField
        label={<span className="unseen">Density of the scooped soil, for {use.column}</span>}
        measure="plain"
        unit="g/cm³"
        min={0.3}
        max={2}
        value={scooped_gPerCm3}
        blank="density"
        onCommit={(value) => editPart('soil', `scooped density ${value} g/cm³`, { scooped_gPerCm3: value })}
        onBlank={() => editPart('soil', 'no scooped density', { scooped_gPerCm3: null })}
      />
    </div>
  );
}
