import { sampleFile } from './harness.ts';

/**
 * The sample field's lab table as a lab might send it: a title above the header, K counted as K2O, ids written in several ways, two years
 * and two depths, values told as limits, a row typed twice, shares of the CEC beside the cations. Nothing in it is random.
 */
export async function messyLab(): Promise<{ readonly name: string; readonly bytes: Uint8Array }> {
  const text = new TextDecoder().decode((await sampleFile('lab-results.csv')).bytes);
  const rows = text
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(','))
    .filter((cells, index, all) => cells[0] !== '' && all.findIndex((one) => one[0] === cells[0]) === index);
  const lines = ['Soil test report for the north quarter', '', HEADER.join(',')];
  rows.forEach((cells, index) => {
    const row = read(cells);
    if (index % 6 === 0) lines.push(line({ ...row, year: 2021, k: row.k * 0.9 }));
    lines.push(line({ ...row, ...SLIPS[index] }));
    if (index % 10 === 0) lines.push(line({ ...row, depth: '6-12', k: row.k * 0.6 }));
  });
  const repeated = lines[8];
  if (repeated !== undefined) lines.push(repeated);
  return { name: 'report-0417.csv', bytes: new TextEncoder().encode(`${lines.join('\n')}\n`) };
}

const HEADER = ['Lab No', 'Sample', 'Taken', 'Depth in', 'K ppm', 'Ca ppm', 'Mg ppm', 'pH', 'BpH', 'CEC', '%K', 'Zn'];
const K2O_PER_K = 1.2046;

interface Row {
  readonly id: string;
  readonly year: number;
  readonly depth: string;
  readonly k: number;
  readonly ca: string;
  readonly mg: string;
  readonly ph: string;
  readonly buffer: string;
  readonly cec: string;
  /** Replaces the K2O worked out from K. */
  readonly told?: string;
  /** Replaces the share worked out from K. */
  readonly share?: string;
}

const read = (cells: readonly string[]): Row => ({
  id: cells[0] ?? '',
  year: 2025,
  depth: '0-6',
  k: Number(cells[1]),
  ca: cells[2] ?? '',
  mg: cells[3] ?? '',
  ph: cells[5] ?? '',
  buffer: cells[6] ?? '',
  cec: cells[7] ?? '',
});

/** What went wrong in single rows, by their number from 0. */
const SLIPS: Readonly<Record<number, Partial<Row>>> = {
  2: { id: 'hq 3' },
  4: { id: 'HG-05' },
  9: { told: '<60' },
  14: { told: 'n.d.' },
  19: { share: '9.9' },
  23: { told: '' },
  27: { k: 640 },
  31: { id: '' },
  36: { told: 'see note' },
};

function line(row: Row): string {
  const k2o = row.told ?? (Number.isFinite(row.k) ? (row.k * K2O_PER_K).toFixed(0) : '');
  const cec = Number(row.cec);
  const share = row.share ?? (row.k > 0 && cec > 0 ? ((100 * row.k) / 391 / cec).toFixed(1) : '');
  const day = `${row.year}-10-14`;
  return [`26-${row.id}`, row.id, day, row.depth, k2o, row.ca, row.mg, row.ph, row.buffer, row.cec, share, '0.8'].join(
    ',',
  );
}
