import { type ReactElement, type UIEvent, useEffect, useRef, useState } from 'react';
import type { ColumnUse } from '../../core/soil/settings.ts';
import type { SoilRow } from '../../core/soil/types.ts';
import { MiniHistogram } from '../charts/MiniHistogram.tsx';
import type { TableColumns } from '../compute/protocol.ts';
import { useView } from '../store/view.ts';
import { Select } from '../ui/Fields.tsx';
import { LabRow, ROW_PX } from './LabRow.tsx';
import { RowDecision } from './RowDecision.tsx';
import {
  columnUse,
  confirmKey,
  doubtfulColumns,
  figuresOf,
  ROLE_OPTIONS,
  setColumn,
  unitOptions,
  type WhichColumns,
} from './soil-columns.ts';

interface LabTableProps {
  readonly which: WhichColumns;
  readonly table: TableColumns;
  readonly uses: readonly ColumnUse[];
  readonly rows: readonly SoilRow[];
}

/** Rows drawn beyond those in sight, so that a quick scroll shows no gap. */
const BEYOND = 12;

/** The table as it came: what each column is, in which unit, its spread, then every row, those set aside in their places. */
export function LabTable(props: LabTableProps): ReactElement {
  const { table, rows } = props;
  const box = useRef<HTMLElement>(null);
  const [first, setFirst] = useState(0);
  const selected = useView((view) => view.selectedRow);
  const at = rows.findIndex((row) => row.file === selected?.file && row.row === selected.row);
  useEffect(() => {
    if (at < 0 || !box.current) return;
    const { scrollTop, clientHeight } = box.current;
    const top = at * ROW_PX;
    if (top < scrollTop || top > scrollTop + clientHeight - 160) box.current.scrollTop = Math.max(0, top - 80);
  }, [at]);
  const onScroll = (event: UIEvent<HTMLElement>): void =>
    setFirst(Math.max(0, Math.floor(event.currentTarget.scrollTop / ROW_PX) - BEYOND));
  const shown = rows.slice(first, first + 40 + 2 * BEYOND);
  const after = rows.length - first - shown.length;
  const chosen = rows[at];
  return (
    <div className="section">
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by the keyboard */}
      <section className="lab" ref={box} onScroll={onScroll} tabIndex={0} aria-label={`Table ${table.name}`}>
        <table aria-rowcount={rows.length + 4}>
          <Head {...props} />
          <tbody>
            {first > 0 && <Gap rows={first} />}
            {shown.map((row) => (
              <LabRow
                key={`${row.file} ${row.row}`}
                row={row}
                table={table}
                uses={props.uses}
                chosen={row === chosen}
              />
            ))}
            {after > 0 && <Gap rows={after} />}
          </tbody>
        </table>
      </section>
      {chosen && <RowDecision row={chosen} key={`${chosen.file} ${chosen.row}`} />}
    </div>
  );
}

const Gap = ({ rows }: { readonly rows: number }): ReactElement => (
  <tr>
    <td colSpan={99} style={{ height: rows * ROW_PX, padding: 0 }} />
  </tr>
);

function Head({ which, table, uses, rows }: LabTableProps): ReactElement {
  const confirmed = useView((view) => view.confirmed);
  const doubtful = new Set(doubtfulColumns(table, uses).map((guess) => guess.column));
  const asks = (use: ColumnUse): boolean => doubtful.has(use.column) && !confirmed.has(confirmKey(table, use));
  return (
    <thead>
      <tr className="lab-names">
        <th scope="col" className="row-n">
          {table.format === 'csv' ? 'Row' : 'No.'}
        </th>
        {table.columns.map((column) => (
          <th scope="col" key={column}>
            {column}
          </th>
        ))}
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
                className={`${use.is === 'unused' ? 'skip' : ''} ${asks(use) ? 'asks' : ''}`}
                value={use.is}
                options={ROLE_OPTIONS}
                onCommit={(is) => setColumn(which, table, uses, { ...use, is })}
              />
            </td>
          );
        })}
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
                  className={asks(use) ? 'asks' : ''}
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
      </tr>
      <tr className="lab-spread">
        <th scope="row" className="row-n">
          spread
        </th>
        {table.columns.map((column, index) => (
          <td key={column}>
            {columnUse(uses, column).is !== 'unused' && columnUse(uses, column).is !== 'sampleId' && (
              <MiniHistogram values={figuresOf(rows, index, table.decimal)} label={column} />
            )}
          </td>
        ))}
      </tr>
    </thead>
  );
}
