import { host } from '../host/index.ts';
import { currentPlan, isUnsaved, useDocument } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { type Theme, useView } from '../store/view.ts';
import { askHost } from './ask-host.ts';
import { takeDrop } from './drop.ts';
import { proveAgain } from './export.ts';
import { followPlan } from './follow.ts';
import { listenToKeys } from './keys.ts';
import { followColumns, loadMappings } from './mappings.ts';
import { openPlan, report } from './plans.ts';

/** Starts all that runs for as long as the window is open. */
export function begin(): void {
  followTheme();
  followPlan();
  followName();
  followColumns();
  listenToKeys();
  takeDrops();
  proveWhatWasSaved();
  host.onOpen((planId) => void openPlan(planId));
  window.addEventListener('beforeunload', (event) => {
    if (isUnsaved(useDocument.getState())) event.preventDefault();
  });
  void loadMappings();
  void openFirst();
}

async function openFirst(): Promise<void> {
  const about = await askHost('about', {});
  if (!about.ok) return report([about.problem]);
  if (about.value.openAtStart !== null && currentPlan() === null) await openPlan(about.value.openAtStart);
}

/** The browser's tab and the desktop's window are called after the plan. */
function followName(): void {
  useDocument.subscribe(({ history }) => {
    document.title = history ? `${history.present.name} · Pearlash` : 'Pearlash';
  });
}

const dark = window.matchMedia('(prefers-color-scheme: dark)');

export const themeInUse = (theme: Theme): 'light' | 'dark' =>
  theme === 'system' ? (dark.matches ? 'dark' : 'light') : theme;

function followTheme(): void {
  const show = (): void => {
    document.documentElement.dataset.theme = themeInUse(useView.getState().theme);
  };
  show();
  dark.addEventListener('change', show);
  useView.subscribe(show);
}

/** Files may be dropped anywhere in the window. */
function takeDrops(): void {
  let depth = 0;
  const mark = (): void => {
    document.body.classList.toggle('dropping', depth > 0);
  };
  const carriesFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;
  window.addEventListener('dragenter', (event) => {
    if (!carriesFiles(event)) return;
    depth++;
    mark();
  });
  window.addEventListener('dragleave', (event) => {
    if (!carriesFiles(event)) return;
    depth = Math.max(0, depth - 1);
    mark();
  });
  window.addEventListener('dragover', (event) => {
    if (carriesFiles(event)) event.preventDefault();
  });
  window.addEventListener('drop', (event) => {
    if (!carriesFiles(event)) return;
    // A part of the window that takes files of its own has said so already.
    const taken = event.defaultPrevented;
    event.preventDefault();
    depth = 0;
    mark();
    if (event.dataTransfer && !taken) void takeDrop(event.dataTransfer);
  });
}

/** A plan opened from the host may have its files written already: they are read back once, without a word if not. */
function proveWhatWasSaved(): void {
  let looked: string | null = null;
  useResults.subscribe(({ out, outFor }) => {
    const { planId, saved } = useDocument.getState();
    if (!out?.handoff || planId === null || looked === planId || saved?.plan !== outFor) return;
    looked = planId;
    void proveAgain(true);
  });
}
