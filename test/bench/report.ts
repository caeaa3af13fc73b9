/** The bench's tables. */
export interface Entry {
  readonly name: string;
  readonly ours: boolean;
  /** Largest `off` that passes. */
  readonly limit: number;
  readonly times: number[];
  cold_ms: number;
  /** Largest relative difference from the textbook; for zones, cells or parts that are wrong. */
  off: number;
  /** Why it was not run. */
  why: string;
}
export interface Table {
  readonly field: string;
  readonly what: string;
  readonly task: string;
  readonly title: string;
  readonly entries: readonly Entry[];
}
export interface Target {
  readonly what: string;
  /** Null where its reference is missing. */
  readonly measured: number | null;
  readonly wanted: string;
  readonly met: boolean | null;
}

export const median = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? Number.NaN;
};

const number = (value: number, digits = 3): string => {
  if (!Number.isFinite(value)) return '-';
  return value >= 100 ? value.toFixed(0) : value.toFixed(Math.max(0, digits - 1 - Math.floor(Math.log10(value || 1))));
};

export function printTable({ field, what, title, entries }: Table): void {
  const [own] = entries;
  const base = median(own?.times ?? []);
  console.log(`\n${field} (${what}): ${title}`);
  const heads = ['warm ms', 'rounds', 'x ours', 'cold ms', 'x ours', 'off by'];
  console.log(`  ${''.padEnd(38)}${heads.map((head) => head.padStart(10)).join('')}`);
  for (const { name, times, cold_ms, off, limit, why } of entries) {
    if (why !== '') {
      console.log(`  ${name.padEnd(38)}    ${why}`);
      continue;
    }
    const ms = median(times);
    const cells = [
      number(ms),
      String(times.length),
      number(ms / base),
      number(cold_ms),
      number(cold_ms / (own?.cold_ms ?? Number.NaN)),
      off === 0 ? '0' : Number.isInteger(off) ? String(off) : off.toExponential(1),
    ];
    console.log(
      `  ${name.padEnd(38)}${cells.map((cell) => cell.padStart(10)).join('')}  ${off <= limit ? 'ok' : 'NOT THE SAME'}`,
    );
  }
}

export function targetsOf(
  tables: readonly Table[],
  wanted: readonly {
    readonly work: string;
    readonly task: string;
    readonly reference: string;
    readonly least: number;
  }[],
  memory: Readonly<Record<string, number>> | null,
): readonly Target[] {
  const targets = wanted.flatMap(({ work, task, reference, least }): Target[] => {
    const table = tables.find((one) => one.field === work && one.task === task);
    if (!table) return [];
    const other = table.entries.find(({ name }) => name === reference);
    const ratio = median(other?.times ?? []) / median(table.entries[0]?.times ?? []);
    const measured = Number.isFinite(ratio) ? ratio : null;
    return [
      {
        what: `${work}, ${table.title}: times as fast as ${reference}`,
        measured,
        wanted: `at least ${least}`,
        met: measured === null ? null : measured >= least,
      },
    ];
  });
  const over_MB = memory?.over_MB;
  if (over_MB !== undefined)
    targets.push({ what: 'L: MB over the idle process', measured: over_MB, wanted: 'under 300', met: over_MB < 300 });
  return targets;
}

export function printTargets(targets: readonly Target[]): void {
  if (targets.length > 0) console.log('\nTargets');
  for (const { what, measured, wanted, met } of targets)
    console.log(
      `  ${what.padEnd(84)} ${(measured === null ? '-' : number(measured)).padStart(6)}  ${wanted.padEnd(12)} ${met === null ? 'reference missing' : met ? 'met' : 'MISSED'}`,
    );
}

export function printMemory(memory: Readonly<Record<string, number>>): void {
  const { over_MB = 0, idle_MB = 0, ms = 0, longest_ms = 0, layers = 0 } = memory;
  console.log(
    `\nL, ${layers} layers made whole in a process of its own: ${number(over_MB)} MB over ${number(idle_MB)} MB idle, ${number(ms)} ms, longest stretch without a breath ${number(longest_ms)} ms`,
  );
}
