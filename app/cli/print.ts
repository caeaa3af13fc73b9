import { changeWords } from '../../core/handoff/cells-change.ts';
import type { Proof } from '../../core/handoff/types.ts';
import { placeOf } from './pool.ts';
import type {
  BasisReport,
  BuildReport,
  CheckReport,
  InputsReport,
  Job,
  ProveReport,
  Report,
  StartReport,
  ZoneReport,
} from './reports.ts';
import { alikeOnce, soilLines } from './soil-print.ts';

/** A report for people: what came out. Its problems are printed apart, by `problemLines`. */
export function reportLines(report: Report): readonly string[] {
  switch (report.kind) {
    case 'build':
      return buildLines(report);
    case 'check':
      return [report.name ?? report.plan, ...inputLines(report), line('result', checkText(report))];
    case 'prove':
      return [report.folder, ...proofLines(report.proof), line('result', proveText(report))];
    case 'start-plan':
      return startLines(report);
    case 'basis':
      return basisLines(report);
  }
}

/** The outcome of a build in a few lines. */
export function briefLines(report: BuildReport): readonly string[] {
  const { totals, product, out, proof } = report;
  if (totals === null || out === null) return [line('result', 'no prescription: see the problems')];
  const rates = report.zones.map((zone) => `${zone.zone} ${fixed(zone.acres, 1)} ac at ${fixed(zone.rate_lbPerAc, 0)}`);
  return [
    line('total', totalText(totals, product)),
    line('zones', `${totals.cells ? 'asked: ' : ''}${rates.join(', ')} lb/ac`),
    line('files', `${report.files.length} in ${out}: ${topNames(report).join(', ')}`),
    line('proof', proofText(proof)),
  ];
}

/** Files at the top of the export, and its folders. */
const topNames = (report: BuildReport): readonly string[] => [
  ...new Set(report.files.map(({ path }) => (path.includes('/') ? `${path.slice(0, path.indexOf('/'))}/` : path))),
];

const totalText = (totals: NonNullable<BuildReport['totals']>, product: string | null): string =>
  `${fixed(totals.acres, 1)} ac, ${fixed(totals.product_lb, 0)} lb = ${fixed(totals.product_tons, 1)} short tons of ${product}, ${fixed(totals.k2o_lb, 0)} lb K2O, ${dollars(totals.cost)}`;

export function problemLines(report: Report, job: Job, severalJobs: boolean): readonly string[] {
  const prefix = severalJobs ? `${placeOf(job)}: ` : '';
  return alikeOnce(report.problems).flatMap(({ line, detail }) => [
    `${prefix}${line}`,
    ...(detail === undefined ? [] : [`    ${detail.replaceAll('\n', '\n    ')}`]),
  ]);
}

function buildLines(report: BuildReport): readonly string[] {
  const { totals, product, out, proof } = report;
  const lines = [report.name ?? report.plan, ...inputLines(report)];
  if (report.governs !== null) lines.push(line('target', `${report.governs} governs`));
  lines.push(...zoneTable(report), ...report.cautions.map((caution) => line('caution', caution)));
  for (const way of report.budget ?? []) {
    const returns = way.return_dollars
      ? `, may return ${dollars(way.return_dollars.low)} to ${dollars(way.return_dollars.high)} over its cost${way.gap_dollars > 0 ? `, within ${dollars(Math.ceil(way.gap_dollars))} of the best` : ''}`
      : '';
    lines.push(
      line(
        'budget',
        `${way.rule}: ${fixed(way.tons, 1)} short tons, ${dollars(way.cost)}, ${fixed(way.undone_lbK2O, 0)} lb K2O left undone${returns}`,
      ),
    );
  }
  if (totals === null) return [...lines, line('result', 'no prescription: see the problems')];
  for (const pass of totals.byPass) {
    lines.push(line('pass', `${pass.name}: ${fixed(pass.product_lb, 0)} lb on ${fixed(pass.acres, 1)} ac`));
  }
  if (totals.byProduct.length > 1) {
    for (const { product: name, product_lb, product_tons } of totals.byProduct)
      lines.push(line('product', `${name}: ${fixed(product_lb, 0)} lb = ${fixed(product_tons, 1)} short tons`));
  }
  lines.push(line('total', totalText(totals, product)), ...besideTotal(report));
  if (out === null) return [...lines, line('result', 'nothing was written: see the problems')];
  return [
    ...lines,
    line('files', `${report.files.length} in ${out}`),
    ...fileLines(report),
    line('proof', proofText(proof)),
  ];
}

