import { note, type Problem } from '../base/problem.ts';
import type { CheckInput, Checks } from './checks.ts';

/**
 * Names that a controller may show wrongly. File names and column names are ASCII by themselves; texts in the tables are as the plan has them, in UTF-8,
 * which the .cpg says. Problem: note `handoff-names`.
 */
export function nameChecks({ planName, sets, prescriptions, settings }: CheckInput): Checks {
  const texts = new Set([
    ...sets.flatMap(({ channels }) => channels.flatMap(({ passName, productName }) => [passName, productName])),
    ...prescriptions.flatMap(({ pieces }) => pieces.flatMap(({ letter, note: words }) => [letter, words])),
  ]);
  const odd = [...texts].filter((text) => !isAscii(text));
  const files = isAscii(planName) ? [] : [planName];
  const all = [...files, ...odd];
  const problems: Problem[] = [];
  if (all.length > 0) {
    const bases = sets.map(({ base }) => base).join(', ');
    const parts = [
      ...(files.length > 0 ? [`the plan's name is ${bases} in file names`] : []),
      ...(odd.length > 0 && (settings.files.shapefile || settings.files.loose || settings.files.geojson)
        ? [`texts in the tables keep their letters, in UTF-8: ${odd.slice(0, 3).join('; ')}`]
        : []),
    ];
    problems.push(
      note(
        'handoff-names',
        `Letters beyond A to Z: ${parts.join(', and ')}.`,
        'A controller may show them wrongly: write them with A to Z in the plan if that matters.',
      ),
    );
  }
  const figure = all.length === 0 ? 'all' : `${all.length} with other letters`;
  return { lines: [{ what: 'Names and texts are plain ASCII', figure, holds: true }], problems };
}

/** Printable characters of ASCII alone. */
const isAscii = (text: string): boolean => /^[ -~]*$/.test(text);
