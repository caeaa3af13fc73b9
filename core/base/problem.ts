/**
 * What a person can put right: plain data that crosses every boundary unchanged.
 * A mistake of the program is a throw, never a Problem.
 */
export type Severity = 'stop' | 'caution' | 'note';

export type Stage = 'field' | 'soil' | 'surfaces' | 'zones' | 'rates' | 'handoff' | 'review';
/** The way a soil sample goes, in order. Review stands beside it. */
export const STAGES = ['field', 'soil', 'surfaces', 'zones', 'rates', 'handoff'] as const satisfies readonly Stage[];

/** Where it is. `row` is the row a person sees in a spreadsheet: the header line is 1. */
export interface Place {
  readonly file?: string;
  readonly row?: number;
  readonly column?: string;
  /** Number of the feature in its file, from 1. */
  readonly feature?: number;
  /** Path of the setting in the plan, such as `rates.yieldGoal`. */
  readonly setting?: string;
  readonly zone?: string;
  readonly lngLat?: readonly [number, number];
}

export interface Problem {
  /** Stable, kebab-case, prefixed by its folder: `shp-truncated`, `soil-no-point`. */
  readonly code: string;
  readonly severity: Severity;
  readonly stage?: Stage;
  /** What is the matter: one plain sentence. */
  readonly message: string;
  readonly at?: Place;
  /** What can be done: one plain sentence. */
  readonly remedy: string;
  readonly detail?: string;
}

export type Result<T> =
  | { readonly ok: true; readonly value: T; readonly problems: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** A success, with the warnings that came up on the way. */
export const ok = <T>(value: T, problems: readonly Problem[] = []): Result<T> => ({ ok: true, value, problems });
/** A failure; at least one of the problems is a stop. */
export const fail = (
  ...problems: readonly Problem[]
): { readonly ok: false; readonly problems: readonly Problem[] } => ({
  ok: false,
  problems,
});

/** A stop: the stage cannot go on. */
export const stop = (code: string, message: string, remedy: string, at?: Place, detail?: string): Problem =>
  make('stop', code, message, remedy, at, detail);
/** A caution: the stage goes on, and a person should look. */
export const caution = (code: string, message: string, remedy: string, at?: Place, detail?: string): Problem =>
  make('caution', code, message, remedy, at, detail);
/** A note: worth knowing. */
export const note = (code: string, message: string, remedy: string, at?: Place, detail?: string): Problem =>
  make('note', code, message, remedy, at, detail);

function make(severity: Severity, code: string, message: string, remedy: string, at?: Place, detail?: string): Problem {
  return {
    code,
    severity,
    message,
    remedy,
    ...(at === undefined ? {} : { at }),
    ...(detail === undefined ? {} : { detail }),
  };
}

/** Most rows listed one by one before the rest becomes a count. */
export const LISTED_PROBLEMS = 50;

/** One line for a terminal: severity, what, where, remedy. */
export function problemLine(problem: Problem): string {
  const where = placeText(problem.at);
  return `${problem.severity}: ${problem.message}${where ? ` [${where}]` : ''} ${problem.remedy}`;
}

/** The place in words: `lab.csv, row 12, column K`. Empty when unknown. */
export function placeText(at: Place | undefined): string {
  if (!at) return '';
  const parts: string[] = [];
  if (at.file) parts.push(at.file);
  if (at.row !== undefined) parts.push(`row ${at.row}`);
  if (at.feature !== undefined) parts.push(`feature ${at.feature}`);
  if (at.column) parts.push(`column ${at.column}`);
  if (at.zone) parts.push(`zone ${at.zone}`);
  if (at.setting) parts.push(at.setting);
  if (at.lngLat) parts.push(`${at.lngLat[1].toFixed(5)}, ${at.lngLat[0].toFixed(5)}`);
  return parts.join(', ');
}
