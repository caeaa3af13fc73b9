import { spawn } from 'node:child_process';
import { access, constants, mkdtemp, readFile, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import type { Readable, Writable } from 'node:stream';
import { pathToFileURL } from 'node:url';
import { caution, type Problem } from '../../core/base/problem.ts';
import type { HostReply } from '../../core/bridge/host-api.ts';
import { SHEET_FILE } from '../../core/handoff/manifest.ts';
import { SHEET_PDF } from '../../core/handoff/sheet/make.ts';
import { printOverPipe } from './chromium-pipe.ts';
import { keepPrinted } from './exports.ts';
import { innerFile } from './inner-path.ts';
import { diskTrouble, reply } from './trouble.ts';

type Environment = Readonly<Record<string, string | undefined>>;
/** Prints a page that lies on the disk, and answers the bytes of the PDF. */
export type PrintPdf = (htmlFile: string) => Promise<HostReply<Uint8Array>>;

/** Names that a Chromium goes by on the PATH. */
const ON_PATH = [
  'chromium',
  'chromium-browser',
  'google-chrome',
  'google-chrome-stable',
  'chrome',
  'microsoft-edge',
  'microsoft-edge-stable',
  'msedge',
];
const ON_MAC = ['Google Chrome', 'Chromium', 'Microsoft Edge'];
const ON_WINDOWS = [
  ['Google', 'Chrome', 'Application', 'chrome.exe'],
  ['Chromium', 'Application', 'chrome.exe'],
  ['Microsoft', 'Edge', 'Application', 'msedge.exe'],
];
/** A page of many cells takes seconds on a slow machine; a browser that hangs shall not hold a season up. */
const LIMIT_MS = 60_000;

/** Where a Chromium may lie, the likeliest first: PEARLASH_CHROMIUM alone where it is set, else the PATH, then the usual places of the system. */
export function chromiumPlaces(environment: Environment, platform: NodeJS.Platform = process.platform): string[] {
  const told = environment.PEARLASH_CHROMIUM;
  if (told) return [told];
  const windows = platform === 'win32';
  const folders = (environment.PATH ?? environment.Path ?? '').split(delimiter).filter((folder) => folder !== '');
  const found = folders.flatMap((folder) => ON_PATH.map((name) => join(folder, windows ? `${name}.exe` : name)));
  if (platform === 'darwin') found.push(...ON_MAC.map((name) => `/Applications/${name}.app/Contents/MacOS/${name}`));
  if (windows) {
    const roots = [environment.ProgramFiles, environment['ProgramFiles(x86)'], environment.LOCALAPPDATA];
    for (const root of roots) if (root) found.push(...ON_WINDOWS.map((parts) => join(root, ...parts)));
  }
  return found;
}

/** The first of them that is there and may be run; null with none. */
export async function findChromium(environment: Environment = process.env): Promise<string | null> {
  for (const place of chromiumPlaces(environment)) {
    const runs = await access(place, constants.X_OK).then(
      () => stat(place).then((entry) => entry.isFile()),
      () => false,
    );
    if (runs) return place;
  }
  return null;
}

/**
 * Prints the page with a Chromium of this machine: headless, with a profile of its own that is gone afterwards, without a network, ended after a
 * minute. Problems, all cautions: `pdf-no-browser`, `pdf-failed`.
 */
export async function printWithChromium(
  htmlFile: string,
  environment: Environment = process.env,
  limit_ms: number = LIMIT_MS,
): Promise<HostReply<Uint8Array>> {
  const browser = await findChromium(environment);
  if (browser === null) return reply.refused(noBrowser(environment.PEARLASH_CHROMIUM));
  const profile = await mkdtemp(join(tmpdir(), 'pearlash-pdf-'));
  try {
    const bytes = await run(browser, argumentsFor(profile), pathToFileURL(htmlFile).href, limit_ms);
    return typeof bytes !== 'string' && isPdf(bytes)
      ? reply.done(bytes)
      : reply.refused(failed(htmlFile, String(bytes)));
  } finally {
    // A browser that was ended may still hold its profile for a moment.
    await rm(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 100 }).catch(() => undefined);
  }
}

const argumentsFor = (profile: string): string[] => [
  '--headless',
  '--disable-gpu',
  '--no-first-run',
  '--no-default-browser-check',
  '--disable-extensions',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--host-resolver-rules=MAP * ~NOTFOUND',
  `--user-data-dir=${profile}`,
  // Chromium's sandbox refuses to start for root, as in most containers; the page holds no script and asks for nothing.
  ...(process.getuid?.() === 0 ? ['--no-sandbox', '--no-zygote'] : []),
  '--remote-debugging-pipe',
];

