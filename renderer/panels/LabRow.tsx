import type { ReactElement } from 'react';
import type { ColumnUse } from '../../core/soil/settings.ts';
import type { SoilRow } from '../../core/soil/types.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { rowKey, useOutliers } from '../store/outliers.ts';
import { useView } from '../store/view.ts';
import { SeverityMark } from '../ui/marks.tsx';
import { OutlierMark } from './RowDecision.tsx';
import { columnUse } from './soil-columns.ts';

/** Height of a row with its rule; the table is drawn only where it is in sight. */
export const ROW_PX = 29;
/** Columns that a reason needs to be read in one line. */
const ROOM = 4;

/** Whether a table is so narrow that reasons stand in a column of their own, behind the others. */
export const hasReasonColumn = (table: TableColumns): boolean => table.columns.length <= ROOM;

interface LabRowProps {
  readonly row: SoilRow;
  readonly table: TableColumns;
  readonly uses: readonly ColumnUse[];
  readonly chosen: boolean;
}

/** One row as the file has it. A row set aside stays in its place, the bad cell framed, the reason in the row. */
export function LabRow({ row, table, uses, chosen }: LabRowProps): ReactElement {
  const worst = row.reasons.find((reason) => reason.severity !== 'note')?.severity;
  const outlier = useOutliers().has(rowKey(row));
  const state = `${row.kept ? '' : 'aside'} ${chosen ? 'chosen' : ''}`;
  return (
    <tr className={state} data-row={row.row} aria-rowindex={row.row}>
      <th scope="row" className="row-n">
        <button
          type="button"
          aria-pressed={chosen}
          aria-label={`Row ${row.row}, ${row.id}, ${row.kept ? 'kept' : 'set aside'}`}
          onClick={() => choose(row, chosen)}
        >
          {row.row}
        </button>
        {worst && <SeverityMark severity={worst} />}
        {outlier && <OutlierMark />}
      </th>
      {hasReasonColumn(table) ? (
        <PlainCells row={row} table={table} uses={uses} />
      ) : row.kept || row.reasons.length === 0 ? (
        table.columns.map((column, index) => (
          <Cell key={column} row={row} index={index} use={columnUse(uses, column)} />
        ))
      ) : (
        <AsideCells row={row} table={table} uses={uses} />
      )}
    </tr>
  );
}

function choose(row: SoilRow, chosen: boolean): void {
  useView.setState({
    selectedRow: chosen ? null : { file: row.file, row: row.row },
    litSamples: new Set(chosen || !row.kept ? [] : [row.id]),
  });
}

function Cell({
  row,
  index,
  use,
}: {
  readonly row: SoilRow;
  readonly index: number;
  readonly use: ColumnUse;
}): ReactElement {
  const bad = row.badColumns.includes(use.column);
  const kind = [
    use.is === 'sampleId' ? 'text' : '',
    use.is === 'unused' ? 'skip' : '',
    bad ? (row.kept ? 'watch' : 'bad') : '',
  ].join(' ');
  return <td className={kind}>{row.cells[index] ?? ''}</td>;
}

/** Every cell, and behind them why the row is set aside. */
const PlainCells = ({ row, table, uses }: Omit<LabRowProps, 'chosen'>): ReactElement => (
  <>
    {table.columns.map((column, index) => (
      <Cell key={column} row={row} index={index} use={columnUse(uses, column)} />
    ))}
    <td className="why beside">{row.kept ? '' : row.reasons.map((reason) => reason.message).join(' ')}</td>
  </>
);

/** The cells around the reason: it stands behind the bad cell where there is room, otherwise before it. */
function AsideCells({ row, table, uses }: Omit<LabRowProps, 'chosen'>): ReactElement {
  const bad = row.badColumns.map((column) => table.columns.indexOf(column)).filter((index) => index >= 0);
  const idAt = Math.max(
    0,
    table.columns.findIndex((column) => columnUse(uses, column).is === 'sampleId'),
  );
  const lastBad = Math.max(idAt, ...bad);
  const behind = lastBad + ROOM < table.columns.length;
  const from = behind ? lastBad + 1 : idAt + 1;
  const to = behind ? table.columns.length : Math.max(from + 1, Math.min(...bad.filter((index) => index > idAt)));
  const cell = (index: number): ReactElement => (
    <Cell key={table.columns[index]} row={row} index={index} use={columnUse(uses, table.columns[index] ?? '')} />
  );
  const words = row.reasons.map((reason) => reason.message).join(' ');
  return (
    <>
      {indices(0, from).map(cell)}
      <td className="why" colSpan={to - from} title={words}>
        set aside: {words}
      </td>
      {indices(to, table.columns.length).map(cell)}
    </>
  );
}

const indices = (from: number, to: number): readonly number[] =>
  Array.from({ length: Math.max(0, to - from) }, (_, i) => from + i);