function inputLines({ field, soil }: InputsReport): readonly string[] {
  const lines: string[] = [];
  if (field) {
    const keepOut =
      field.keepOut_ac > 0 ? ` (boundary ${fixed(field.boundary_ac, 2)}, keep-out ${fixed(field.keepOut_ac, 2)})` : '';
    lines.push(line('field', `${fixed(field.spreadable_ac, 2)} ac to spread${keepOut}`));
    lines.push(...field.reading.map((sentence) => line('', sentence)));
  }
  if (soil) {
    lines.push(line('soil', `${soil.read} = ${soil.kept} kept + ${soil.setAside} set aside`));
    lines.push(...soil.reading.map((sentence) => line('', sentence)), ...soilLines(soil));
  }
  return lines;
}

function zoneTable({ zones, guide, totals }: BuildReport): readonly string[] {
  if (zones.length === 0) return [];
  const asked = totals?.cells ? [line('zones', 'what each asks, before cutting into cells')] : [];
  const passes = zones.find((zone) => zone.passes.length > 1)?.passes.map((pass) => pass.name) ?? [];
  const head = [
    'zone',
    'ac',
    'K ppm',
    'K sat %',
    'CEC',
    'governs',
    'ppm alone',
    'sat alone',
    'lb/ac',
    ...passes,
    'lb K2O/ac',
    'undone K2O',
    '$/ac',
  ];
  const rows = zones.map((zone) => [
    zone.zone,
    fixed(zone.acres, 1),
    fixed(zone.k_ppm, 0),
    fixed(zone.kSat_pct, 1),
    fixed(zone.cec_meq, 1),
    guide === null ? zone.governing : zone.rate_lbPerAc === null ? '-' : 'guide',
    fixed(zone.answers.ppmAlone, 0),
    fixed(zone.answers.saturationAlone, 0),
    zone.rate_lbPerAc === null ? 'withheld' : `${fixed(zone.rate_lbPerAc, 0)}${zone.override === null ? '' : '*'}`,
    ...passes.map((name) =>
      zone.rate_lbPerAc === null ? '-' : fixed(zone.passes.find((pass) => pass.name === name)?.rate_lbPerAc ?? 0, 0),
    ),
    fixed(zone.k2o_lbPerAc, 1),
    zone.rate_lbPerAc === null ? '-' : fixed(zone.undone_lbK2OPerAc, 1),
    fixed(zone.cost_perAc, 2),
  ]);
  return [
    ...asked,
    ...table([head, ...rows]),
    ...zones.flatMap(({ zone, override }) =>
      override === null ? [] : [line('', `* ${overrideText(zone, override)}`)],
    ),
  ];
}

const overrideText = (zone: string, by: NonNullable<ZoneReport['override']>): string =>
  `zone ${zone}: ${[`${fixed(by.rate_lbPerAc, 0)} lb/ac by hand`, by.who, by.when].filter(Boolean).join(', ')}: ${by.why}`;

/** What can leave K2O undone, in the words of its line. */
const LEFT_BY = [
  ['caps_lbK2OPerAc', 'by the caps'],
  ['budget_lbK2OPerAc', 'by the budget'],
  ['machine_lbK2OPerAc', "by the machine's least rate and step"],
  ['distinctRates_lbK2OPerAc', 'by the limit on different rates'],
  ['choice_lbK2OPerAc', 'on ground that gets nothing by choice'],
] as const satisfies readonly (readonly [keyof ZoneReport['leftBy'], string])[];

