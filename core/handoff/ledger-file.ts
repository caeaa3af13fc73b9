import { writeCsv } from '../formats/csv-write.ts';
import type { RatesOut } from '../rates/types.ts';
import { roundTo } from './columns.ts';
import type { OutFile } from './types.ts';

const HEAD = ['zone', 'acres', 'line', 'what', 'how', 'unit', 'working', 'carried', 'source'];

/** Every line of every zone's account as one table, so that a rate can be argued with where the program is not. */
export function ledgerFile(rates: RatesOut): OutFile {
  const rows = rates.zones.flatMap((zone) =>
    zone.lines.map((line) => [
      zone.letter,
      roundTo(zone.acres, 4),
      line.n,
      line.label,
      line.how,
      line.unit,
      rounded(line.working),
      rounded(line.carried),
      line.source ?? '',
    ]),
  );
  return { path: 'ledger.csv', bytes: writeCsv([HEAD, ...rows]), what: "every line of every zone's ledger" };
}

/** Four decimals: more than any line shows, fewer than two JavaScript engines could differ in. */
const rounded = (value: number | null): number | null => (value === null ? null : roundTo(value, 4));
