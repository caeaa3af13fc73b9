import { count as counted } from '../formats/say.ts';
import type { Dataset } from '../formats/types.ts';
import { FACTORS, NO_BUFFER_NEEDED_PH, supplyFactor } from './chemistry.ts';
import type { Conversion } from './extraction.ts';
import { lowerHeader } from './lower-header.ts';
import { type Mapping, roleName } from './mapping.ts';
import { seriesText } from './series.ts';
import type { SoilSettings } from './settings.ts';
import type { LabDifference, NearMiss, SoilSample, SoilSeries } from './types.ts';
import { countsDepth, unitText } from './units.ts';

interface Told {
  readonly samples: Dataset;
  readonly lab: Mapping;
  readonly points: Dataset | null;
  readonly pointIds: Mapping | null;
  readonly settings: SoilSettings;
  readonly kept: readonly SoilSample[];
  /** One test stands for the whole field. */
  readonly whole: boolean;
  readonly series: readonly SoilSeries[];
  readonly differences: readonly LabDifference[];
  readonly nearMisses: readonly NearMiss[];
  readonly conversion: Conversion;
  readonly counts: { readonly read: number; readonly kept: number; readonly setAside: number };
}

/** What was understood and by which rules, in sentences: files, columns, depth, CEC, acidity, factors. */
export function sentencesOf(told: Told): readonly string[] {
  const { samples, lab, points, pointIds, settings, kept, counts } = told;
  const column = (role: 'sampleId' | 'lng' | 'lat', mapping: Mapping): string =>
    `"${mapping.of.get(role)?.column ?? ''}"`;
  const used = [...lab.of]
    .filter(([role]) => role !== 'sampleId' && role !== 'lng' && role !== 'lat')
    .map(
      ([role, use]) =>
        `${roleName(role, use.oxide)} from "${use.column}"${use.unit === 'none' ? '' : ` in ${unitText(use.unit, use.of_in ?? undefined)}`}`,
    );
  const places =
    points && pointIds
      ? `Places come from ${pointIds.file}, by ${column('sampleId', pointIds)} there and ${column('sampleId', lab)} in ${lab.file}${crsText(points)}.`
      : told.whole
        ? `${lab.file} has one test and no place, so it stands for the whole field.`
        : samples.geometry === 'none'
          ? `Places come from the columns ${column('lng', lab)} and ${column('lat', lab)} of ${lab.file}.`
          : `Places come from the shapes of ${lab.file}${crsText(samples)}.`;
  return [
    `${lab.file}: ${counted(counts.read, 'row')} read, ${counts.kept} kept, ${counts.setAside} set aside.`,
    ...samples.reading.map((sentence) => `${lab.file}: ${sentence}`),
    ...lowerSentence(samples, lab),
    places,
    ...seriesSentence(told.series, settings),
    `Columns: ${used.join(', ')}.`,
    depthSentence(kept, lab, settings),
    ...cecSentences(kept, settings),
    ...shareSentences(told),
    ...(told.conversion.sentence === null ? [] : [told.conversion.sentence]),
    `ppm per meq/100 g: ${factorText(settings)} (${settings.factors}).`,
    ...poundsSentence(lab, settings),
    ...densitySentence(lab, settings),
    belowSentence(settings),
    ...limitSentences(settings),
    ...missSentence(told.nearMisses),
  ];
}

/** Series, or words of a line, that a sentence names before it counts the rest. */
const NAMED = 6;
const fewOf = (texts: readonly string[], apart: string): string =>
  texts.length > NAMED
    ? `${texts.slice(0, NAMED).join(apart)}${apart}and ${texts.length - NAMED} more`
    : texts.join(apart);

const crsText = (dataset: Dataset): string => (dataset.crs ? `, in ${dataset.crs.name}` : '');

function depthSentence(kept: readonly SoilSample[], lab: Mapping, settings: SoilSettings): string {
  const use = lab.of.get('depth');
  if (!use) {
    const asNamed = lab.depth && Math.abs(lab.depth.bottom_in - lab.depth.top_in - settings.depth_in) < 0.1;
    const from = asNamed ? `as the name of the sheet tells: ${lab.depth.told}` : 'since no column tells it';
    return `Depth: ${settings.depth_in} in., ${from}.`;
  }
  const depths = kept.map((sample) => sample.depth_in);
  const least = Number(Math.min(...depths).toFixed(1));
  const most = Number(Math.max(...depths).toFixed(1));
  return `Depth from "${use.column}": ${least === most ? `${least} in.` : `${least} to ${most} in.`}`;
}

