import { expect, it } from 'vitest';
import { guideGround } from '../../core/rates/guide-ground.ts';
import { guideTable } from '../../core/rates/guides/table.ts';
import { makeRates } from '../../core/rates/make.ts';
import { corn, groundOf, lineOf, soilPlan } from './ground.ts';

it('the table of guides says what the ledger that follows one takes: own goal, or the layer\u2019s, and converted K', () => {
  const specs = [
    { k_ppm: 150, cec_meq: 12 },
    { k_ppm: 150, cec_meq: 12 },
  ];
  const layer = {
    id: 'own.yield',
    name: 'Yield',
    unit: 'bu/ac',
    kind: 'values',
    values: Float64Array.from([240, 150]),
  } as never; // of a layer its id, name, unit and values are all that is read
  const soil = soilPlan({ extractant: 'ammonium acetate' });
  const rates = corn({
    follows: 'tri-state-2020',
    yieldLayer: { layer: 'own.yield', factor: 1 },
    zones: { '2': { yieldGoal: 120 } },
  });
  const input = groundOf(specs, soil, rates, [], { own: [layer], kExtractant: 'Mehlich-3' });
  const zones = makeRates(input).zones;
  const said = zones.map((zone) => {
    const of = guideGround(
      zone,
      { rates, soil },
      { soil: input.samples, zones: input.zones, surfaces: input.surfaces },
    );
    const answer = guideTable(of).find(({ guide }) => guide.id === 'tri-state-2020')?.answer;
    return answer?.ok ? answer.k2o_lbPerAc : null;
  });
  expect(said).toEqual(zones.map((zone) => lineOf(zone, 'crop').carried));
  expect(said[0]).toBeGreaterThan(said[1] ?? Number.NaN);
  // by the plan's own extractant and goal it would be refused
  const plain = guideTable(guideGround({ ...zones[0], key: 'x' } as never, { rates, soil }, null)); // no such zone
  expect(plain.find(({ guide }) => guide.id === 'tri-state-2020')?.answer.ok).toBe(false);
});
