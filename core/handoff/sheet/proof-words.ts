import type { Proof } from '../types.ts';
import type { Measures } from './measures.ts';

/** Whether the files hold what the plan says, in plain words. */
export function proofWords(proof: Proof | null, say: Measures): { readonly title: string; readonly text: string } {
  if (proof === null)
    return {
      title: 'NOT PROVED',
      text: 'Not proved: this page was made before the files were read back. Do not spread by it; make it again after the proof.',
    };
  if (!proof.proved) {
    const missed = proof.lines.filter(({ holds }) => !holds).length;
    return {
      title: 'NOT PROVED',
      text: `Not proved: ${missed === 0 ? 'the files could not be compared with the plan' : `${missed} of ${proof.lines.length} comparisons do not hold`}. Do not spread by these files. ${proof.problems[0]?.message ?? ''}`.trim(),
    };
  }
  return {
    title: 'PROVED',
    text: `Proved: the files were read back after writing, and ${proof.lines.length} comparisons with the plan hold: ${say.heavy(proof.product_tons)} ${say.heavyUnit} on ${say.area(proof.acres, 2)} ${say.areaUnit} in the plan, the same in the files.`,
  };
}
