import { type KeyboardEvent, type PointerEvent, type ReactElement, type ReactNode, useRef } from 'react';
import { useView } from '../store/view.ts';

const LEAST = 340;
const STEP = 16;

/** The panel's place at the right: its width is dragged or stepped at its edge; the map gives way. */
export function SidePanel({
  name,
  wide,
  children,
}: {
  readonly name: string;
  readonly wide: boolean;
  readonly children: ReactNode;
}): ReactElement {
  const box = useRef<HTMLElement>(null);
  const width = useView((view) => (wide ? view.widePanelWidth : view.panelWidth));
  const resize = (wanted: number): void => {
    const most = wide ? window.innerWidth - 300 : Math.max(LEAST, window.innerWidth / 2);
    const now = Math.round(Math.min(Math.max(wanted, LEAST), most));
    useView.setState(wide ? { widePanelWidth: now } : { panelWidth: now });
  };
  const shown = (): number => box.current?.getBoundingClientRect().width ?? LEAST;
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.key === 'ArrowLeft') resize(shown() + STEP);
    else if (event.key === 'ArrowRight') resize(shown() - STEP);
    else if (event.key === 'Home') useView.setState(wide ? { widePanelWidth: null } : { panelWidth: null });
    else return;
    event.preventDefault();
  };
  const onPointerMove = (event: PointerEvent): void => {
    if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
    resize((box.current?.getBoundingClientRect().right ?? window.innerWidth) - event.clientX);
  };
  return (
    <aside
      className={wide ? 'panel wide' : 'panel'}
      ref={box}
      aria-label={name}
      data-part="panel"
      // A custom property, so that the style sheet can let go of it in a small window.
      style={width === null ? undefined : { ['--dragged' as string]: `${width}px` }}
    >
      {/* biome-ignore lint/a11y/useSemanticElements: an hr cannot be moved; a separator with a value can */}
      <div
        className="panel-edge"
        role="separator"
        aria-orientation="vertical"
        aria-label="Width of the panel"
        aria-valuenow={width ?? (wide ? 880 : 440)}
        aria-valuemin={LEAST}
        tabIndex={0}
        onKeyDown={onKeyDown}
        onPointerDown={(event) => event.currentTarget.setPointerCapture(event.pointerId)}
        onPointerMove={onPointerMove}
        onDoubleClick={() => useView.setState(wide ? { widePanelWidth: null } : { panelWidth: null })}
      />
      {children}
    </aside>
  );
}
