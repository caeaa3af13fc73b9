import { create } from 'zustand';
import type { Stage } from '../../core/base/problem.ts';
import type { LngLat } from '../../core/geo/types.ts';
import type { MapLayer, SpotReading } from '../map/props.ts';
import type { UnitSystem } from '../ui/format.ts';

export type Theme = 'light' | 'dark' | 'system';
export type PanelName = Stage | 'problems' | 'intake' | 'plans';

/** What a person sees and points at. Nothing here belongs to the plan. */
export interface ViewState {
  readonly panel: PanelName | null;
  /** Chosen tab by panel. */
  readonly tabs: Readonly<Record<string, string>>;
  /** Null until dragged: then the panel takes its width from the tokens. */
  readonly panelWidth: number | null;
  readonly widePanelWidth: number | null;
  /** Null follows the stage. */
  readonly layer: MapLayer | null;
  readonly selectedZone: string | null;
  readonly litSamples: ReadonlySet<string>;
  readonly selectedRow: { readonly file: string; readonly row: number } | null;
  readonly spot: SpotReading | null;
  readonly hover: SpotReading | null;
  readonly focus: LngLat | null;
  readonly focusTick: number;
  readonly finder: boolean;
  readonly menu: boolean;
  readonly units: UnitSystem;
  readonly theme: Theme;
  /** Which of the listed problems F8 stands at. */
  readonly problemAt: number;
}

export const NO_VIEW = {
  panel: null,
  tabs: {},
  layer: null,
  selectedZone: null,
  litSamples: new Set<string>(),
  selectedRow: null,
  spot: null,
  hover: null,
  focus: null,
  focusTick: 0,
  problemAt: -1,
} satisfies Partial<ViewState>;

const REMEMBERED = 'pearlash.view';

function remembered(): { units: UnitSystem; theme: Theme } {
  const fallback = { units: 'US', theme: 'system' } as const;
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(REMEMBERED) ?? 'null');
    if (typeof kept !== 'object' || kept === null) return fallback;
    const units = 'units' in kept && kept.units === 'metric' ? 'metric' : 'US';
    const theme = 'theme' in kept && (kept.theme === 'light' || kept.theme === 'dark') ? kept.theme : 'system';
    return { units, theme };
  } catch {
    return fallback;
  }
}

export const useView = create<ViewState>()(() => ({
  ...NO_VIEW,
  panelWidth: null,
  widePanelWidth: null,
  finder: false,
  menu: false,
  ...remembered(),
}));

export function setLook(look: Partial<Pick<ViewState, 'units' | 'theme'>>): void {
  useView.setState(look);
  const { units, theme } = useView.getState();
  try {
    localStorage.setItem(REMEMBERED, JSON.stringify({ units, theme }));
  } catch {
    // A window without storage forgets its units; nothing else depends on it.
  }
}

/** A new plan is looked at afresh. */
export const resetView = (): void => useView.setState(NO_VIEW);

export const openPanel = (panel: PanelName | null, tab?: string): void =>
  useView.setState((view) => ({
    panel,
    layer: panel === view.panel ? view.layer : null,
    ...(panel !== null && tab !== undefined ? { tabs: { ...view.tabs, [panel]: tab } } : {}),
  }));

export const setTab = (panel: PanelName, tab: string): void =>
  useView.setState((view) => ({ tabs: { ...view.tabs, [panel]: tab } }));

export const useTab = (panel: PanelName, first: string): string => useView((view) => view.tabs[panel] ?? first);

export const selectZone = (selectedZone: string | null): void => useView.setState({ selectedZone });
export const flyTo = (focus: LngLat | null): void =>
  useView.setState((view) => ({ focus, focusTick: view.focusTick + 1 }));
