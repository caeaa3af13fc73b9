import { describe, expect, it } from 'vitest';
import type { PlanOut, StageState } from '../../core/pipeline/types.ts';
import { emptyPlan, type Plan } from '../../core/plan/schema.ts';
import { cards } from '../../renderer/store/cards.ts';
import { allProblems, firstChanged, gathered, isFresh, standings, validProof } from '../../renderer/store/derive.ts';
import { NO_RESULTS } from '../../renderer/store/results.ts';
import { deepFreeze } from '../freeze.ts';

const plan: Plan = deepFreeze(emptyPlan('North 40'));
const STAGES = ['field', 'soil', 'surfaces', 'zones', 'rates', 'handoff'] as const;

function outOf(states: Partial<Record<(typeof STAGES)[number], StageState['state']>> = {}): PlanOut {
  const state = (stage: (typeof STAGES)[number]): StageState => ({
    stage,
    state: states[stage] ?? 'fresh',
    key: `key of ${stage}`,
    problems: [],
  });
  return {
    stages: {
      field: state('field'),
      soil: state('soil'),
      surfaces: state('surfaces'),
      zones: state('zones'),
      rates: state('rates'),
      handoff: state('handoff'),
    },
    field: null,
    soil: null,
    surfaces: null,
    zones: null,
    rates: null,
    handoff: null,
    problems: [],
  };
}

const results = (out: PlanOut, outFor: Plan) => ({ ...NO_RESULTS, out, outFor });

describe('first changed stage', () => {
  it.each([
    ['soil', { ...plan, soil: { ...plan.soil, depth_in: 8 } }],
    ['surfaces', { ...plan, surfaces: { ...plan.surfaces, power: 3 } }],
    // The zones are cut by the need for K2O, which the floors make.
    ['zones', { ...plan, rates: { ...plan.rates, floor_ppm: 160 } }],
    ['handoff', { ...plan, handoff: { ...plan.handoff, parts: 'together' as const } }],
    ['handoff', { ...plan, name: 'South 40' }],
  ])('is %s', (stage, changed) => expect(firstChanged(plan, changed)).toBe(stage));

  it('is none between a plan and itself', () => expect(firstChanged(plan, plan)).toBeNull());
});

describe('standings', () => {
  it('waits for everything without results', () => {
    expect(Object.values(standings(plan, NO_RESULTS))).toEqual(Array(6).fill('wait'));
  });

  it('takes the stages before the first one under way as made', () => {
    const work = { stage: 'surfaces', done: 1, total: 4 } as const;
    expect(Object.values(standings(plan, { ...NO_RESULTS, work }))).toEqual([
      'fresh',
      'fresh',
      'working',
      'wait',
      'wait',
      'wait',
    ]);
  });

  it('keeps the stages before a change fresh and makes the rest stale', () => {
    const changed = { ...plan, surfaces: { ...plan.surfaces, power: 3 } };
    expect(standings(changed, results(outOf(), plan))).toEqual({
      field: 'fresh',
      soil: 'fresh',
      surfaces: 'stale',
      zones: 'stale',
      rates: 'stale',
      handoff: 'stale',
    });
  });

  it('shows the stage under way as working', () => {
    const work = { stage: 'soil', done: 1, total: 4 } as const;
    expect(standings(plan, { ...results(outOf(), plan), work }).soil).toBe('working');
  });

  it('tells a stopped stage from those that wait for it', () => {
    const out = outOf({ zones: 'problem', rates: 'waiting', handoff: 'waiting' });
    const { zones, rates } = standings(plan, results(out, plan));
    expect([zones, rates]).toEqual(['problem', 'wait']);
  });
});

describe('proof', () => {
  const proof = {
    proof: {
      proved: true,
      lines: [],
      acres: 1,
      product_tons: 1,
      problems: [],
      strays: 0,
      byHashAlone: [],
      points: null,
    },
    key: 'key of handoff',
    at: new Date(0),
    folder: '/plans/a',
    files: 3,
  };

  it('holds for the handoff it was made of', () => {
    expect(validProof(plan, { ...results(outOf(), plan), proof })).toBe(proof);
  });

  it('goes at once when anything is stale', () => {
    const changed = { ...plan, soil: { ...plan.soil, depth_in: 8 } };
    expect(validProof(changed, { ...results(outOf(), plan), proof })).toBeNull();
    expect(isFresh(changed, results(outOf(), plan))).toBe(false);
  });

  it('does not hold for another handoff', () => {
    expect(validProof(plan, { ...results(outOf(), plan), proof: { ...proof, key: 'another' } })).toBeNull();
  });
});

describe('cards', () => {
  it('say what is needed first when there is no plan', () => {
    const [field] = cards({ plan: null, results: NO_RESULTS, units: 'US' });
    expect(field?.line).toBe('needed first');
  });

  it('give the working stage its share and the others their word', () => {
    const changed = { ...plan, surfaces: { ...plan.surfaces, power: 3 } };
    const work = { stage: 'surfaces', done: 62, total: 100 } as const;
    const made = cards({ plan: changed, results: { ...results(outOf(), plan), work }, units: 'US' });
    expect(made.map((card) => card.word)).toEqual(['', '', '62 %', 'stale', 'stale', 'stale']);
  });

  it('count the stops of a stopped stage', () => {
    const out = outOf({ field: 'problem' });
    const stop = { code: 'x', severity: 'stop', message: 'Bad.', remedy: 'Mend it.' } as const;
    const stopped = { ...out, stages: { ...out.stages, field: { ...out.stages.field, problems: [stop, stop] } } };
    expect(cards({ plan, results: results(stopped, plan), units: 'US' })[0]?.word).toBe('2 problems');
  });
});

it('orders problems by severity', () => {
  const problem = (severity: 'note' | 'stop' | 'caution') => ({ code: severity, severity, message: '', remedy: '' });
  const out = { ...outOf(), problems: [problem('note'), problem('caution')] };
  const all = allProblems({ out, notices: [problem('stop')], proof: null });
  expect(all.map((one) => one.severity)).toEqual(['stop', 'caution', 'note']);
});

it('says the same of several zones once, and names them', () => {
  const of = (zone: string, message = 'No crop.') => ({
    code: 'rates-no-crop',
    severity: 'stop' as const,
    message,
    remedy: 'Choose one.',
    at: { zone, setting: 'rates.crop' },
  });
  const plain = { code: 'x', severity: 'note' as const, message: 'Twice.', remedy: '' };
  const zones = gathered([of('A'), plain, of('B'), of('C', 'Another.'), plain]).map((one) => one.at?.zone);
  expect(zones).toEqual(['A, B', undefined, 'C', undefined]);
});
