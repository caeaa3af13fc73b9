import type { Dataset } from '../formats/types.ts';
import { FACTORS, NO_BUFFER_NEEDED_PH, supplyFactor } from './chemistry.ts';
import { ROLE_NAMES } from './guess.ts';
import type { Mapping } from './mapping.ts';
import type { SoilSettings } from './settings.ts';
import type { SoilSample } from './types.ts';

interface Told {
  readonly samples: Dataset;
  readonly lab: Mapping;
  readonly points: Dataset | null;
  readonly pointIds: Mapping | null;
  readonly settings: SoilSettings;
  readonly kept: readonly SoilSample[];
  readonly counts: { readonly read: number; readonly kept: number; readonly setAside: number };
}

/** What was understood and by which rules, in sentences: files, columns, depth, CEC, acidity, factors. */
export function sentencesOf(told: Told): readonly string[] {
  const { samples, lab, points, pointIds, settings, kept, counts } = told;
  const column = (role: 'sampleId' | 'lng' | 'lat', mapping: Mapping): string =>
    `"${mapping.of.get(role)?.column ?? ''}"`;
  const used = [...lab.of]
    .filter(([role]) => role !== 'sampleId' && role !== 'lng' && role !== 'lat')
    .map(([role, use]) => `${ROLE_NAMES[role]} from "${use.column}"${use.unit === 'none' ? '' : ` in ${use.unit}`}`);
  const places =
    points && pointIds
      ? `Places come from ${pointIds.file}, by ${column('sampleId', pointIds)} there and ${column('sampleId', lab)} in ${lab.file}${crsText(points)}.`
      : samples.geometry === 'none'
        ? `Places come from the columns ${column('lng', lab)} and ${column('lat', lab)} of ${lab.file}.`
        : `Places come from the shapes of ${lab.file}${crsText(samples)}.`;
  return [
    `${lab.file}: ${counts.read} rows read, ${counts.kept} kept, ${counts.setAside} set aside.`,
    ...samples.reading.map((sentence) => `${lab.file}: ${sentence}`),
    places,
    `Columns: ${used.join(', ')}.`,
    depthSentence(kept, lab, settings),
    ...cecSentences(kept, settings),
    `ppm per meq/100 g: ${factorText(settings)} (${settings.factors}).`,
    ...poundsSentence(lab, settings),
    belowSentence(settings),
  ];
}

const crsText = (dataset: Dataset): string => (dataset.crs ? `, in ${dataset.crs.name}` : '');

function depthSentence(kept: readonly SoilSample[], lab: Mapping, settings: SoilSettings): string {
  const use = lab.of.get('depth');
  if (!use) return `Depth: ${settings.depth_in} in., since no column tells it.`;
  const depths = kept.map((sample) => sample.depth_in);
  const least = Number(Math.min(...depths).toFixed(1));
  const most = Number(Math.max(...depths).toFixed(1));
  return `Depth from "${use.column}": ${least === most ? `${least} in.` : `${least} to ${most} in.`}`;
}

function cecSentences(kept: readonly SoilSample[], settings: SoilSettings): readonly string[] {
  const count = (from: SoilSample['cecFrom']): number => kept.filter((sample) => sample.cecFrom === from).length;
  const parts = [
    ...(count('lab') > 0 ? [`the lab’s for ${count('lab')} samples`] : []),
    ...(count('summation') > 0 ? [`by summation for ${count('summation')}`] : []),
    ...(count('none') > 0 ? [`not known for ${count('none')}`] : []),
  ];
  const noNa = kept.some((sample) => Number.isNaN(sample.na_ppm))
    ? ' Na that was not measured counts as 0 in the sum.'
    : '';
  return [`CEC: ${parts.join(', ')}.${noNa}`, ...(count('lab') < kept.length ? [aciditySentence(settings)] : [])];
}

function aciditySentence({ acidity }: SoilSettings): string {
  if (acidity.form === 'no acidity') return 'Acidity: none is counted.';
  const form =
    acidity.form === 'factor x (start - buffer pH)'
      ? `${acidity.factor} x (${acidity.start} - buffer pH)`
      : acidity.form;
  return `Acidity: H = ${form} meq/100 g, not below 0; a blank buffer pH counts none from soil pH ${NO_BUFFER_NEEDED_PH} up.`;
}

function factorText(settings: SoilSettings): string {
  const { k, ca, mg, na } = FACTORS[settings.factors];
  return `K ${k}, Ca ${ca}, Mg ${mg}, Na ${na}`;
}

function poundsSentence(lab: Mapping, settings: SoilSettings): readonly string[] {
  if (![...lab.of.values()].some((use) => use.unit === 'lb/ac')) return [];
  const factor = supplyFactor(settings.depth_in, settings);
  return [`lb/ac by "${settings.convention}": ${factor.toFixed(2)} x ppm at ${settings.depth_in} in.`];
}

const belowSentence = ({ belowLimit }: SoilSettings): string =>
  belowLimit === 'set aside'
    ? 'A row whose K is told only as below a limit is set aside.'
    : `A value told only as below a limit counts as ${belowLimit}.`;
