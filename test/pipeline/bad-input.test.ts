import { describe, expect, it } from 'vitest';
import type { Problem } from '../../core/base/problem.ts';
import { encodeUtf8 } from '../../core/base/text.ts';
import type { NamedBytes } from '../../core/formats/types.ts';
import { unzipFiles } from '../../core/formats/zip.ts';
import { runPlan } from '../../core/pipeline/run.ts';
import type { PlanOut } from '../../core/pipeline/types.ts';
import { startPlan } from '../../core/plan/start.ts';
import { sampleFile } from '../fields/hollow-quarter.ts';

/** What a person hands over that is not right: each must come back as a Problem with file, place and remedy. */
interface Given {
  readonly boundary?: readonly NamedBytes[];
  readonly points?: readonly NamedBytes[];
  readonly samples?: readonly NamedBytes[];
}

async function tell(given: Given): Promise<{ problems: readonly Problem[]; out: PlanOut | null }> {
  const started = startPlan({
    name: 'Hollow Quarter',
    boundary: given.boundary ?? [sampleFile('boundary.zip')],
    points: given.points ?? [sampleFile('sample-points.zip')],
    samples: given.samples ?? [sampleFile('lab-results.csv')],
    crop: 'corn',
    yieldGoal: 200,
  });
  if (!started.ok) return { problems: started.problems, out: null };
  const out = await runPlan(started.value);
  return { problems: [...started.problems, ...out.problems], out };
}

const text = (name: string, content: string): NamedBytes => ({ name, bytes: encodeUtf8(content) });
const labText = (): string => new TextDecoder().decode(sampleFile('lab-results.csv').bytes);
const parts = (): NamedBytes[] => {
  const unzipped = unzipFiles(sampleFile('boundary.zip').bytes, 'boundary.zip');
  if (!unzipped.ok) throw new Error('the sample boundary does not open');
  return [...unzipped.value];
};
const square = (ring: readonly (readonly [number, number])[]): string =>
  JSON.stringify({ type: 'Polygon', coordinates: [ring] });

function expectTold(problems: readonly Problem[], file: string, words: RegExp): void {
  const found = problems.find(
    (problem) => words.test(`${problem.code} ${problem.message}`) && (problem.at?.file ?? '').includes(file),
  );
  expect(
    found,
    problems.map((problem) => `${problem.code} ${problem.at?.file ?? ''}: ${problem.message}`).join('\n'),
  ).toBeDefined();
  expect(found?.remedy.length).toBeGreaterThan(10);
}

