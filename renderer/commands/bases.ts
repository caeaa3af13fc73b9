import { fail, type Problem, type Result, stop } from '../../core/base/problem.ts';
import { type Basis, basisOf, basisText, readBasis, takeBasis } from '../../core/rates/basis.ts';
import { currentPlan, edit } from '../store/document.ts';
import { download } from './download.ts';

/** A basis is a few kilobytes; what is far beyond that is none, and is not read into memory. */
const MOST_BYTES = 2_000_000;

/** Puts a basis in place of the plan's choices: one step to undo. */
export const takeIt = (basis: Basis): void =>
  edit(`basis ${basis.name}`, (plan) => ({ ...plan, rates: takeBasis(plan.rates, basis) }));

/** Asks for a file and hands on the basis in it, or what is the matter with it. Nothing is taken yet. */
export function chooseBasis(then: (read: Result<Basis>) => void): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = '.json';
  input.addEventListener('change', () => {
    const [file] = input.files ?? [];
    if (file) void readFile(file).then(then);
  });
  input.click();
}

async function readFile(file: File): Promise<Result<Basis>> {
  if (file.size > MOST_BYTES) return fail(tooLarge(file.name));
  return readBasis(await file.text(), file.name);
}

const tooLarge = (file: string): Problem =>
  stop('basis-large', 'The file is too large to be a basis.', 'Choose a file that was saved as a basis.', { file });

/** Hands the plan's choices to the person as a file that any plan can take. */
export function saveBasis(name: string, about: string): void {
  const plan = currentPlan();
  if (!plan) return;
  const text = basisText(basisOf(plan.rates, name.trim(), about.trim()));
  download(`${fileName(name)}.basis.json`, new TextEncoder().encode(text));
}

/** `Both targets, 4 years` becomes `both-targets-4-years`. */
function fileName(name: string): string {
  const plain = name
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
  return plain === '' ? 'basis' : plain;
}
