import { BASES } from '../../core/rates/basis.ts';
import { CROPS } from '../../core/rates/crops.ts';
import { COLUMN_WORD_LIST } from './column-option.ts';

export const COMMANDS = ['build', 'check', 'prove', 'start-plan', 'basis'] as const;
export type Command = (typeof COMMANDS)[number];

/** Column where the explanations of options begin; no line is wider than 80. */
const TEXT_COLUMN = 26;

const JSON_AND_HELP = `  --json                  one JSON document on stdout, all else on stderr
  --help                  this text`;
const WORK = `  --jobs <n>              how many at once; unless told, as many as there are
                          cores
  --time-limit <seconds>  give up after so long without a sign of life;
                          120 unless told
${JSON_AND_HELP}`;

const EXIT = `Exit code: 0 done, 1 the input has problems (each with file, row and remedy),
2 wrong usage.`;
const PLAN = 'A plan is a plan folder, the plan.json in it, or a packed .pearlash file.';

export const OVERVIEW = `pearlash: variable-rate potassium prescriptions from a boundary and a soil test

  pearlash build <plan>... --out <folder>
      run the plan, write the prescription, read it back and prove it
  pearlash check <plan>...
      read and judge the inputs only
  pearlash prove <folder>...
      compare written files with the figures of their plan
  pearlash start-plan --boundary <file> --samples <file> --out <plan> [...]
      make a plan from raw files; every guess is printed
  pearlash basis <plan> [--take <basis>] --out <file or plan>
      write the way of working that a plan stands on, or take another

${PLAN}
pearlash <command> --help tells the options, pearlash --version the version.
${EXIT}
`;

export const USAGE: Readonly<Record<Command, string>> = {
  build: `pearlash build <plan>... --out <folder>

Runs the plan from its raw files to the prescription, writes the files, reads
them back from the disk and proves acres, tons and rates. An earlier export in
the folder is replaced whole. With several plans each gets a folder of its own
below --out. Written, as far as the plan chooses them:

  *.geojson               the rates, a set of files for each pass
  *.zip, shapefile/       the same as a shapefile, zipped and loose
  *_taskdata.zip          the same as ISO 11783-10 task data, a task each pass
  zones.csv, ledger.csv   zones, and every line of the account, as CSV tables
  surfaces/*.tif          soil and rates as GeoTIFF
  sheet.html              the page for the cab, for whoever spreads and for the
                          grower, in the units of the files
  columns.txt             passes, files and columns in plain text
  manifest.json           the plan's figures, for the proof

${PLAN}

  --out <folder>          where the files go
  --pdf                   print the page for the cab and the grower to
                          sheet.pdf too, with a Chromium, Chrome or Edge of
                          this machine, or the one that PEARLASH_CHROMIUM names
${WORK}

${EXIT}
`,
  check: `pearlash check <plan>...

Reads the boundary, the keep-outs and the soil test, and judges every row;
nothing is worked out or written.

${PLAN}

${WORK}

${EXIT}
`,
  prove: `pearlash prove <folder>...

Reads the files of an export folder back and compares acres, pounds and bytes
with its manifest.json.

${WORK}

${EXIT}
`,
  basis: `pearlash basis <plan> --out <file> [--name <name>]
pearlash basis <plan> --take <basis> --out <plan>

A basis is a named set of choices of the rates, without what belongs to one
field: its crop, yield goal, credits, hand-typed rates, budget. The first form
writes the one that a plan stands on as JSON. The second writes the plan once
more with another basis taken. Nothing is written over.

${PLAN}

  --take <basis>          a basis file, or one that comes with the program:
                          ${BASES.map(({ name }) => `"${name}"`).join('\n                          ')}
  --name <name>           the name of the basis that is written
  --out <file or plan>    a new file, or for a plan a new folder or a new file
                          that ends in .pearlash
  --time-limit <seconds>  give up after so long without a sign of life;
                          120 unless told
${JSON_AND_HELP}

${EXIT}
`,
  'start-plan': `pearlash start-plan --boundary <file> [--points <file>] --samples <file>
                    --crop <crop> --yield-goal <n> --out <plan>

Makes a plan from raw files: columns, units, coordinate system and depth are
guessed, and every guess is printed. A file is a zipped shapefile, a .shp (with
the parts beside it), GeoJSON, CSV or a workbook (.xlsx); an option may be given
several times. Columns that were kept by --remember or in the window are used
for files with the same headers, and that is printed.

  --boundary <file>       the field
  --keep-out <file>       ground not to be spread
  --points <file>         sample points, where the lab file has ids only
  --samples <file>        lab values: a table, points, or zone polygons that
                          carry their values
  --crop <crop>           one of
                          ${wrapped(CROPS.map(({ id }) => id))}
  --yield-goal <n>        in the crop's own unit, bu/ac or ton/ac
  --governs <which>       larger, ppm or saturation; the larger unless told,
                          and the output says so
  --column <name>=<what>  what a column holds, over the guess; with :<unit> if
                          it has one: "K lbs=k:lb/ac", or lb/ac@8 (kg/ha@8)
                          for what stands in 8 in.; what is one of
                          ${wrapped(COLUMN_WORD_LIST)}
  --depth <in>            depth sampled, where no column tells it
  --extractant <which>    mehlich-3, ammonium-acetate, field-moist or other
  --conversion <f>:<region>
                          K by the other of the two for each ppm by the lab's,
                          with the region it was found in
  --sheet <name>          which sheet of a workbook holds the lab values; the
                          one with the most rows unless told
  --year <year>           which year of the file; the latest unless told
  --depth-told <depth>    which depth of the file, such as "0-6 in"; the
                          shallowest unless told
  --scooped-density <d>   g/cm3 of the soil a lab scoops, for values in mg/L
  --cec <which>           lab or summation
  --acidity <form>        12x7, 8x8, none, or factor x start such as 10x6.9
  --no-acidity-from <ph>  soil pH from which no acidity is counted
  --saturation <which>    lab or worked-out
  --factors <which>       exact or rounded, from meq to ppm
  --below-limit <rule>    half, limit or aside
  --above-limit <rule>    limit or aside
  --not-detected <rule>   not-measured, zero or aside
  --same-id <lab>=<point> two ids that are one sample
  --remember              keep these columns for files with the same headers
  --forget                forget what was kept for these headers, and guess
  --crs <crs>             EPSG code such as EPSG:32615, where a file names none
  --name <name>           the plan's name; that of --out unless told
  --out <plan>            a new folder, or a new file that ends in .pearlash
  --time-limit <seconds>  give up after so long without a sign of life;
                          120 unless told
${JSON_AND_HELP}

${EXIT}
`,
};

/** Crop ids, broken over lines that fit a terminal. */
/** Words with commas between them, broken to fit a terminal beside the options. */
function wrapped(words: readonly string[]): string {
  const lines = [''];
  for (const [index, text] of words.entries()) {
    const word = index === words.length - 1 ? text : `${text},`;
    const last = lines.at(-1) ?? '';
    if (last !== '' && TEXT_COLUMN + last.length + 1 + word.length > 80) lines.push(word);
    else lines[lines.length - 1] = last === '' ? word : `${last} ${word}`;
  }
  return lines.join(`\n${' '.repeat(TEXT_COLUMN)}`);
}
