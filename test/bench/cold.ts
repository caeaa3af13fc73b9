/** First call of one way in a fresh process: `node cold.mjs <way> <field>` prints its milliseconds of processor. */
import { WAYS, type WayName } from './tasks.ts';
import { makeWorkload, processor_ms, WORKLOAD_NAMES } from './workloads.ts';
import { EDITS, editOf, makeLabels, sieve, trace } from './zones.ts';

const [way = '', field = ''] = process.argv.slice(2);
const name = WORKLOAD_NAMES.find((one) => one === field) ?? 'S';
const work = makeWorkload(name);
const isWay = (text: string): text is WayName => text in WAYS;
const labels = isWay(way) ? null : makeLabels(work);
const start = processor_ms();
if (isWay(way)) WAYS[way](work);
else if (labels && way === 'trace') trace(labels);
else if (labels) {
  const does = EDITS.find((one) => one === way);
  if (does) editOf(does, work.cell_m)(labels);
  else sieve(labels, 225 * 9);
}
console.log(processor_ms() - start);
