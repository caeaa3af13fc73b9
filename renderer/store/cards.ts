import type { Problem, STAGES } from '../../core/base/problem.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { counted, figure, money, number, type UnitSystem, unitOf } from '../ui/format.ts';
import { exportCount, fieldMean, type StageStanding, standings, validProof } from './derive.ts';
import type { ResultsState } from './results.ts';

type Made = (typeof STAGES)[number];

/** What one card of the course says. */
export interface Card {
  readonly stage: Made;
  readonly name: string;
  readonly standing: StageStanding;
  /** State in a word, at the right of the name; empty when all is well. */
  readonly word: string;
  /** Key numbers with their units; a waiting stage has one without a figure. */
  readonly figures: readonly { readonly value: string; readonly unit: string }[];
  readonly line: string;
  /** 0 to 1 while working. */
  readonly progress: number | null;
}

export const STAGE_NAMES = {
  field: 'Field',
  soil: 'Soil',
  surfaces: 'Surfaces',
  zones: 'Zones',
  rates: 'Rates',
  handoff: 'Handoff',
  review: 'Review',
} as const;

const EMPTY: Record<Made, readonly [string, string]> = {
  field: ['Boundary', 'needed first'],
  soil: ['Lab values', ''],
  surfaces: ['K and saturation', ''],
  zones: ['Zones', ''],
  rates: ['Rate a zone', ''],
  handoff: ['Files', ''],
};

export interface CourseState {
  readonly plan: Plan | null;
  readonly results: ResultsState;
  readonly units: UnitSystem;
}

export function cards(state: CourseState): readonly Card[] {
  const standing = standings(state.plan, state.results);
  const order = ['field', 'soil', 'surfaces', 'zones', 'rates', 'handoff'] as const;
  return order.map((stage) => card(stage, standing[stage], state));
}

function card(stage: Made, standing: StageStanding, state: CourseState): Card {
  const { plan, results } = state;
  const { out, work } = results;
  const face = { stage, name: STAGE_NAMES[stage], standing };
  if (!plan) {
    const [unit, line] = EMPTY[stage];
    return { ...face, word: '', figures: [{ value: '', unit }], line, progress: null };
  }
  const working = standing === 'working' && work !== null && work !== 'waiting' ? work : null;
  const progress = working ? working.done / Math.max(1, working.total) : null;
  const said = out ? SAYS[stage](out, state) : null;
  const stops = out ? stopsOf(out.stages[stage].problems) : 0;
  return {
    ...face,
    word: wordOf(standing, stops, progress, stage, state),
    figures: said?.figures ?? [{ value: '', unit: WITHOUT_FIGURES[standing] }],
    line: said?.line ?? (standing === 'problem' ? (out ? firstOf(out.stages[stage].problems) : '') : ''),
    progress,
  };
}

const WITHOUT_FIGURES: Record<StageStanding, string> = {
  fresh: 'Made',
  working: 'Working',
  stale: 'Stale',
  problem: 'Stopped',
  wait: 'Waiting',
};

/** What a stage that stopped says of itself: the stop, not a note that came before it. */
const firstOf = (problems: readonly Problem[]): string =>
  (problems.find((one) => one.severity === 'stop') ?? problems[0])?.message ?? '';

const stopsOf = (problems: readonly Problem[]): number => problems.filter((one) => one.severity === 'stop').length;

function wordOf(
  standing: StageStanding,
  stops: number,
  progress: number | null,
  stage: Made,
  state: CourseState,
): string {
  if (standing === 'working') return progress === null || progress === 0 ? 'working' : `${number(progress * 100)} %`;
  if (standing === 'stale') return 'stale';
  if (standing === 'problem') return counted(Math.max(1, stops), 'problem');
  if (stops > 0) return counted(stops, 'problem');
  return stage === 'handoff' && validProof(state.plan, state.results)?.proof.proved ? 'proved' : '';
}

type Said = Pick<Card, 'figures' | 'line'> | null;

const SAYS: Record<Made, (out: PlanOut, state: CourseState) => Said> = {
  field: ({ field }, { units }) =>
    field && {
      figures: [{ value: figure(field.spreadable_ac, 'area', units), unit: unitOf('area', units) }],
      line:
        field.keepOut.length > 0
          ? `${counted(field.keepOut.length, 'keep-out')}, ${figure(field.keepOut_ac, 'area', units)} ${unitOf('area', units)}`
          : 'no keep-out',
    },
  soil: ({ soil }) =>
    soil && {
      figures: [{ value: number(soil.kept), unit: soil.kind === 'points' ? 'samples' : 'composites' }],
      line: soil.setAside > 0 ? `${counted(soil.setAside, 'row')} set aside` : 'every row kept',
    },
  surfaces: (out) =>
    out.surfaces && {
      figures: [
        { value: number(fieldMean(out, 'k_ppm')), unit: 'ppm' },
        { value: number(fieldMean(out, 'kSat_pct'), 1), unit: '%' },
      ],
      line: out.surfaces.errors.k_ppm ? `RMSE ${number(out.surfaces.errors.k_ppm.rmse, 1)} ppm K` : 'zone composites',
    },
  zones: ({ zones }, { units }) => {
    if (!zones) return null;
    const acres = zones.zones.map((zone) => zone.acres);
    const [least, most] = [Math.min(...acres), Math.max(...acres)];
    const unit = unitOf('area', units);
    return {
      figures: [{ value: number(zones.zones.length), unit: zones.zones.length === 1 ? 'zone' : 'zones' }],
      line:
        zones.zones.length === 1
          ? `${figure(most, 'area', units)} ${unit}`
          : `${figure(least, 'area', units)} to ${figure(most, 'area', units)} ${unit}`,
    };
  },
  rates: ({ rates }, { plan, units }) =>
    rates && {
      figures: [{ value: figure(rates.totals.product_tons, 'tons', units), unit: unitOf('tons', units) }],
      line: `${plan?.rates.product.name ?? ''} · ${money(rates.totals.cost)}`,
    },
  handoff: (out, state) => {
    if (!out.handoff) return null;
    const proof = validProof(state.plan, state.results);
    const count = exportCount(state.plan, out);
    return {
      figures: [{ value: number(count), unit: count === 1 ? 'file' : 'files' }],
      line: proof ? (proof.proof.proved ? 'read back, all match' : 'read back, not the same') : 'not written yet',
    };
  },
};
