import { type ReactElement, useEffect, useRef } from 'react';
import { usePlan } from '../store/document.ts';
import { useLeaving } from '../store/leaving.ts';
import { SeverityMark } from './marks.tsx';

/** Asked before an unsaved plan is left: the one thing no undo can repair. */
export function AskStrip(): ReactElement | null {
  const answer = useLeaving((state) => state.answer);
  const plan = usePlan();
  const first = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (answer) first.current?.focus();
  }, [answer]);
  if (!answer) return null;
  return (
    <div className="ask" role="alertdialog" aria-label="Unsaved changes" aria-describedby="ask-words">
      <SeverityMark severity="caution" />
      <span className="grow" id="ask-words">
        <b>{plan?.name}</b> has changes that are not saved.
      </span>
      <button type="button" className="btn s" ref={first} onClick={() => answer('save')}>
        Save and go on
      </button>
      <button type="button" className="btn s" onClick={() => answer('leave')}>
        Go on without saving
      </button>
      <button type="button" className="btn s" onClick={() => answer('stay')}>
        Stay
      </button>
    </div>
  );
}
