/** Reference programs outside Node: GDAL and scipy through `reference.py`, gstat through `reference.R`. They time themselves. */
import { type ChildProcess, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

export type ToolName = 'gdal' | 'scipy' | 'gstat';
export type Request = Readonly<Record<string, string | number | boolean | readonly number[]>>;
type Answer = Readonly<Record<string, string | number>>;

const PROGRAMS = { python: ['python3', 'reference.py'], R: ['Rscript', 'reference.R'] } as const;
export type Program = keyof typeof PROGRAMS;
export const PROGRAM_OF = { gdal: 'python', scipy: 'python', gstat: 'R' } as const satisfies Record<ToolName, Program>;
/** How to have what is missing. */
export const HOW_TO_HAVE = {
  gdal: 'python3, numpy and libgdal (Debian: gdal-bin python3-numpy)',
  scipy: 'python3 and scipy (Debian: python3-scipy)',
  gstat: 'R and gstat (Debian: r-cran-gstat)',
} as const satisfies Record<ToolName, string>;

/** A helper that answers one request at a time. */
export class Helper {
  readonly #child: ChildProcess;
  readonly #waiting: ((line: string | null) => void)[] = [];
  #gone = false;

  constructor(program: Program) {
    const [command, script] = PROGRAMS[program];
    const path = fileURLToPath(new URL(script, import.meta.url));
    this.#child = spawn(command, [path], { stdio: ['pipe', 'pipe', 'ignore'] });
    const end = (): void => {
      this.#gone = true;
      for (const done of this.#waiting.splice(0)) done(null);
    };
    this.#child.on('error', end).on('exit', end);
    this.#child.stdin?.on('error', end);
    if (this.#child.stdout)
      createInterface({ input: this.#child.stdout }).on('line', (line) => this.#waiting.shift()?.(line));
  }

  /** The answer; null where the helper could not be started or broke off. */
  async ask(request: Request): Promise<Answer | null> {
    if (this.#gone) return null;
    const line = new Promise<string | null>((done) => this.#waiting.push(done));
    this.#child.stdin?.write(`${JSON.stringify(request)}\n`);
    const text = await line;
    return text === null ? null : (JSON.parse(text) as Answer); // its one line is JSON by our own scripts
  }

  end(): void {
    this.#child.stdin?.end();
    this.#child.kill();
  }
}

/** Milliseconds of one request, or why there are none. */
export async function timeOf(helper: Helper, request: Request): Promise<number | string> {
  const answer = await helper.ask(request);
  if (typeof answer?.ms === 'number') return answer.ms;
  return typeof answer?.failed === 'string' ? answer.failed : 'broke off';
}

/** The same in a process of its own, where it is the first call. */
export async function coldTimeOf(program: Program, request: Request): Promise<number> {
  const helper = new Helper(program);
  await helper.ask({ task: 'tools' });
  const ms = await timeOf(helper, request);
  helper.end();
  return typeof ms === 'number' ? ms : Number.NaN;
}
