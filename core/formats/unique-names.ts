/**
 * Column names made whole: a blank one is called by its place, and one that came before gets a number. What was changed
 * is told in words.
 */
export function uniqueNames(names: readonly string[]): {
  readonly names: readonly string[];
  readonly changed: readonly string[];
} {
  const taken = new Set<string>();
  const all = new Set(names);
  const changed: string[] = [];
  const made = names.map((name, i) => {
    let unique = name === '' ? `column ${i + 1}` : name;
    for (let n = 2; taken.has(unique) || (unique !== name && all.has(unique)); n++)
      unique = `${name === '' ? `column ${i + 1}` : name}_${n}`;
    taken.add(unique);
    if (name === '') changed.push(`column ${i + 1} has no name and is called "${unique}"`);
    else if (unique !== name)
      changed.push(`the name "${name}" comes again in column ${i + 1}, which is called "${unique}"`);
    return unique;
  });
  return { names: made, changed };
}
