/** What is told of one file in one sentence; what columns and counts say above is left out. */
export function howRead(reading: readonly string[]): readonly string[] {
  const files = new Map<string, string[]>();
  const rest: string[] = [];
  for (const sentence of reading) {
    if (/^Columns: /.test(sentence) || /rows read, .* kept/.test(sentence)) continue;
    const [, file, said] = /^(\S+\.[A-Za-z]+): (.+)$/.exec(sentence) ?? [];
    if (file === undefined || said === undefined) rest.push(sentence);
    else files.set(file, [...(files.get(file) ?? []), said.replace(/\.$/, '')]);
  }
  return [...[...files].map(([file, said]) => `${file}: ${said.join('; ')}.`), ...rest];
}
