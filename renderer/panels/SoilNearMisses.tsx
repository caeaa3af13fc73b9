import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { SoilSettings } from '../../core/soil/settings.ts';
import type { NearMiss } from '../../core/soil/types.ts';
import { currentPlan, editPart } from '../store/document.ts';
import { eachOnce } from '../store/soil-kinds.ts';
import { counted } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

type Pair = SoilSettings['sameIds'][number];

interface NearMissesProps {
  readonly plan: Plan;
  readonly misses: readonly NearMiss[];
  /** Pairs in which each is the only one that looks like the other. */
  readonly pairs: readonly Pair[];
}

/** Ids without a partner, and those that look alike on the other side: joined only by a person's word. */
export function NearMisses({ plan, misses, pairs }: NearMissesProps): ReactElement {
  const shown = eachOnce(misses);
  const lab = shown.filter((miss) => miss.from === 'lab');
  const points = shown.filter((miss) => miss.from === 'points');
  const { sameIds } = plan.soil;
  return (
    <Section title="Ids that look alike" aside={shown.length === 0 ? undefined : counted(shown.length, 'id')}>
      <ul className="near-misses" data-testid="near-misses" data-setting="soil.sameIds" tabIndex={-1}>
        {lab.map((miss) => (
          <li key={`lab ${miss.id}`}>
            <span>
              Lab row {miss.row} <b>{miss.id}</b>
            </span>
            <span className="near-ways">
              {miss.alike.map((point) => (
                <SameButton key={point} pair={{ lab: miss.id, point }} says={`is point ${point}`} />
              ))}
            </span>
          </li>
        ))}
        {points.map((miss) => (
          <li key={`point ${miss.id}`}>
            <span>
              Point <b>{miss.id}</b>
            </span>
            <span className="near-ways">
              {miss.alike.map((id) => (
                <SameButton key={id} pair={{ lab: id, point: miss.id }} says={`is lab row ${id}`} />
              ))}
            </span>
          </li>
        ))}
        {sameIds.map((pair) => (
          <li key={`same ${pair.lab} ${pair.point}`}>
            <span>
              <b>{pair.lab}</b> is point <b>{pair.point}</b>, <span className="ink3">by your word</span>
            </span>
            <button type="button" className="btn s" onClick={() => apart(pair)}>
              Not the same
            </button>
          </li>
        ))}
      </ul>
      {pairs.length > 1 && (
        <button type="button" className="btn s" onClick={() => same(pairs)}>
          All {pairs.length} pairs are the same
        </button>
      )}
    </Section>
  );
}

const SameButton = ({ pair, says }: { readonly pair: Pair; readonly says: string }): ReactElement => (
  <button
    type="button"
    className="btn s"
    aria-label={`${pair.lab} and ${pair.point} are the same`}
    onClick={() => same([pair])}
  >
    {says}
  </button>
);

const told = (): readonly Pair[] => currentPlan()?.soil.sameIds ?? [];

function same(pairs: readonly Pair[]): void {
  const [first] = pairs;
  if (!first) return;
  const label =
    pairs.length === 1 ? `${first.lab} is point ${first.point}` : `${pairs.length} pairs of ids are the same`;
  const others = told().filter((one) => !pairs.some((pair) => pair.lab === one.lab || pair.point === one.point));
  editPart('soil', label, { sameIds: [...others, ...pairs] });
}

const apart = (pair: Pair): void =>
  editPart('soil', `${pair.lab} is not point ${pair.point}`, {
    sameIds: told().filter((one) => one.lab !== pair.lab || one.point !== pair.point),
  });