/** Runs the browser till it has printed, and ends it with its children; answers the bytes, or in words why there are none. */
async function run(
  program: string,
  args: readonly string[],
  address: string,
  limit_ms: number,
): Promise<Uint8Array | string> {
  const grouped = process.platform !== 'win32';
  const child = spawn(program, args, {
    stdio: ['ignore', 'ignore', 'pipe', 'pipe', 'pipe'],
    detached: grouped,
    windowsHide: true,
  });
  const [, , errors, out, into] = child.stdio;
  let said = '';
  errors?.on('data', (text: Buffer) => {
    said = (said + text.toString('utf8')).slice(-2000);
  });
  const closed = new Promise<void>((resolve) => child.once('close', () => resolve()));
  const gone = new Promise<string>((resolve) => {
    child.once('error', (error) => resolve(error.message));
    child.once('exit', (code) => resolve(`exit code ${code}`));
  });
  let limit: NodeJS.Timeout | undefined;
  const late = new Promise<string>((resolve) => {
    limit = setTimeout(() => resolve(`ended after ${limit_ms / 1000} s`), limit_ms);
  });
  // The third and fourth pipes are asked for above, so they are streams of these kinds.
  const printed = printOverPipe(out as Writable, into as Readable, address).catch((error: Error) => error.message);
  const first = await Promise.race([printed, gone, late]);
  clearTimeout(limit);
  if (child.exitCode === null && child.signalCode === null && child.pid !== undefined) {
    try {
      if (grouped) process.kill(-child.pid, 'SIGKILL');
      else child.kill('SIGKILL');
    } catch {
      // It ended by itself in this very moment.
    }
  }
  if (child.pid !== undefined) await closed;
  return typeof first === 'string' ? `${first} ${said}`.trim() : first;
}

const isPdf = (bytes: Uint8Array): boolean => Buffer.from(bytes.subarray(0, 5)).toString('latin1') === '%PDF-';

const noBrowser = (told: string | undefined): Problem =>
  caution(
    'pdf-no-browser',
    told
      ? `PEARLASH_CHROMIUM names ${told}, which is not there or cannot be run, so ${SHEET_PDF} was not printed.`
      : `No Chromium, Chrome or Edge was found on this machine, so ${SHEET_PDF} was not printed.`,
    `Open ${SHEET_FILE} in any browser and print it, or set PEARLASH_CHROMIUM to the path of one.`,
  );

const failed = (htmlFile: string, detail: string): Problem =>
  caution(
    'pdf-failed',
    `The browser did not print ${SHEET_PDF}.`,
    `Open ${SHEET_FILE} in a browser and print it from there.`,
    { file: htmlFile },
    detail,
  );

/**
 * Prints the page of an export folder to sheet.pdf beside it, for which its manifest gets an entry, and answers both the place and the bytes. Problems, all cautions but those of the disk:
 * `pdf-no-sheet`, `pdf-overtaken` (the export was written anew meanwhile), those of printing, `disk-read`, `disk-write`.
 */
export async function printSheetOf(
  folder: string,
  print: PrintPdf = (file) => printWithChromium(file),
): Promise<HostReply<{ readonly file: string; readonly bytes: Uint8Array }>> {
  const html = await innerFile(folder, SHEET_FILE).catch(() => null);
  if (html === null) return reply.refused(noSheet(folder));
  const file = join(folder, SHEET_PDF);
  try {
    const before = await readFile(html);
    const printed = await print(html);
    if (!printed.ok) return printed;
    if (!(await keepPrinted(folder, before, printed.value))) return reply.refused(overtaken(folder));
    return reply.done({ file, bytes: printed.value });
  } catch (error) {
    return reply.refused(diskTrouble('disk-write', `${SHEET_PDF} cannot be written`, folder, error));
  }
}

const noSheet = (folder: string): Problem =>
  caution(
    'pdf-no-sheet',
    `There is no ${SHEET_FILE} in the export, so nothing was printed.`,
    'Have the sheet written with the files, in the handoff stage, and export again.',
    { file: folder },
  );
const overtaken = (folder: string): Problem =>
  caution('pdf-overtaken', 'The export was written anew while its page was printed.', 'Print it again.', {
    file: folder,
  });
