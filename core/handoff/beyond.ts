import { caution, type Problem, stop } from '../base/problem.ts';
import type { MultiPolygon } from '../geo/types.ts';
import type { RatesSettings } from '../rates/settings.ts';
import { listed } from '../surfaces/coverage.ts';
import type { HandoffSettings } from './settings.ts';

/** What the rates beyond the polygons are held against. */
export interface BeyondInput {
  readonly ground: MultiPolygon;
  /** Keep-outs and setbacks within the field. */
  readonly keepOut?: MultiPolygon;
  /** Zones that are in no file. */
  readonly leftOut: MultiPolygon;
  readonly ratesSettings: Pick<RatesSettings, 'machine'>;
  readonly settings: Pick<HandoffSettings, 'outside_lbPerAc' | 'noPosition_lbPerAc'>;
}

/** As a controller that compares with a rate typed to the last digit. */
const SLACK_LB_PER_AC = 1e-9;

/**
 * The rates outside every polygon and without a position, before anything is made. A controller takes ground that no polygon covers for outside, and
 * keep-outs, setbacks, holes and zones left out are covered by none.
 * Problems: `handoff-outside`, a stop where a rate outside would go on such ground; caution `handoff-beyond` of each rate above 0;
 * `handoff-beyond-range` where one is neither 0 nor within the machine's least and most.
 */
export function beyondProblems({ ground, keepOut, leftOut, ratesSettings, settings }: BeyondInput): Problem[] {
  const { outside_lbPerAc, noPosition_lbPerAc } = settings;
  const { least_lbPerAc, most_lbPerAc } = ratesSettings.machine;
  const problems: Problem[] = [];
  const rates = [
    { rate: outside_lbPerAc, where: 'Outside every polygon', setting: 'handoff.outside_lbPerAc' },
    { rate: noPosition_lbPerAc, where: 'Where the position is lost', setting: 'handoff.noPosition_lbPerAc' },
  ];
  for (const { rate, where, setting } of rates) {
    if (rate === 0) continue;
    if (!(rate >= least_lbPerAc - SLACK_LB_PER_AC && rate <= most_lbPerAc + SLACK_LB_PER_AC))
      problems.push(
        stop(
          'handoff-beyond-range',
          `${where} the rate would be ${rate} lb/ac, and the machine spreads 0 or ${least_lbPerAc} to ${most_lbPerAc} lb/ac.`,
          "Take 0 or a rate within the machine's, or correct the machine's least and most rate.",
          { setting },
        ),
      );
  }
  const bare = [
    ...((keepOut ?? []).length > 0 ? ['keep-outs or setbacks'] : []),
    ...(ground.some((polygon) => polygon.length > 1) ? ['holes'] : []),
    ...(leftOut.length > 0 ? ['zones that are left out'] : []),
  ];
  if (outside_lbPerAc > 0 && bare.length > 0)
    problems.push(
      stop(
        'handoff-outside',
        `Outside every polygon ${outside_lbPerAc} lb/ac would be spread, also on ${listed(bare)}: no polygon covers that ground, so a controller takes it for outside.`,
        'Take 0 for the rate outside.',
        { setting: 'handoff.outside_lbPerAc' },
      ),
    );
  else if (outside_lbPerAc > 0) problems.push(beyond('Outside every polygon', outside_lbPerAc, 'outside_lbPerAc'));
  if (noPosition_lbPerAc > 0)
    problems.push(beyond('Where the machine has lost its position', noPosition_lbPerAc, 'noPosition_lbPerAc'));
  return problems;
}

const beyond = (where: string, rate: number, name: 'outside_lbPerAc' | 'noPosition_lbPerAc'): Problem =>
  caution(
    'handoff-beyond',
    `${where} ${rate} lb/ac would be spread, where no rate was worked out: on neighbours' ground, roads and water too.`,
    'Take 0 unless that is meant.',
    { setting: `handoff.${name}` },
  );
