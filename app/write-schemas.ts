import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { planJsonSchema } from '../core/plan/json-schema.ts';
import { basisJsonSchema } from '../core/rates/basis-schema.ts';

/** Writes the published JSON Schemas beside the code that they are made from: `npm run schemas`. */
for (const [path, schema] of [
  ['../core/plan/plan.schema.json', planJsonSchema()],
  ['../core/rates/basis.schema.json', basisJsonSchema()],
] as const) {
  writeFileSync(fileURLToPath(new URL(path, import.meta.url)), `${JSON.stringify(schema, null, 2)}\n`);
}
