import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../../core/base/text.ts';
import { zipFiles } from '../../core/formats/zip.ts';
import { planText } from '../../core/plan/open.ts';
import { describeInput, packPlan, unpackPlan } from '../../core/plan/pack.ts';
import { samplePlan } from '../fields/hollow-quarter.ts';

const codes = (bytes: Uint8Array): string[] => unpackPlan(bytes, 'x.pearlash').problems.map((problem) => problem.code);

describe('a plan in one file', () => {
  it('comes out as it went in, the same bytes each time', () => {
    const { plan, inputs } = samplePlan();
    const packed = packPlan(plan, inputs);
    expect(packPlan(plan, inputs)).toEqual(packed);
    const opened = unpackPlan(packed, 'hollow.pearlash');
    expect(opened.problems).toEqual([]);
    expect(opened.ok && opened.value).toEqual({ plan, inputs });
  });

  it('opens when the folder itself was zipped', () => {
    const { plan, inputs } = samplePlan();
    const files = [
      { name: 'Hollow/plan.json', bytes: encodeUtf8(planText(plan)) },
      ...[...inputs].map(([path, bytes]) => ({ name: `Hollow/${path}`, bytes })),
    ];
    const opened = unpackPlan(zipFiles(files), 'hollow.zip');
    expect(opened.ok && [...opened.value.inputs.keys()]).toEqual([...inputs.keys()]);
  });

  it('says which input is missing and which was changed', () => {
    const { plan, inputs } = samplePlan();
    const plain = { name: 'plan.json', bytes: encodeUtf8(planText(plan)) };
    const [first, ...rest] = [...inputs].map(([name, bytes]) => ({ name, bytes }));
    expect(codes(zipFiles([plain, ...rest]))).toEqual(['plan-input-missing']);
    const changed = { name: first?.name ?? '', bytes: encodeUtf8('other') };
    expect(codes(zipFiles([plain, changed, ...rest]))).toEqual(['plan-input-changed']);
    expect(codes(zipFiles([{ name: 'notes.txt', bytes: encodeUtf8('x') }]))).toEqual(['plan-none']);
  });

  it('stores an input under its hash and a plain name', () => {
    // SHA-256 of "abc": FIPS 180-4, appendix example.
    const entry = describeInput({ name: '../Süd "feld".csv', bytes: encodeUtf8('abc') });
    expect(entry.sha256).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
    expect(entry.path).toMatch(/^inputs\/ba7816bf8f01-[A-Za-z0-9._-]+$/);
  });
});
