import { type ReactElement, type UIEvent, useEffect, useRef, useState } from 'react';
import type { ColumnUse } from '../../core/soil/settings.ts';
import type { SoilRow } from '../../core/soil/types.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { isOtherSeries } from '../store/soil-kinds.ts';
import { useView } from '../store/view.ts';
import { counted } from '../ui/format.ts';
import { LabHead } from './LabHead.tsx';
import { LabRow, ROW_PX } from './LabRow.tsx';
import { RowDecision } from './RowDecision.tsx';
import type { WhichColumns } from './soil-columns.ts';

interface LabTableProps {
  readonly which: WhichColumns;
  readonly table: TableColumns;
  readonly uses: readonly ColumnUse[];
  readonly rows: readonly SoilRow[];
}

/** Rows drawn beyond those in sight, so that a quick scroll shows no gap. */
const BEYOND = 12;

/**
 * The table as it came: what each column is, in which unit, its spread, then every row, those set aside in their places. Rows of years
 * and depths that are not in use are folded until asked for.
 */
export function LabTable(props: LabTableProps): ReactElement {
  const { table, rows: all } = props;
  const box = useRef<HTMLElement>(null);
  const [first, setFirst] = useState(0);
  const [unfolded, setUnfolded] = useState(false);
  const selected = useView((view) => view.selectedRow);
  const isSelected = (row: SoilRow): boolean => row.file === selected?.file && row.row === selected.row;
  const folded = all.filter(isOtherSeries);
  const open = unfolded || folded.some(isSelected);
  const rows = open ? all : all.filter((row) => !isOtherSeries(row));
  const at = rows.findIndex(isSelected);
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
          <LabHead which={props.which} table={table} uses={props.uses} rows={rows} />
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
      {folded.length > 0 && (
        <p className="small ink2 under">
          {counted(folded.length, 'row')} of other years or depths {open ? 'shown.' : 'folded.'}{' '}
          <button type="button" className="btn link" aria-expanded={open} onClick={() => setUnfolded(!open)}>
            {open ? 'Fold them' : 'Show them'}
          </button>
        </p>
      )}
    </div>
  );
}

const Gap = ({ rows }: { readonly rows: number }): ReactElement => (
  <tr>
    <td colSpan={99} style={{ height: rows * ROW_PX, padding: 0 }} />
  </tr>
);
