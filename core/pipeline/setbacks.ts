import { caution, fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { toAcres } from '../base/units.ts';
import { readFiles } from '../formats/read.ts';
import { area_m2 } from '../geo/area.ts';
import { cleanPolygons } from '../geo/clean.ts';
import { intersection, union } from '../geo/clip.ts';
import { type SetbackFrom, setback } from '../geo/setback.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { Setback } from '../plan/schema.ts';
import { filesOf } from './inputs.ts';
import type { RunRequest, SetbackOut } from './types.ts';

/** A setback with the whole of its ground, beyond the field too. */
export interface WholeSetback extends SetbackOut {
  readonly whole: MultiPolygon;
}

/** Said wherever a distance was typed: the program knows none. */
export const CODE_DECIDES = 'Check each distance against the local code and the product’s label: they decide it.';

/**
 * The plan's setbacks about points, lines and polygons, each with what it takes from the field, in the plan's order.
 *
 * Problems: stops `setback-none` (a file without points, lines or polygons) and those of reading and cleaning; a caution
 * `setback-outside` for one that does not reach the field, `setback-zero` where the distance is 0 about a point or line; the note `setback-code`, once,
 * that the local code decides the distance.
 */
export function makeSetbacks(request: RunRequest, boundary: MultiPolygon): Result<readonly WholeSetback[]> {
  const problems: Problem[] = [];
  const made: WholeSetback[] = [];
  const { setbacks } = request.plan.field;
  for (const [index, one] of setbacks.entries()) {
    const at = { setting: `field.setbacks.${index}` };
    const ground = groundOf(request, one, at);
    problems.push(...ground.problems);
    if (!ground.ok) return fail(...problems);
    const whole = ground.value.reduce<MultiPolygon>((all, from) => union(all, setback(from, one.distance_m)), []);
    const polygons = whole.length === 0 ? [] : intersection(whole, boundary);
    if (whole.length === 0)
      problems.push(
        caution('setback-zero', `The setback of ${one.name} is 0, so no ground is kept.`, 'Give the distance.', at),
      );
    else if (polygons.length === 0)
      problems.push(
        caution(
          'setback-outside',
          `The setback of ${one.name} does not reach the field, so it takes nothing.`,
          'Check its place and its distance.',
          at,
        ),
      );
    const { id, name, distance_m } = one;
    made.push({ id, name, distance_m, polygons, acres: toAcres(area_m2(polygons)), whole });
  }
  if (setbacks.length > 0) {
    const count = setbacks.length === 1 ? 'One setback was' : `${setbacks.length} setbacks were`;
    problems.push(note('setback-code', `${count} drawn at the distance typed.`, CODE_DECIDES));
  }
  return ok(made, problems);
}

type At = { readonly setting: string };

function groundOf(request: RunRequest, one: Setback, at: At): Result<readonly SetbackFrom[]> {
  const { ground } = one;
  if (ground.from === 'point') return ok([{ type: 'Point', at: ground.at }]);
  if (ground.from === 'line') return ok([{ type: 'Lines', lines: [ground.line] }]);
  if (ground.from === 'polygon') {
    const clean = cleanPolygons([ground.rings], at);
    return clean.ok ? ok([{ type: 'MultiPolygon', polygons: clean.value }], clean.problems) : clean;
  }
  const { crs } = request.plan.field;
  const files = filesOf(request, ground.files);
  const read = readFiles(files, crs === null ? {} : { crs });
  if (!read.ok) return read;
  const problems: Problem[] = [...read.problems];
  const found: SetbackFrom[] = [];
  for (const { records, files: names } of read.value) {
    for (const { geometry, row } of records) {
      if (geometry?.type === 'MultiPolygon') {
        const clean = cleanPolygons(geometry.polygons, { ...at, file: names[0] ?? '', feature: row });
        problems.push(...clean.problems);
        if (!clean.ok) return fail(...problems);
        found.push({ type: 'MultiPolygon', polygons: clean.value });
      } else if (geometry) found.push(geometry);
    }
  }
  if (found.length > 0) return ok(found, problems);
  const names = files.map(({ name }) => name).join(', ');
  const remedy = 'Choose a file with the places, lines or areas that the distance is kept from.';
  return fail(...problems, stop('setback-none', `${names} holds no point, line or polygon.`, remedy, at));
}
