import type { ReactElement } from 'react';
import { chooseTable } from '../commands/columns.ts';
import type { TableColumns } from '../compute/protocol.ts';
import { SelectField } from '../ui/Fields.tsx';
import { counted } from '../ui/format.ts';

/** Which of several sheets with lab values is read; nothing where there is only one. */
export function SheetChooser({ table }: { readonly table: TableColumns }): ReactElement | null {
  const { labTables } = table;
  if (labTables.length < 2) return null;
  const options = labTables.map((one) => ({ value: one.table, label: `${one.table}, ${counted(one.rows, 'row')}` }));
  return (
    <SelectField
      label="Sheet with the lab values"
      setting="soil.sampleTable"
      value={table.table}
      options={options}
      onCommit={(chosen) => void chooseTable(chosen)}
    />
  );
}