/** What rounding to the machine did, and what is left for later, by what left it. */
function besideTotal({ zones, totals }: BuildReport): readonly string[] {
  if (totals === null) return [];
  const left = LEFT_BY.flatMap(([key, words]) => {
    const lb = zones.reduce((sum, zone) => sum + zone.acres * zone.leftBy[key], 0);
    return lb >= 0.5 ? [line('undone', `${fixed(lb, 0)} lb K2O over the field, left ${words}`)] : [];
  });
  const { exact_lb, zones_lb, cells, product_lb } = totals;
  const rounded = `before rounding ${fixed(exact_lb, 0)} lb, after ${fixed(zones_lb, 0)} lb${cells ? ' by zones' : ''}, ${fixed((zones_lb - exact_lb) / 2000, 2)} short tons`;
  const cut = cells
    ? [line('cells', `${changeWords({ ...cells, zones_lb }, 'lb/ac')}: ${fixed(product_lb, 0)} lb in the files`)]
    : [];
  return [line('', rounded), ...cut, ...left];
}

function fileLines(report: BuildReport): readonly string[] {
  return report.files.map((file) => line('', `${file.path} (${file.what})`));
}

function proofLines(proof: Proof | null): readonly string[] {
  if (proof === null) return [];
  const head = ['file', 'what', 'planned', 'found', ''];
  const rows = proof.lines.map((one) => [one.file, one.what, one.planned, one.found, one.holds ? 'holds' : 'DIFFERS']);
  const { byHashAlone: alone } = proof;
  const some = alone.slice(0, 4).join(', ') + (alone.length > 4 ? ` and ${alone.length - 4} more` : '');
  return [
    ...table([head, ...rows], 2),
    ...(alone.length > 0 ? [line('by hash', `alone, not by what they say: ${some}`)] : []),
  ];
}

function proofText(proof: Proof | null): string {
  if (!proof?.proved) return 'NOT proved: see the problems';
  if (proof.strays > 0)
    return `proved, but ${proof.strays === 1 ? '1 file here is' : `${proof.strays} files here are`} not the plan's: see the problems`;
  return `proved: read back from the disk, ${fixed(proof.acres, 2)} ac and ${fixed(proof.product_tons, 2)} short tons${pointsText(proof)}, as planned`;
}

const pointsText = ({ points }: Proof): string =>
  points === null ? '' : `, rates at ${points.inside} points (seed ${points.seed})`;

const proveText = (report: ProveReport): string => proofText(report.proof);

const checkText = (report: CheckReport): string =>
  report.ok ? 'the inputs can be used' : 'the inputs cannot be used: see the problems';

function startLines(report: StartReport): readonly string[] {
  if (report.out === null) return [report.name, line('result', 'no plan: see the problems')];
  return [
    report.name,
    ...report.guesses.map((guess) => line('guess', guess)),
    line('plan', report.out),
    line('next', `pearlash build ${quoted(report.out)} --out <folder>`),
  ];
}

function basisLines(report: BasisReport): readonly string[] {
  if (report.out === null) return [report.plan, line('result', 'nothing was written: see the problems')];
  return [
    report.plan,
    line('basis', report.basis ?? ''),
    ...(report.changed.length > 0 ? [line('changed', report.changed.join(', '))] : []),
    line('written', report.out),
  ];
}

const quoted = (path: string): string => (/^[\w./@:+-]+$/.test(path) ? path : `"${path}"`);

const line = (what: string, text: string): string => `  ${what.padEnd(8)} ${text}`.trimEnd();

/** Figures right, words left; the first `left` columns are words too. */
function table(rows: readonly (readonly string[])[], left = 1): readonly string[] {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => (row[column] ?? '').length)));
  return rows.map((row) => {
    const cells = row.map((cell, column) =>
      column < left ? cell.padEnd(widths[column] ?? 0) : cell.padStart(widths[column] ?? 0),
    );
    return `           ${cells.join('  ')}`.trimEnd();
  });
}

/** Whole dollars: `$9,595`, `-$9,595`. */
const dollars = (value: number): string => `${Math.round(value) < 0 ? '-' : ''}$${fixed(Math.abs(value), 0)}`;

/** A figure with its decimals, or a dash where there is none. */
const fixed = (figure: number | null, decimals: number): string =>
  figure === null || Number.isNaN(figure)
    ? '-'
    : figure.toLocaleString('en-US', { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
