import { type KeyboardEvent, type PointerEvent, type ReactElement, useEffect, useRef } from 'react';
import { shortNumber } from '../ui/format.ts';
import type { BalanceLimits } from './balance.ts';

export type LimitKind = keyof BalanceLimits;

export interface GripProps {
  readonly kind: LimitKind;
  readonly value: number;
  readonly at: readonly [number, number];
  /** The plot's value at a place on the screen; null outside the plot. */
  readonly valueAt: (clientX: number, clientY: number) => number | null;
  readonly least: number;
  readonly most: number;
  /** A drag is a draft until it is let go. */
  readonly onDraft: (value: number) => void;
  readonly onCommit: (value: number) => void;
  readonly onCancel: () => void;
}

const NAMES = {
  floor_ppm: 'Floor by ppm',
  floor_pct: 'Floor by saturation',
  rangeTop_pct: 'Top of the saturation range',
  caution_pct: 'Caution line',
} as const satisfies Record<LimitKind, string>;
const SETTLE_MS = 700;

/** The handle of a line, on its axis, with its value: dragged, or moved by arrow keys in steps of 1 ppm or 0.1 %, ten with Shift. */
export function Grip(props: GripProps): ReactElement {
  const { kind, value, at, least, most } = props;
  const across = kind === 'floor_ppm';
  const half = across ? 17 : 15;
  const step = across ? 1 : 0.1;
  const unit = across ? 'ppm' : '%';
  const timer = useRef<ReturnType<typeof setTimeout> | null>(null);
  const dragging = useRef(false);
  /** The value on the way, ahead of any drawing. */
  const drafted = useRef<number | null>(null);
  useEffect(() => () => stopTimer(timer), []);

  const held = (to: number): number => {
    const inSteps = Math.round(Math.min(most, Math.max(least, to)) / step) * step;
    return Number(inSteps.toFixed(across ? 0 : 1));
  };
  const draft = (to: number): void => {
    drafted.current = held(to);
    props.onDraft(drafted.current);
  };
  const settle = (): void => {
    stopTimer(timer);
    if (drafted.current !== null) props.onCommit(drafted.current);
    drafted.current = null;
  };
  const cancel = (): void => {
    stopTimer(timer);
    dragging.current = false;
    drafted.current = null;
    props.onCancel();
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const steps = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1 }[event.key];
    if (steps !== undefined) {
      draft((drafted.current ?? value) + steps * step * (event.shiftKey ? 10 : 1));
      stopTimer(timer);
      // Several presses are one change, and one step of undo.
      timer.current = setTimeout(settle, SETTLE_MS);
    } else if (event.key === 'Enter') settle();
    else if (event.key === 'Escape' && (timer.current !== null || dragging.current)) cancel();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  const onPointerDown = (event: PointerEvent<SVGGElement>): void => {
    dragging.current = true;
    event.currentTarget.setPointerCapture(event.pointerId);
    event.stopPropagation();
  };
  const onPointerMove = (event: PointerEvent): void => {
    const to = dragging.current ? props.valueAt(event.clientX, event.clientY) : null;
    if (to !== null) draft(to);
  };
  const onPointerUp = (): void => {
    if (!dragging.current) return;
    dragging.current = false;
    settle();
  };

  return (
    <g
      className={across ? 'plot-grip plot-grip-across' : 'plot-grip'}
      transform={`translate(${at[0]} ${at[1]})`}
      role="slider"
      tabIndex={0}
      aria-label={NAMES[kind]}
      aria-orientation={across ? 'horizontal' : 'vertical'}
      aria-valuemin={least}
      aria-valuemax={most}
      aria-valuenow={value}
      aria-valuetext={`${shortNumber(value, 1)} ${unit}`}
      data-testid={`grip-${kind}`}
      onKeyDown={onKeyDown}
      onBlur={() => timer.current !== null && settle()}
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={onPointerUp}
      onPointerCancel={cancel}
    >
      <rect className="plot-grip-target" x={-half} y={-14} width={half * 2} height={28} />
      <rect className="plot-grip-plate" x={-half} y={-8} width={half * 2} height={16} rx={2} />
      <text y={4}>{shortNumber(value, 1)}</text>
    </g>
  );
}

function stopTimer(timer: { current: ReturnType<typeof setTimeout> | null }): void {
  if (timer.current !== null) clearTimeout(timer.current);
  timer.current = null;
}
