import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

let axe: string | null = null;

const WCAG = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What axe finds against WCAG 2.2 AA, one line a finding. */
export async function findings(page: Page, only: readonly string[] = WCAG): Promise<string[]> {
  axe ??= await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
  await page.evaluate(`window.axe ?? (() => { ${axe} })()`);
  return page.evaluate(async (runOnly) => {
    // The script above put it there.
    const { axe: judge } = window as unknown as { axe: { run: (what: unknown, how: unknown) => Promise<AxeResult> } };
    const { violations } = await judge.run(document, { runOnly, resultTypes: ['violations'] });
    return violations.flatMap((one) =>
      one.nodes.map((node) => `${one.id}: ${node.target.join(' ')} ${node.html.slice(0, 160)}`),
    );
  }, only);
}
interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly target: readonly string[]; readonly html: string }[];
  }[];
}
