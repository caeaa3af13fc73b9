import type { Command } from './list.ts';

/** Commands whose group or label holds every word of the query, those that can be done first. */
export function findCommands(query: string, commands: readonly Command[]): readonly Command[] {
  const words = query.toLowerCase().split(/\s+/).filter(Boolean);
  const found = commands.filter((command) => {
    const text = `${command.group} ${command.label()}`.toLowerCase();
    return words.every((word) => text.includes(word));
  });
  return [...found.filter((one) => one.why() === null), ...found.filter((one) => one.why() !== null)];
}