describe('bad input', () => {
  it('a .shp cut off', async () => {
    const cut = parts().map((part) =>
      part.name.endsWith('.shp') ? { ...part, bytes: part.bytes.slice(0, part.bytes.length - 40) } : part,
    );
    const { problems, out } = await tell({ boundary: cut });
    expectTold(problems, 'boundary', /cut|short|truncat/i);
    expect(out?.field ?? null).toBeNull();
  });

  it('a zip cut in half', async () => {
    const zip = sampleFile('boundary.zip');
    const { problems } = await tell({ boundary: [{ ...zip, bytes: zip.bytes.slice(0, zip.bytes.length / 2) }] });
    expectTold(problems, 'boundary.zip', /zip/i);
  });

  it('a table with another number of rows than its geometry', async () => {
    const grown = parts().map((part) => {
      if (!part.name.endsWith('.dbf')) return part;
      const bytes = part.bytes.slice();
      new DataView(bytes.buffer).setUint32(4, 3, true);
      return { ...part, bytes };
    });
    expectTold((await tell({ boundary: grown })).problems, 'boundary', /row|record/i);
  });

  it('a boundary that crosses itself, with the place', async () => {
    const bow = square([
      [-94.22, 42.7],
      [-94.21, 42.71],
      [-94.21, 42.7],
      [-94.22, 42.715],
      [-94.22, 42.7],
    ]);
    const { problems } = await tell({ boundary: [text('bow.geojson', bow)] });
    expectTold(problems, 'bow.geojson', /cross/i);
    expect(problems.find((problem) => /cross/i.test(problem.message))?.at?.lngLat?.[0]).toBeCloseTo(-94.214, 3);
  });

  it('latitude and longitude the wrong way round', async () => {
    const swapped = square([
      [42.7, -94.22],
      [42.71, -94.22],
      [42.71, -94.21],
      [42.7, -94.21],
      [42.7, -94.22],
    ]);
    expectTold(
      (await tell({ boundary: [text('swapped.geojson', swapped)] })).problems,
      'swapped.geojson',
      /swap|way round|latitude/i,
    );
  });

  it('metres without a .prj, which asks for the coordinate system', async () => {
    const { problems } = await tell({ boundary: parts().filter((part) => !part.name.endsWith('.prj')) });
    expectTold(problems, 'boundary', /coordinate system/i);
    expect(problems.find((problem) => /coordinate system/i.test(problem.message))?.remedy).toMatch(/EPSG/);
  });

  it('an empty table', async () => {
    expectTold((await tell({ samples: [text('empty.csv', '')] })).problems, 'empty.csv', /empty/i);
  });

  it('a lab value that is no number, with its row and column', async () => {
    const lines = labText().split('\r\n');
    const at = lines.findIndex((line) => line.startsWith('HQ-05,'));
    lines[at] = (lines[at] ?? '').replace(/^HQ-05,\d+/, 'HQ-05,n.d.');
    const { problems, out } = await tell({ samples: [text('lab.csv', lines.join('\r\n'))] });
    const told = problems.find((problem) => problem.at?.row === at + 1 && problem.at.file === 'lab.csv');
    expect(told?.at?.column).toBe('K ppm');
    expect(out?.soil?.rows.find((row) => row.id === 'HQ-05')?.kept).toBe(false);
    expect(out?.handoff).not.toBeNull();
  });

  it('Windows-1252 with semicolons and decimal commas, which reads as the same samples', async () => {
    const german = labText().replaceAll(',', ';').replaceAll('.', ',').replace('Sample ID', 'Probe Süd ID');
    const bytes = Uint8Array.from(german, (char) => char.charCodeAt(0));
    const { out } = await tell({ samples: [{ name: 'labor.csv', bytes }] });
    const { out: plain } = await tell({});
    expect(out?.soil?.samples.map((sample) => sample.cec_meq)).toEqual(
      plain?.soil?.samples.map((sample) => sample.cec_meq),
    );
    expect(out?.soil?.kept).toBeGreaterThan(50);
  });

  it('two header rows', async () => {
    const [, ...rows] = labText().split('\r\n');
    const two = ['Sample ID,K,Ca,Mg,Na,pH,Buffer pH,CEC,Depth', ',ppm,ppm,ppm,ppm,,,meq/100g,in', ...rows].join('\r\n');
    const { out, problems } = await tell({ samples: [text('two.csv', two)] });
    const { out: plain } = await tell({});
    if (out?.soil)
      expect(out.soil.samples.map((sample) => sample.k_ppm)).toEqual(
        plain?.soil?.samples.map((sample) => sample.k_ppm),
      );
    else expectTold(problems, 'two.csv', /header/i);
  });

  it('samples of another field', async () => {
    const far = JSON.stringify({
      type: 'FeatureCollection',
      features: Array.from({ length: 5 }, (_, i) => ({
        type: 'Feature',
        properties: { id: i, K: 120 + i, CEC: 12 },
        geometry: { type: 'Point', coordinates: [-93 + i / 1000, 41.2] },
      })),
    });
    const { problems, out } = await tell({ points: [], samples: [text('other.geojson', far)] });
    expectTold(problems, 'other.geojson', /outside|another.field/i);
    expect(out?.soil).toBeNull();
  });
});
