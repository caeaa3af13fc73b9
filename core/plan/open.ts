import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { PLAN_VERSION, type Plan, planSchema } from './schema.ts';

/** One step up: takes a document of version `from` and gives the same of `from + 1`. */
export interface Migration {
  readonly from: number;
  readonly step: (document: Record<string, unknown>) => Record<string, unknown>;
}

/**
 * Numbered steps from the oldest version; a released step never changes. Version 2 only adds settings (ground history, rasters, ways of
 * single surfaces, credits, budget and the like) whose defaults keep what version 1 did.
 */
export const MIGRATIONS: readonly Migration[] = [{ from: 1, step: (document) => document }];

/**
 * A plan from the text of its JSON document: checked, brought to today's version, every default filled in.
 *
 * Problems: `plan-json` (not JSON), `plan-other` (JSON, but no plan), `plan-newer` (written by a later version),
 * `plan-invalid` (one per wrong setting, with its path), `plan-input-unlisted`, `plan-unknown-setting` (a caution: kept out, never silently).
 */
export function readPlan(text: string, file?: string): Result<Plan> {
  const at = file === undefined ? {} : { file };
  const parsed = parseJson(text);
  if (!parsed.ok) {
    return fail(
      stop('plan-json', 'The plan is not readable JSON.', 'Open an earlier copy of the plan.', at, parsed.why),
    );
  }
  const document = parsed.value;
  if (!isRecord(document) || document.format !== 'pearlash-plan') {
    return fail(
      stop('plan-other', 'The file is JSON, but no Pearlash plan.', 'Choose a plan.json or a .pearlash file.', at),
    );
  }
  const version = document.version;
  if (typeof version !== 'number' || !Number.isInteger(version) || version < 1) {
    return fail(
      stop('plan-invalid', 'The plan names no version.', 'Open an earlier copy of the plan.', {
        ...at,
        setting: 'version',
      }),
    );
  }
  if (version > PLAN_VERSION) {
    return fail(
      stop(
        'plan-newer',
        `The plan was written by a later version (plan version ${version}; this program knows ${PLAN_VERSION}).`,
        'Open it with the version that wrote it, or update this one.',
        at,
      ),
    );
  }
  let current = document;
  for (const migration of MIGRATIONS) {
    if (migration.from >= version) current = migration.step(current);
  }
  const checked = planSchema.safeParse({ ...current, version: PLAN_VERSION });
  if (!checked.success) {
    const problems = checked.error.issues.slice(0, 50).map((issue) => {
      const setting = issue.path.join('.') || 'plan';
      return stop(
        'plan-invalid',
        `The setting ${setting} is not valid: ${issue.message}.`,
        'Put the setting right, or remove it to use the default.',
        { ...at, setting },
      );
    });
    return fail(...problems);
  }
  const unlisted = unlistedInputs(checked.data, at);
  return unlisted.length > 0 ? fail(...unlisted) : ok(checked.data, unknownSettings(document, checked.data, at));
}

/** The plan's JSON text: two-space indent, keys in the schema's order, a line feed at the end; same plan, same bytes. */
export function planText(plan: Plan): string {
  return `${JSON.stringify(planSchema.parse(plan), null, 2)}\n`;
}

/** Files that a setting names and the plan's list of inputs does not: nobody could find their bytes. */
function unlistedInputs(plan: Plan, at: { file?: string }): Problem[] {
  const listed = new Set(plan.inputs.map((input) => input.path));
  const named = [
    ['field.boundaryFiles', plan.field.boundaryFiles],
    ['field.keepOutFiles', plan.field.keepOutFiles],
    ['field.setbacks', plan.field.setbacks.flatMap(({ ground }) => (ground.from === 'files' ? ground.files : []))],
    ['soil.pointFiles', plan.soil.pointFiles],
    ['soil.sampleFiles', plan.soil.sampleFiles],
    ['zones.polygons', plan.zones.polygons.files],
    ['rasters', plan.rasters.map((raster) => raster.file)],
  ] as const;
  return named.flatMap(([setting, paths]) =>
    paths
      .filter((path) => !listed.has(path))
      .map((path) =>
        stop(
          'plan-input-unlisted',
          `The plan uses ${path}, which is not among its inputs.`,
          'List the file under inputs with its size and SHA-256, or take it in through the field or soil stage.',
          { ...at, setting },
        ),
      ),
  );
}

function unknownSettings(document: Record<string, unknown>, plan: Plan, at: { file?: string }): Problem[] {
  const problems: Problem[] = [];
  const walk = (given: unknown, known: unknown, path: string): void => {
    if (!isRecord(given) || !isRecord(known)) return;
    for (const key of Object.keys(given)) {
      const here = path ? `${path}.${key}` : key;
      if (!(key in known)) {
        problems.push(
          caution(
            'plan-unknown-setting',
            `The plan holds a setting this version does not know: ${here}.`,
            'It is left out when the plan is saved; check its spelling.',
            { ...at, setting: here },
          ),
        );
      } else walk(given[key], known[key], here);
    }
  };
  walk(document, plan, '');
  return problems.slice(0, 50);
}

function parseJson(text: string): { ok: true; value: unknown } | { ok: false; why: string } {
  try {
    return { ok: true, value: JSON.parse(text) };
  } catch (error) {
    return { ok: false, why: error instanceof Error ? error.message : String(error) };
  }
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