function cecSentences(kept: readonly SoilSample[], settings: SoilSettings): readonly string[] {
  const count = (from: SoilSample['cecFrom']): number => kept.filter((sample) => sample.cecFrom === from).length;
  const parts = [
    ...(count('lab') > 0 ? [`the lab’s for ${counted(count('lab'), 'sample')}`] : []),
    ...(count('summation') > 0 ? [`by summation for ${count('summation')}`] : []),
    ...(count('none') > 0 ? [`not known for ${count('none')}`] : []),
  ];
  const noNa = kept.some((sample) => Number.isNaN(sample.na_ppm))
    ? ' Na that was not measured counts as 0 in the sum.'
    : '';
  return [`CEC: ${parts.join(', ')}.${noNa}`, ...(count('lab') < kept.length ? [aciditySentence(settings)] : [])];
}

function aciditySentence({ acidity, noAcidityFrom_ph }: SoilSettings): string {
  const none = noAcidityFrom_ph === null ? '' : ` None is counted from soil pH ${noAcidityFrom_ph} up, as told.`;
  return `${formSentence(acidity)}${none}`;
}

function formSentence(acidity: SoilSettings['acidity']): string {
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
  const units = [...new Set([...lab.of.values()].map((use) => use.unit))].filter(countsDepth);
  if (units.length === 0) return [];
  const factor = supplyFactor(settings.depth_in, settings);
  return [
    `${units.join(' and ')} by "${settings.convention}": ${factor.toFixed(2)} lb/ac a ppm at ${settings.depth_in} in.`,
  ];
}

const belowSentence = ({ belowLimit }: SoilSettings): string =>
  belowLimit === 'set aside'
    ? 'A row whose K is told only as below a limit is set aside.'
    : `A value told only as below a limit counts as ${belowLimit}.`;

/** What the lines under the header say, which are no samples. */
function lowerSentence(samples: Dataset, lab: Mapping): readonly string[] {
  const lower = lowerHeader(samples);
  if (!lower) return [];
  const rows = [...lower.records].map((index) => samples.records[index]?.row ?? 0).join(' and ');
  const words = [...new Set([...lower.units, ...lower.methods].filter((word) => word !== ''))];
  return [`${lab.file}: row ${rows} goes with the header (${fewOf(words, ', ')}) and is no sample.`];
}

function seriesSentence(series: readonly SoilSeries[], settings: SoilSettings): readonly string[] {
  const used = series.find((one) => one.used);
  const others = series.filter((one) => !one.used);
  if (!used || others.length === 0) return [];
  const isOne = <T>(pick: (one: SoilSeries) => T): boolean => new Set(series.map(pick)).size === 1;
  const why = [
    ...(isOne((one) => one.year) ? [] : [settings.year === null ? 'the latest year' : 'the year told']),
    ...(isOne((one) => one.depthTold) ? [] : [settings.depthTold === null ? 'the shallowest depth' : 'the depth told']),
  ].join(' and ');
  return [`Tests in use: ${seriesText(used)} (${why}). Set aside: ${fewOf(others.map(seriesText), '; ')}.`];
}

function shareSentences({ settings, differences, lab }: Told): readonly string[] {
  const hasLab = [...lab.of.keys()].some((role) => role.endsWith('Sat'));
  const shares = differences.filter((one) => one.what.endsWith('saturation')).length;
  const cecs = differences.filter((one) => one.what === 'CEC').length;
  return [
    ...(hasLab
      ? [
          `Saturation: ${settings.saturation === 'worked out' ? 'worked out from the cations and CEC' : 'the lab’s where it has one, else worked out'}; ${shares === 0 ? 'none' : shares} of the lab’s ${shares > 1 ? 'differ' : 'differs'} from what is worked out by more than ${settings.tolerance_pct} points.`,
        ]
      : []),
    ...(cecs > 0
      ? [
          `${cecs} of the lab’s CECs ${cecs === 1 ? 'differs' : 'differ'} from the sum of cations and acidity by more than 2 %.`,
        ]
      : []),
  ];
}

function densitySentence(lab: Mapping, settings: SoilSettings): readonly string[] {
  if (![...lab.of.values()].some((use) => use.unit === 'mg/L')) return [];
  const column = lab.of.get('density')?.column;
  const from = [
    ...(column === undefined ? [] : [`"${column}"`]),
    ...(settings.scooped_gPerCm3 === null ? [] : [`${settings.scooped_gPerCm3} g/cm3`]),
  ];
  return [`ppm = mg/L / density of the scooped soil, from ${from.join(', else ')}.`];
}

/** Rules that are not as they come: what comes without a word needs none. */
function limitSentences({ aboveLimit, notDetected }: SoilSettings): readonly string[] {
  return [
    ...(aboveLimit === 'set aside' ? ['A row whose K is told only as above a limit is set aside.'] : []),
    ...(notDetected === 'zero' ? ['A value told as not detected or trace counts as 0.'] : []),
    ...(notDetected === 'set aside' ? ['A row whose K is told as not detected or trace is set aside.'] : []),
  ];
}

const missSentence = (misses: readonly NearMiss[]): readonly string[] =>
  misses.length === 0
    ? []
    : [
        `${counted(misses.length, 'sample id')} without a partner ${misses.length === 1 ? 'looks' : 'look'} like one of the other file; none is joined without a word.`,
      ];
