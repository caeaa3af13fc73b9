import type { ReactElement } from 'react';
import { type Card, cards } from '../store/cards.ts';
import type { StageStanding } from '../store/derive.ts';
import { usePlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { openPanel, useView } from '../store/view.ts';
import { StageNode } from './marks.tsx';

const SPOKEN: Record<StageStanding, string> = {
  fresh: 'up to date',
  working: 'working',
  stale: 'stale',
  problem: 'stopped',
  wait: 'waiting',
};

/** The strip along the foot: a card a stage, in order, and Review beside the way. */
export function Course(): ReactElement {
  const plan = usePlan();
  const results = useResults();
  const units = useView((view) => view.units);
  const panel = useView((view) => view.panel);
  return (
    <nav className="course" aria-label="Course: the stages of the plan" data-part="course">
      {cards({ plan, results, units }).map((card, index) => (
        <StageCard
          key={card.stage}
          card={card}
          open={panel === card.stage}
          digit={index + 1}
          disabled={plan === null}
        />
      ))}
      <ReviewCard open={panel === 'review'} disabled={plan === null} />
    </nav>
  );
}

interface StageCardProps {
  readonly card: Card;
  readonly open: boolean;
  readonly digit: number;
  readonly disabled: boolean;
}

function StageCard({ card, open, digit, disabled }: StageCardProps): ReactElement {
  return (
    <button
      type="button"
      className={`card ${card.standing}`}
      data-stage={card.stage}
      data-standing={card.standing}
      aria-current={open ? 'step' : undefined}
      aria-keyshortcuts={String(digit)}
      disabled={disabled}
      onClick={() => openPanel(open ? null : card.stage)}
    >
      <span className="rail" />
      <StageNode standing={card.standing} open={open} />
      <span className="name">
        <b>{card.name}</b>
        <span className="unseen">, {SPOKEN[card.standing]},</span>
        <em>{card.word}</em>
      </span>
      <span className="key-figure">
        {card.figures.map(({ value, unit }, index) => (
          <span key={unit}>
            {index > 0 && ' '}
            {value !== '' && `${value} `}
            <small>{unit}</small>
          </span>
        ))}
      </span>
      {card.progress === null ? (
        <span className="line" title={card.line}>
          {card.line}
        </span>
      ) : (
        <span className="progress">
          <i style={{ width: `${Math.round(card.progress * 100)}%` }} />
        </span>
      )}
    </button>
  );
}

/** Review stands beside the way. This version reads neither yield nor notes, and the card says so. */
const ReviewCard = ({ open, disabled }: { readonly open: boolean; readonly disabled: boolean }): ReactElement => (
  <button
    type="button"
    className="card wait beside"
    data-stage="review"
    aria-current={open ? 'step' : undefined}
    aria-keyshortcuts="7"
    disabled={disabled}
    onClick={() => openPanel(open ? null : 'review')}
  >
    <span className="rail" />
    <StageNode standing="wait" open={open} />
    <span className="name">
      <b>Review</b>
    </span>
    <span className="key-figure">
      <small>{disabled ? 'Yield and notes' : 'Nothing yet'}</small>
    </span>
    <span className="line">{disabled ? '' : 'yield, notes'}</span>
  </button>
);
