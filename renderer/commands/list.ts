import { STAGES } from '../../core/base/problem.ts';
import { isMade } from '../../core/layers/layer.ts';
import { redoLabel, undoLabel } from '../../core/plan/history.ts';
import { LAYER_NAMES } from '../../core/surfaces/types.ts';
import type { MapLayer } from '../map/props.ts';
import { STAGE_NAMES } from '../store/cards.ts';
import { allProblems } from '../store/derive.ts';
import { redoEdit, undoEdit, useDocument } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { flyTo, openPanel, setLook, useView } from '../store/view.ts';
import { exportFiles, proveAgain, whyNoExport } from './export.ts';
import { chooseFiles } from './files.ts';
import { focusPanel } from './focus.ts';
import { cancelRun, runNow } from './follow.ts';
import { mapLayers } from './layers.ts';
import { choosePrescription } from './open-prescription.ts';
import { closePlan, saveCopy, savePlan, trySample, unsaved } from './plans.ts';
import { printSheet, whyNoPrint } from './print-sheet.ts';
import { nextProblem } from './problems.ts';
import { chooseRasters } from './rasters.ts';
import { cutZone, drawZone, paintZone, whyNoZoneTool } from './zone-tools.ts';

/** One thing the window can do, as menu, finder, buttons, shortcuts and tests all read it. */
export interface Command {
  readonly id: string;
  readonly group: 'Plan' | 'Edit' | 'Stages' | 'Map' | 'Look';
  readonly label: () => string;
  /** Such as `Ctrl+Shift+Z`; Ctrl is Cmd on a Mac. */
  readonly keys?: readonly string[];
  /** Why it cannot be done now, in words; null when it can. */
  readonly why: () => string | null;
  readonly run: () => unknown;
  /** Not in the menu: the finder has it. */
  readonly finderOnly?: boolean;
}

const always = (): null => null;
const needsPlan = (): string | null => (useDocument.getState().history ? null : 'no plan open');
const labelOf = (read: typeof undoLabel): string | null => {
  const { history } = useDocument.getState();
  return history ? read(history) : null;
};
const undoName = (): string | null => labelOf(undoLabel);
const redoName = (): string | null => labelOf(redoLabel);

const plan: readonly Command[] = [
  {
    id: 'choose-files',
    group: 'Plan',
    label: () => 'Choose files',
    keys: ['Ctrl+O'],
    why: always,
    run: () => chooseFiles(),
  },
  { id: 'open-plan', group: 'Plan', label: () => 'Open a plan', why: always, run: () => openPanel('plans') },
  {
    id: 'open-prescription',
    group: 'Plan',
    label: () => 'Look at a prescription',
    why: always,
    run: choosePrescription,
  },
  { id: 'try-sample', group: 'Plan', label: () => 'Try the sample field', why: always, run: trySample },
  {
    id: 'save',
    group: 'Plan',
    label: () => 'Save',
    keys: ['Ctrl+S'],
    why: () => needsPlan() ?? (unsaved() ? null : 'saved already'),
    run: savePlan,
  },
  {
    id: 'save-copy',
    group: 'Plan',
    label: () => 'Save a copy to send',
    keys: ['Ctrl+Shift+S'],
    why: needsPlan,
    run: saveCopy,
  },
  {
    id: 'export',
    group: 'Plan',
    label: () => 'Save the files of the prescription',
    keys: ['Ctrl+E'],
    why: whyNoExport,
    run: async () => {
      openPanel('handoff');
      await exportFiles();
    },
  },
  {
    id: 'prove',
    group: 'Plan',
    label: () => 'Prove again',
    why: () => needsPlan() ?? (useDocument.getState().planId === null ? 'nothing is saved yet' : null),
    run: async () => {
      openPanel('handoff');
      await proveAgain();
    },
  },
  { id: 'print-sheet', group: 'Plan', label: () => 'Print the cab sheet', why: whyNoPrint, run: printSheet },
  { id: 'close-plan', group: 'Plan', label: () => 'Close the plan', why: needsPlan, run: closePlan },
];

