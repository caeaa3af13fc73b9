import { z } from 'zod';

export const handoffSettingsSchema = z.object({
  /** Base of the file names; null makes one of the plan's name. */
  baseName: z
    .string()
    .regex(/^[A-Za-z][A-Za-z0-9_-]{0,39}$/)
    .nullable()
    .default(null),
  /** One record per part of a zone (read by every controller), or one multipart record per zone. */
  parts: z.enum(['apart', 'together']).default('apart'),
  rateUnit: z.enum(['lb/ac', 'kg/ha']).default('lb/ac'),
  /** What a withheld zone becomes: it blocks the export until decided. */
  withheld: z.enum(['blocks', 'written 0']).default('blocks'),
});
export type HandoffSettings = z.infer<typeof handoffSettingsSchema>;
