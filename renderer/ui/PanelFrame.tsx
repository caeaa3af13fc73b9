import { type KeyboardEvent, type ReactElement, type ReactNode, useRef } from 'react';
import { openPanel, type PanelName, setTab, useTab } from '../store/view.ts';
import { CloseMark } from './marks.tsx';

export interface PanelTab {
  readonly id: string;
  readonly label: string;
  readonly body: ReactNode;
  /** Stands between the tabs and the part that scrolls. */
  readonly above?: ReactNode;
}

interface PanelFrameProps {
  readonly panel: PanelName;
  readonly title: string;
  readonly sentence: ReactNode;
  readonly tabs?: readonly PanelTab[];
  readonly children?: ReactNode;
  readonly foot?: ReactNode;
}

/** Title, one sentence, tabs, a body that scrolls, and a foot with one ink button at the right. */
export function PanelFrame(props: PanelFrameProps): ReactElement {
  const { tabs } = props;
  const first = tabs?.[0]?.id ?? '';
  const chosen = useTab(props.panel, first);
  const tab = tabs?.find((one) => one.id === chosen) ?? tabs?.[0];
  return (
    <>
      <header className="panel-head">
        <h2 tabIndex={-1} data-panel-title={props.panel}>
          {props.title}
        </h2>
        <button
          type="button"
          className="close"
          aria-label={`Close ${props.title}`}
          title="Close (Esc)"
          onClick={() => openPanel(null)}
        >
          <CloseMark />
        </button>
        <p>{props.sentence}</p>
      </header>
      {tabs && tab && <Tabs panel={props.panel} tabs={tabs} chosen={tab.id} />}
      {tab?.above}
      <div
        className="panel-body"
        {...(tab
          ? {
              role: 'tabpanel',
              id: `${props.panel}-body`,
              'aria-labelledby': `${props.panel}-tab-${tab.id}`,
            }
          : { role: 'group', 'aria-label': props.title })}
        // A part that scrolls can be reached by the keyboard.
        // biome-ignore lint/a11y/noNoninteractiveTabindex: see above
        tabIndex={0}
        key={tab?.id}
      >
        {tab ? tab.body : props.children}
      </div>
      {props.foot !== undefined && <footer className="panel-foot">{props.foot}</footer>}
    </>
  );
}

function Tabs({
  panel,
  tabs,
  chosen,
}: {
  readonly panel: PanelName;
  readonly tabs: readonly PanelTab[];
  readonly chosen: string;
}): ReactElement {
  const list = useRef<HTMLDivElement>(null);
  const onKeyDown = (event: KeyboardEvent): void => {
    const at = tabs.findIndex((tab) => tab.id === chosen);
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    const next =
      event.key === 'Home' ? 0 : event.key === 'End' ? tabs.length - 1 : step === undefined ? null : at + step;
    if (next === null) return;
    const tab = tabs[(next + tabs.length) % tabs.length];
    if (!tab) return;
    event.preventDefault();
    setTab(panel, tab.id);
    list.current?.querySelector<HTMLElement>(`#${panel}-tab-${tab.id}`)?.focus();
  };
  return (
    <div className="tabs" role="tablist" ref={list} onKeyDown={onKeyDown}>
      {tabs.map((tab) => (
        <button
          key={tab.id}
          type="button"
          role="tab"
          id={`${panel}-tab-${tab.id}`}
          aria-selected={tab.id === chosen}
          aria-controls={`${panel}-body`}
          tabIndex={tab.id === chosen ? 0 : -1}
          onClick={() => setTab(panel, tab.id)}
        >
          {tab.label}
        </button>
      ))}
    </div>
  );
}

/** A headed part of a panel; `aside` stands at the right of its head. */
export const Section = ({
  title,
  aside,
  children,
}: {
  readonly title?: ReactNode;
  readonly aside?: ReactNode;
  readonly children: ReactNode;
}): ReactElement => (
  <section className="section">
    {title !== undefined && (
      <h3>
        {title}
        {aside !== undefined && <span>{aside}</span>}
      </h3>
    )}
    {children}
  </section>
);
