import type { ReactElement } from 'react';
import type { Severity } from '../../core/base/problem.ts';
import type { StageStanding } from '../store/derive.ts';

/** The small drawn signs of the window. Each is decoration beside words that say the same. */
export const Wordmark = (): ReactElement => (
  <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
    <circle cx="8" cy="8" r="6.4" fill="none" stroke="currentColor" strokeWidth="1.3" />
    <path
      d="M2.4 10.2C5 8.6 7.4 11.4 13.6 8.4M4 4.8c2.4 1.2 5.4-.6 8.4.4"
      fill="none"
      stroke="currentColor"
      strokeWidth="1"
    />
  </svg>
);

const SEVERITY_NAMES = { stop: 'problem', caution: 'caution', note: 'note' } as const;

/** Square, triangle or ring: the shape tells before the colour does. */
export function SeverityMark({ severity }: { readonly severity: Severity }): ReactElement {
  return (
    <svg className="sev" width="14" height="14" viewBox="0 0 14 14" role="img" aria-label={SEVERITY_NAMES[severity]}>
      {severity === 'stop' && <rect className="sev-stop" x="1" y="1" width="12" height="12" rx="1" />}
      {severity === 'caution' && <path className="sev-caution" d="M7 1.2L13.4 12.6H.6Z" />}
      {severity === 'note' && <circle className="sev-note" cx="7" cy="7" r="5.6" />}
      <path
        className="sev-cut"
        d={
          severity === 'stop'
            ? 'M7 3.6v4.2M7 9.4v1.4'
            : severity === 'caution'
              ? 'M7 5v3.8M7 10v1.3'
              : 'M7 6.2v4M7 3.6v1.3'
        }
      />
    </svg>
  );
}

/** A stage's node on the rail. */
export function StageNode({
  standing,
  open,
}: {
  readonly standing: StageStanding;
  readonly open: boolean;
}): ReactElement {
  const colour = open ? 'var(--over)' : 'var(--ink-2)';
  return (
    <svg className="node" viewBox="0 0 14 14" aria-hidden="true">
      {standing === 'fresh' && <circle cx="7" cy="7" r="5" fill={colour} stroke="var(--panel)" strokeWidth="2" />}
      {standing === 'working' && (
        <>
          <circle cx="7" cy="7" r="5.2" fill="var(--panel)" stroke="var(--line-2)" strokeWidth="2" />
          <path d="M7 1.8a5.2 5.2 0 11-4.9 6.9" fill="none" stroke={colour} strokeWidth="2.4" />
        </>
      )}
      {standing === 'stale' && (
        <circle
          cx="7"
          cy="7"
          r="5"
          fill="var(--panel)"
          stroke="var(--stale)"
          strokeWidth="1.6"
          strokeDasharray="2.6 2"
        />
      )}
      {standing === 'problem' && (
        <>
          <rect x="1" y="1" width="12" height="12" rx="1" fill="var(--stop)" stroke="var(--panel)" strokeWidth="1.6" />
          <path d="M7 3.8v4M7 9.2v1.4" stroke="var(--panel)" strokeWidth="1.7" />
        </>
      )}
      {standing === 'wait' && (
        <circle cx="7" cy="7" r="3.4" fill="var(--panel)" stroke={open ? colour : 'var(--line-2)'} strokeWidth="1.4" />
      )}
    </svg>
  );
}

export const Tick = (): ReactElement => (
  <svg className="tick" width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
    <path d="M2 7.5l3.4 3.4L12 3.5" fill="none" stroke="var(--ink)" strokeWidth="1.6" />
  </svg>
);

export const CloseMark = (): ReactElement => (
  <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
    <path d="M2 2l8 8M10 2l-8 8" fill="none" stroke="currentColor" strokeWidth="1.4" />
  </svg>
);

export const UndoMark = ({ redo = false }: { readonly redo?: boolean }): ReactElement => (
  <svg width="15" height="15" viewBox="0 0 16 16" aria-hidden="true">
    <path
      d="M6 3L2.5 6.5L6 10M3 6.5h6.5a3.5 3.5 0 010 7H7"
      fill="none"
      stroke="currentColor"
      strokeWidth="1.4"
      transform={redo ? 'matrix(-1 0 0 1 16 0)' : undefined}
    />
  </svg>
);

export const SpotMark = (): ReactElement => (
  <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
    <path d="M1 8h4M11 8h4M8 1v4M8 11v4" stroke="var(--over)" strokeWidth="1.6" />
    <circle cx="8" cy="8" r="3" fill="none" stroke="var(--over)" strokeWidth="1.6" />
  </svg>
);

export const ZoneLetter = ({ letter }: { readonly letter: string }): ReactElement => (
  <span className="letter">{letter}</span>
);
