import { caution, type Problem, stop } from '../base/problem.ts';
import type { CheckInput, Checks } from './checks.ts';
import { rateFactor, roundTo } from './figures.ts';
import { rateOf } from './sets.ts';
import type { CheckLine } from './types.ts';

/**
 * What a controller can load: records a file, different rates a column (0 is no rate to set), the smallest record.
 * Problems: `handoff-records` and `handoff-rates` (more than the limits set), caution `handoff-small` (records under the least acres).
 */
export function recordChecks({ sets, settings, prescriptions }: CheckInput): Checks {
  const { mostRecords, mostRates, least_ac } = settings.limits;
  const lines: CheckLine[] = [];
  const problems: Problem[] = [];
  const records = sets.reduce((most, { passes }) => Math.max(most, passes[0]?.pieces.length ?? 0), 0);
  const few = mostRecords === null || records <= mostRecords;
  lines.push({
    what: mostRecords === null ? 'Records a file' : `At most ${mostRecords} records a file`,
    figure: `${records}`,
    holds: few,
  });
  if (!few) {
    const message = `A file would hold ${records} records; the controller takes ${mostRecords}.`;
    const remedy = 'Write one record a zone, larger cells, or join cells of equal rates; or raise the limit.';
    problems.push(stop('handoff-records', message, remedy, { setting: 'handoff.limits.mostRecords' }));
  }

  const rates = sets.reduce(
    (most, { passes, channels }) =>
      channels.reduce((own, channel) => {
        const of = passes[channel.pass]?.pieces ?? [];
        const written = of.map((piece) =>
          roundTo(rateOf(piece, channel.product) * rateFactor(settings.rateUnit), channel.decimals),
        );
        return Math.max(own, new Set(written.filter((rate) => rate > 0)).size);
      }, most),
    0,
  );
  const alike = mostRates === null || rates <= mostRates;
  lines.push({
    what: mostRates === null ? 'Different rates above 0 a column' : `At most ${mostRates} different rates above 0`,
    figure: `${rates}`,
    holds: alike,
  });
  if (!alike) {
    const message = `A rate column would hold ${rates} different rates above 0; the controller takes ${mostRates}.`;
    const remedy = 'Set the number of different rates in the rates stage, so that the nearest are put together.';
    problems.push(stop('handoff-rates', message, remedy, { setting: 'rates.machine.distinctRates' }));
  }

  const pieces = prescriptions.flatMap((one) => one.pieces);
  const smallest = pieces.reduce((least, { acres }) => Math.min(least, acres), Infinity);
  const small = least_ac === null ? [] : pieces.filter(({ acres }) => acres < least_ac);
  lines.push({
    what: least_ac === null ? 'Smallest record' : `Records of at least ${least_ac} ac`,
    figure: `${smallest.toFixed(smallest < 0.1 ? 4 : 2)} ac`,
    holds: small.length === 0,
  });
  if (small.length > 0) {
    const letters = [...new Set(small.map(({ letter }) => letter))].join(', ');
    const message = `${small.length === 1 ? 'One record is' : `${small.length} records are`} under ${least_ac} ac, the smallest ${smallest.toFixed(4)} ac: zone ${letters}.`;
    const remedy =
      'Raise the least acres of a part in the zones stage, write one record a zone, or join more of the cut cells.';
    problems.push(caution('handoff-small', message, remedy, { setting: 'handoff.limits.least_ac' }));
  }
  return { lines, problems };
}
