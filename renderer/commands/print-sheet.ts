import { currentPlan, useDocument } from '../store/document.ts';
import { dropNotices, useResults } from '../store/results.ts';
import { askHost } from './ask-host.ts';
import { download } from './download.ts';
import { whyNoExport } from './export.ts';
import { report } from './plans.ts';

/** Why the page cannot be printed now, in words for the button; null when it can. Only a page of the plan as it stands is handed on. */
export function whyNoPrint(): string | null {
  const why = whyNoExport();
  if (why !== null) return why;
  const { proof, out } = useResults.getState();
  if (proof === null || proof.key !== out?.stages.handoff.key)
    return 'Save the files first: the page is made with them';
  return currentPlan()?.handoff.files.sheet === false ? 'The plan writes no page' : null;
}

const CODES = ['pdf-no-browser', 'pdf-failed', 'pdf-no-sheet', 'pdf-overtaken'];

/** Has the host print the page that lies with the files, and hands the PDF to the person. */
export async function printSheet(): Promise<void> {
  const { planId } = useDocument.getState();
  if (whyNoPrint() !== null || planId === null) return;
  const asked = await askHost('printSheet', { planId });
  const answer = asked.ok ? asked.value : asked;
  for (const code of CODES) dropNotices(code);
  if (!answer.ok) return report([answer.problem]);
  download('sheet.pdf', answer.value.bytes);
}
