import { z } from 'zod';
import { LAYER_IDS } from '../surfaces/types.ts';
import { planSchema } from './schema.ts';

/** Ids of layers as the plan takes them: the program's, or one that the user brought. */
const LAYER_ID = { anyOf: [{ enum: [...LAYER_IDS] }, { type: 'string', pattern: '^own\\.[a-z0-9-]{1,40}$' }] } as const;

/**
 * JSON Schema (draft 2020-12) of a plan as it is written: what it leaves out has its default. Checks that go beyond the form of one value
 * (paths that stay inside the folder, inputs that are listed) are made when the plan is opened. Throws for a part that JSON Schema cannot
 * tell, a mistake of the program.
 */
export const planJsonSchema = (): Record<string, unknown> => ({
  ...z.toJSONSchema(planSchema, {
    io: 'input',
    unrepresentable: 'any',
    override: ({ zodSchema, jsonSchema }) => {
      if (zodSchema._zod.def.type !== 'custom') return;
      const takes = (value: unknown): boolean => z.safeParse(zodSchema, value).success;
      if (![...LAYER_IDS, 'own.x'].every(takes) || takes('x')) throw new Error('a part of the plan has no JSON Schema');
      Object.assign(jsonSchema, LAYER_ID);
    },
  }),
  $id: 'https://pearlash.example/plan.schema.json',
  title: 'Pearlash plan',
  description: "Every choice of one field's potassium plan; whatever is derived is made again from it.",
});
