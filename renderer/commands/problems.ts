import type { Problem, Stage } from '../../core/base/problem.ts';
import { allProblems } from '../store/derive.ts';
import { currentPlan, edit } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { flyTo, openPanel, useView } from '../store/view.ts';
import { whenDrawn } from './focus.ts';
import { withoutLeftOver } from './left-over.ts';
import { placeOfSetting } from './places.ts';
import { showRow } from './rows.ts';

/** Opens the panel with the setting in it and puts the focus there, once it is drawn. */
export function goToSetting(setting: string): void {
  const { panel, tab } = placeOfSetting(setting);
  openPanel(panel, tab);
  whenDrawn(
    () => findSetting(setting),
    (field) => {
      field.scrollIntoView({ block: 'center' });
      field.focus();
    },
  );
}

/** The field of the setting itself, or of the nearest part of its path that has one. */
function findSetting(setting: string): HTMLElement | null {
  const parts = setting.split('.');
  for (let length = parts.length; length > 1; length--) {
    const path = CSS.escape(parts.slice(0, length).join('.'));
    const field =
      document.querySelector<HTMLElement>(`[data-setting="${path}"]`) ??
      document.querySelector<HTMLElement>(`[data-setting^="${path}."]`);
    if (field) return field;
  }
  return null;
}

/** Name of the row's file in the plan's tables; such a row can be shown. */
const isTableRow = (problem: Problem): boolean =>
  problem.at?.row !== undefined &&
  (problem.stage === 'soil' || problem.stage === 'surfaces' || problem.stage === undefined);

export interface Way {
  readonly label: string;
  readonly go: () => void;
}

/** Where a problem can be looked at: its row, zone, place or setting. The first is the nearest. */
export function waysTo(problem: Problem): readonly Way[] {
  const { at } = problem;
  if (!at || !currentPlan()) return [];
  const ways: Way[] = [];
  const { lngLat, zone, row, file, setting } = at;
  if (row !== undefined && file !== undefined && isTableRow(problem)) {
    ways.push({
      label: 'Show the row',
      go: () => showRow({ file, row }),
    });
  }
  if (lngLat !== undefined) ways.push({ label: 'Show it', go: () => flyTo(lngLat) });
  if (zone !== undefined) {
    ways.push({
      label: 'Open the ledger',
      go: () => {
        const [first] = zone.split(', ');
        const zones = useResults.getState().out?.zones?.zones ?? [];
        const found = zones.find((one) => one.letter === first) ?? zones.find((one) => one.key === first);
        useView.setState({ selectedZone: found?.key ?? null });
        openPanel('rates', 'ledger');
      },
    });
  }
  if (setting !== undefined && LEFT_OVER.test(problem.code)) ways.push({ label: 'Drop it', go: () => drop(setting) });
  else if (setting !== undefined) ways.push({ label: 'Go to the setting', go: () => goToSetting(setting) });
  const isHere = useView.getState().panel === problem.stage;
  if (ways.length === 0 && problem.stage && problem.stage !== 'review' && !isHere) {
    const stage: Stage = problem.stage;
    ways.push({ label: 'Open the stage', go: () => openPanel(stage) });
  }
  return ways;
}

/** Told of an entry for a zone that there is none of: nothing shows it, so it is dropped where it is told. */
const LEFT_OVER = /^zones-(role|name)-no-zone$/;

const drop = (setting: string): void =>
  edit(`${setting.startsWith('zones.roles.') ? 'a role' : 'a name'} of no zone is dropped`, (plan) =>
    withoutLeftOver(plan, setting),
  );

/** F8: stands at the next problem of the list and shows where it is. */
export function nextProblem(): void {
  const problems = allProblems(useResults.getState());
  if (problems.length === 0) return;
  const { problemAt, panel } = useView.getState();
  const next = panel === 'problems' ? (problemAt + 1) % problems.length : Math.max(0, problemAt);
  openPanel('problems');
  useView.setState({ problemAt: next });
  const lngLat = problems[next]?.at?.lngLat;
  if (lngLat) flyTo(lngLat);
}
