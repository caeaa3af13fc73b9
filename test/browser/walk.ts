import type { Page } from 'playwright-core';
import { drop, sampleFile, settled } from './harness.ts';

/** Steps that several stories take. */
export const STAGES = ['field', 'soil', 'surfaces', 'zones', 'rates', 'handoff', 'review'] as const;

/** Drops the raw files of the sample field, answers what is asked, and waits for the prescription. */
export async function makePlan(page: Page, name = 'Hollow Quarter'): Promise<void> {
  const files = ['boundary.zip', 'sample-points.zip', 'lab-results.csv'];
  await drop(page, await Promise.all(files.map(sampleFile)));
  const nameField = page.getByLabel('Name', { exact: true });
  await nameField.fill(name);
  await nameField.press('Enter');
  await page.getByLabel('Crop').selectOption('corn');
  await page.getByLabel('Yield goal').fill('200');
  await page.getByText('The larger of the two').click();
  await page.getByRole('button', { name: 'Make the plan' }).click();
  await settled(page);
}

export const openSample = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Try the sample field' }).click();
  await settled(page);
};

/** Opens a stage by its card, if it is not open. */
export async function openStage(page: Page, stage: (typeof STAGES)[number]): Promise<void> {
  const card = page.locator(`.card[data-stage="${stage}"]`);
  if ((await card.getAttribute('aria-current')) === null) await card.click();
  await page.locator(`[data-panel-title="${stage}"]`).waitFor();
}

/** Key figure of a card, such as `18.0 tons`. */
export const keyFigure = async (page: Page, stage: (typeof STAGES)[number]): Promise<string> =>
  ((await page.locator(`.card[data-stage="${stage}"] .key-figure`).textContent()) ?? '').trim();

/** A number as the window writes it. */
export const read = (text: string | null): number =>
  Number(
    (text ?? '')
      .replaceAll(',', '')
      .replace('−', '-')
      .replace(/[^\d.-].*$/, ''),
  );
