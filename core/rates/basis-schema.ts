import { z } from 'zod';
import { basisSchema } from './basis.ts';

/** JSON Schema (draft 2020-12) of a basis as it is written: a choice left out is a choice not made. */
export const basisJsonSchema = (): Record<string, unknown> => ({
  ...z.toJSONSchema(basisSchema, { io: 'input' }),
  $id: 'https://pearlash.example/basis.schema.json',
  title: 'Pearlash basis',
  description: 'A named set of choices by which potassium rates are worked out, without what belongs to one field.',
});
