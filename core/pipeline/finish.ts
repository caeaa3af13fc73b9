import { encodeUtf8 } from '../base/text.ts';
import { listed, manifestFile } from '../handoff/files.ts';
import { MANIFEST_FILE, readManifest, SHEET_FILE } from '../handoff/manifest.ts';
import { sheetHtml } from '../handoff/sheet/make.ts';
import type { Manifest, OutFile, Proof } from '../handoff/types.ts';
import type { Plan } from '../plan/schema.ts';
import type { PlanOut } from './types.ts';

export interface FinishInput {
  readonly plan: Plan;
  readonly out: PlanOut;
  /** Of the files as they were read back from the disk. */
  readonly proof: Proof;
  /** When, as a person reads it: `2026-04-02 14:41`. The host has the clock. */
  readonly when: string;
}

/**
 * The export as it is handed on: the files that were proved, the page for people with the proof on it, and the manifest with what the proof found. To be
 * written whole and proved once more. Throws where the plan has no handoff; a handoff of another state than the proof's is the caller's mistake.
 */
export function finishExport(input: FinishInput): OutFile[] {
  const { plan, out, proof } = input;
  const { handoff } = out;
  const planned = handoff?.files.find(({ path }) => path === MANIFEST_FILE);
  if (!handoff || !planned) throw new Error('there is no handoff to finish');
  const manifest = readManifest(planned.bytes, MANIFEST_FILE);
  if (!manifest.ok) throw new Error('the manifest of the handoff cannot be read');
  const files = handoff.files.filter(({ path }) => path !== MANIFEST_FILE);
  if (plan.handoff.files.sheet) files.push(sheetFile(input));
  return [...files, manifestFile(finished(manifest.value, proof, files))];
}

function finished(manifest: Manifest, proof: Proof, files: readonly OutFile[]): Manifest {
  const known = new Map(manifest.files.map((file) => [file.path, file]));
  return {
    ...manifest,
    files: files.map((file) => known.get(file.path) ?? listed(file)),
    proof: {
      proved: proof.proved,
      comparisons: proof.lines.length,
      points: proof.points?.inside ?? 0,
      pointsCompared: proof.points?.compared ?? 0,
      greatestDifference: proof.points && Number.isFinite(proof.points.greatest) ? proof.points.greatest : null,
    },
  };
}

/** The page for people, by the name it has in the export. Throws where a stage before the handoff has no result. */
export function sheetFile({ plan, out, proof, when }: FinishInput): OutFile {
  const { field, zones, rates, handoff } = out;
  if (!field || !zones || !rates || !handoff) throw new Error('a page is asked of a plan that did not come to its end');
  const html = sheetHtml({
    planName: plan.name,
    when,
    field,
    zones,
    rates,
    ratesSettings: plan.rates,
    settings: plan.handoff,
    handoff,
    proof,
  });
  return { path: SHEET_FILE, bytes: encodeUtf8(html), what: 'for the cab and for the grower, to print' };
}
