import { describe, expect, it } from 'vitest';
import { decodeText } from '../../core/base/text.ts';
import { readManifest, samePlanned } from '../../core/handoff/manifest.ts';
import { proveFiles } from '../../core/handoff/prove.ts';
import type { OutFile } from '../../core/handoff/types.ts';
import { finishExport } from '../../core/pipeline/finish.ts';
import { bytesOf, changed, maker, withHandoff } from './shared.ts';

const make = maker();
const manifestOf = (files: readonly OutFile[]) => {
  const read = readManifest(bytesOf(files, 'manifest.json'), 'manifest.json');
  if (!read.ok) throw new Error('no manifest');
  return read.value;
};
const about = { when: '2026-04-02 14:41' } as const;

describe('the export as it is handed on', () => {
  it('is the files that were proved, the page, and a manifest with what the proof found; and is proved again', async () => {
    const { plan, out, handoff } = await make();
    const proof = proveFiles(handoff.files);
    const files = finishExport({ plan, out, proof, ...about });
    expect(files.map(({ path }) => path)).toEqual([
      ...handoff.files.map(({ path }) => path).filter((path) => path !== 'manifest.json'),
      'sheet.html',
      'manifest.json',
    ]);
    // Two passes of 7 files each, task data, text, two tables, six surfaces, two rasters of rates, page and manifest.
    expect(files).toHaveLength(2 * 7 + 1 + 1 + 2 + 6 + 2 + 2);
    const { proof: told } = manifestOf(files);
    expect(told).toEqual({
      proved: true,
      comparisons: proof.lines.length,
      points: 1000,
      pointsCompared: proof.points?.compared,
      greatestDifference: proof.points?.greatest,
    });
    expect(decodeText(bytesOf(files, 'sheet.html'))).toContain('2026-04-02 14:41');
    const again = proveFiles(files);
    expect(again.problems).toEqual([]);
    expect(again.proved).toBe(true);
    expect(again.lines).toHaveLength(proof.lines.length + 1);
    expect(proveFiles(changed(files, 'sheet.html', (bytes) => bytes.slice(0, -1))).proved).toBe(false);
    expect(finishExport({ plan, out, proof, ...about })).toEqual(files);
  });

  it('is known as the same plan’s, and another plan’s is not', async () => {
    const { plan, out, handoff } = await make();
    const files = finishExport({ plan, out, proof: proveFiles(handoff.files), ...about });
    expect(samePlanned(manifestOf(handoff.files), manifestOf(files))).toBe(true);
    const other = await make(withHandoff({ rateUnit: 'kg/ha' }));
    expect(samePlanned(manifestOf(other.handoff.files), manifestOf(files))).toBe(false);
  });

  it('has no page where none is asked for', async () => {
    const { plan, out, handoff } = await make(withHandoff({ files: { sheet: false } }));
    const files = finishExport({ plan, out, proof: proveFiles(handoff.files), ...about });
    expect(files.some(({ path }) => path === 'sheet.html')).toBe(false);
    expect(proveFiles(files).proved).toBe(true);
  });
});
