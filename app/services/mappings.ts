import { mkdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { encodeUtf8 } from '../../core/base/text.ts';
import type { HostReply } from '../../core/bridge/host-api.ts';
import { forget, type RememberedMapping, remember, rememberedMappingSchema } from '../../core/soil/mapping-memory.ts';
import { createTurns } from './in-turn.ts';
import { diskTrouble, reply } from './trouble.ts';
import { writeWhole } from './whole.ts';

/** Columns as a person set them, by the headers of their file: kept beside the plans, and can be thrown away. */
export interface MappingStore {
  list(): Promise<readonly RememberedMapping[]>;
  /** Keeps what was set for the headers of a key, or forgets it where there are no columns; answers all that is kept. */
  save(key: string, columns: RememberedMapping['columns'] | null, told?: Told): Promise<HostReply<Listed>>;
}
/** What the file is for, and the doubtful columns that were confirmed. */
type Told = Pick<RememberedMapping, 'role' | 'confirmed'>;
interface Listed {
  readonly mappings: readonly RememberedMapping[];
}

const fileSchema = z.object({ mappings: z.array(z.unknown()) });

/** The mappings in `mappings.json` of the program's own folder; what of it cannot be read any more is passed over. */
export function createMappings(home: string, today: () => string = localDay): MappingStore {
  const file = join(home, 'mappings.json');
  const inTurn = createTurns();

  const list = async (): Promise<readonly RememberedMapping[]> => {
    const parsed = fileSchema.safeParse(parseJson(await readFile(file, 'utf8').catch(() => '{}')));
    return (parsed.data?.mappings ?? []).flatMap((one) => {
      const mapping = rememberedMappingSchema.safeParse(one);
      return mapping.success ? [mapping.data] : [];
    });
  };
  const save: MappingStore['save'] = (key, columns, { role, confirmed } = {}) =>
    inTurn(async () => {
      const before = await list();
      const told = { ...(role === undefined ? {} : { role }), ...(confirmed === undefined ? {} : { confirmed }) };
      const mappings =
        columns === null ? forget(before, key, role) : remember(before, { key, on: today(), columns, ...told });
      try {
        await mkdir(home, { recursive: true });
        await writeWhole(file, encodeUtf8(`${JSON.stringify({ mappings }, null, 1)}\n`));
      } catch (error) {
        return reply.refused(diskTrouble('disk-write', 'What the columns are cannot be remembered', file, error));
      }
      return reply.done({ mappings });
    });
  return { list, save };
}

/** Today on the person's own calendar. */
function localDay(): string {
  const now = new Date();
  const two = (part: number): string => String(part).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return {};
  }
}
