import { mkdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { encodeUtf8 } from '../../core/base/text.ts';
import { createTurns } from './in-turn.ts';
import { writeWhole } from './whole.ts';

/** What the program remembers beside the plans: a convenience that can be thrown away. */
const rememberedSchema = z.object({
  /** Plan folders outside the plans folder, latest first. */
  outside: z.array(z.object({ planId: z.string(), folder: z.string() })).default([]),
  /** Plans unpacked from a packed file, by the SHA-256 of its bytes: the same file opens the same plan again. */
  unpacked: z.record(z.string(), z.string()).default({}),
  /** Copies of sample fields: the plan, and the SHA-256 of its document as it was copied. */
  samples: z.record(z.string(), z.object({ planId: z.string(), sha256: z.string() })).default({}),
});
export type Remembered = z.infer<typeof rememberedSchema>;

const MOST_OUTSIDE = 50;

export interface Memory {
  read(): Promise<Remembered>;
  /** Changes are made one after the other. */
  change(edit: (now: Remembered) => Remembered): Promise<void>;
}

export function createMemory(home: string): Memory {
  const file = join(home, 'recent.json');
  const inTurn = createTurns();

  const read = async (): Promise<Remembered> => {
    const text = await readFile(file, 'utf8').catch(() => '{}');
    const parsed = rememberedSchema.safeParse(parseJson(text));
    return parsed.success ? parsed.data : rememberedSchema.parse({});
  };
  const change = (edit: (now: Remembered) => Remembered): Promise<void> =>
    inTurn(async () => {
      const next = edit(await read());
      const kept = { ...next, outside: next.outside.slice(0, MOST_OUTSIDE) };
      await mkdir(home, { recursive: true });
      await writeWhole(file, encodeUtf8(`${JSON.stringify(kept, null, 2)}\n`));
    });
  return { read, change };
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return {};
  }
}