const edits: readonly Command[] = [
  {
    id: 'undo',
    group: 'Edit',
    label: () => (undoName() === null ? 'Undo' : `Undo: ${undoName()}`),
    keys: ['Ctrl+Z'],
    why: () => (undoName() === null ? 'nothing to undo' : null),
    run: undoEdit,
  },
  {
    id: 'redo',
    group: 'Edit',
    label: () => (redoName() === null ? 'Redo' : `Redo: ${redoName()}`),
    keys: ['Ctrl+Shift+Z', 'Ctrl+Y'],
    why: () => (redoName() === null ? 'nothing to redo' : null),
    run: redoEdit,
  },
  {
    id: 'run-again',
    group: 'Edit',
    label: () => 'Make the stages again',
    why: () => needsPlan() ?? (useResults.getState().work === null ? null : 'work is under way'),
    run: runNow,
  },
  {
    id: 'cancel',
    group: 'Edit',
    label: () => 'Cancel the work',
    why: () => (useResults.getState().work === null ? 'nothing is under way' : null),
    run: cancelRun,
  },
];

const stages: readonly Command[] = [
  ...[...STAGES, 'review' as const].map(
    (stage, index): Command => ({
      id: `stage-${stage}`,
      group: 'Stages',
      label: () => STAGE_NAMES[stage],
      keys: [String(index + 1)],
      why: needsPlan,
      run: () => {
        openPanel(stage);
        focusPanel(stage);
      },
    }),
  ),
  { id: 'problems', group: 'Stages', label: () => 'Problems', why: needsPlan, run: () => openPanel('problems') },
  {
    id: 'next-problem',
    group: 'Stages',
    label: () => 'Go to the next problem',
    keys: ['F8'],
    why: () => needsPlan() ?? (allProblems(useResults.getState()).length > 0 ? null : 'there is none'),
    run: nextProblem,
  },
];

const layerLabel = (layer: MapLayer): string =>
  layer === 'rate'
    ? 'Show the rate'
    : layer === 'written'
      ? 'Show the rate as written to the files'
      : layer === 'opened'
        ? 'Show the rate as opened'
        : layer === 'openedLess'
          ? 'Show the opened rate less the planned'
          : layer === 'samples'
            ? 'Show boundary and samples'
            : layer === 'balance'
              ? 'Show the balance classes'
              : `Show ${isMade(layer) ? LAYER_NAMES[layer].name : 'a layer of your own'}`;

const map: readonly Command[] = [
  { id: 'add-raster', group: 'Map', label: () => 'Add a raster', why: needsPlan, run: chooseRasters },
  { id: 'draw-zone', group: 'Map', label: () => 'Draw a zone', why: whyNoZoneTool, run: drawZone, finderOnly: true },
  { id: 'cut-zone', group: 'Map', label: () => 'Cut a zone', why: whyNoZoneTool, run: cutZone, finderOnly: true },
  { id: 'paint-zone', group: 'Map', label: () => 'Paint a zone', why: whyNoZoneTool, run: paintZone, finderOnly: true },
  { id: 'fit', group: 'Map', label: () => 'Fit the field', keys: ['F'], why: needsPlan, run: () => flyTo(null) },
  ...(['samples', ...Object.keys(LAYER_NAMES), 'balance', 'rate', 'written', 'opened', 'openedLess'] as MapLayer[]).map(
    (layer): Command => ({
      id: `layer-${layer}`,
      group: 'Map',
      label: () => layerLabel(layer),
      why: () => needsPlan() ?? (mapLayers(useResults.getState().out).includes(layer) ? null : 'not made yet'),
      run: () => useView.setState({ layer }),
      finderOnly: true,
    }),
  ),
];

const look: readonly Command[] = [
  {
    id: 'units',
    group: 'Look',
    label: () => (useView.getState().units === 'US' ? 'Use metric units' : 'Use US units'),
    why: always,
    run: () => setLook({ units: useView.getState().units === 'US' ? 'metric' : 'US' }),
  },
  ...(['light', 'dark', 'system'] as const).map(
    (theme): Command => ({
      id: `theme-${theme}`,
      group: 'Look',
      label: () => ({ light: 'Light', dark: 'Dark', system: 'As the system: light or dark' })[theme],
      why: () => (useView.getState().theme === theme ? 'in use' : null),
      run: () => setLook({ theme }),
    }),
  ),
];

export const COMMANDS: readonly Command[] = [...plan, ...edits, ...stages, ...map, ...look];

export function command(id: string): Command {
  const found = COMMANDS.find((one) => one.id === id);
  if (!found) throw new Error(`no command ${id}`);
  return found;
}

/** Runs the command unless it cannot be done now. */
export function perform(id: string): void {
  const found = command(id);
  if (found.why() === null) void found.run();
}
