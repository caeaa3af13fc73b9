import { encodeUtf8 } from '../../core/base/text.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { zipFiles } from '../../core/formats/zip.ts';

export type Cells = readonly (string | number)[];
const xmlRow = (cells: Cells): string =>
  `<row>${cells.map((cell) => (typeof cell === 'number' ? `<c><v>${cell}</v></c>` : `<c t="str"><v>${cell}</v></c>`)).join('')}</row>`;

/** A workbook of several sheets, each with its name and rows. */
export function book(sheets: readonly (readonly [string, readonly Cells[]])[]): NamedBytes {
  const part = (name: string, text: string): NamedBytes => ({ name, bytes: encodeUtf8(text) });
  return {
    name: 'lab.xlsx',
    bytes: zipFiles([
      part(
        'xl/workbook.xml',
        `<workbook><sheets>${sheets.map(([name], n) => `<sheet name="${name}" sheetId="${n + 1}" r:id="a${n}" xmlns:r="r"/>`).join('')}</sheets></workbook>`,
      ),
      part(
        'xl/_rels/workbook.xml.rels',
        `<Relationships>${sheets.map((_, n) => `<Relationship Id="a${n}" Type="x/worksheet" Target="worksheets/${n}.xml"/>`).join('')}</Relationships>`,
      ),
      ...sheets.map(([, rows], n) =>
        part(`xl/worksheets/${n}.xml`, `<worksheet><sheetData>${rows.map(xmlRow).join('')}</sheetData></worksheet>`),
      ),
    ]),
  };
}
