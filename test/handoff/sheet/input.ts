import { toAcres } from '../../../core/base/units.ts';
import { area_m2 } from '../../../core/geo/area.ts';
import { bounds } from '../../../core/geo/bounds.ts';
import { intersection } from '../../../core/geo/clip.ts';
import { widestSpot } from '../../../core/geo/spot.ts';
import type { MultiPolygon } from '../../../core/geo/types.ts';
import { proveFiles } from '../../../core/handoff/prove.ts';
import type { SheetInput } from '../../../core/handoff/sheet/types.ts';
import type { Prescription } from '../../../core/handoff/types.ts';
import { createMemo, runPlan } from '../../../core/pipeline/run.ts';
import type { Plan } from '../../../core/plan/schema.ts';
import { letterOf } from '../../../core/zones/words.ts';
import { samplePlan } from '../../fields/hollow-quarter.ts';

/** Stages that a change leaves alone are kept. */
const memo = createMemo();

/** What the page of the sample field is made of, proved from the files as they would lie on the disk. */
export async function sampleSheet(change: (plan: Plan) => Plan = (plan) => plan): Promise<SheetInput> {
  const sample = samplePlan();
  const plan = change(sample.plan);
  const { field, zones, rates, handoff, problems } = await runPlan({ plan, inputs: sample.inputs }, {}, memo);
  if (!field || !zones || !rates || !handoff) throw new Error(problems.map(({ message }) => message).join('\n'));
  return {
    planName: plan.name,
    when: '2026-04-02 14:41',
    field,
    zones,
    rates,
    ratesSettings: plan.rates,
    settings: plan.handoff,
    handoff,
    proof: proveFiles(handoff.files),
  };
}

/** The sample's ground cut into a grid of zones, each with the rate told for it; one pass, one product. */
export function inManyZones(input: SheetInput, across: number, rateOf: (index: number) => number): SheetInput {
  const { west, south, east, north } = bounds(input.field.spreadable);
  const zones: SheetInput['zones']['zones'][number][] = [];
  const rates: SheetInput['rates']['zones'][number][] = [];
  const pieces: Prescription['pieces'][number][] = [];
  for (let cell = 0; cell < across * across; cell++) {
    const [col, row] = [cell % across, Math.floor(cell / across)];
    const at = (from: number, to: number, n: number): number => from + ((to - from) * n) / across;
    const [w, e, s, n] = [
      at(west, east, col),
      at(west, east, col + 1),
      at(south, north, row),
      at(south, north, row + 1),
    ];
    const box: MultiPolygon = [
      [
        [
          [w, s],
          [e, s],
          [e, n],
          [w, n],
          [w, s],
        ],
      ],
    ];
    const polygons = intersection(input.field.spreadable, box);
    const like = input.zones.zones[cell % input.zones.zones.length];
    const given = input.rates.zones.find(({ key }) => key === like?.key);
    if (polygons.length === 0 || !like || !given) continue;
    const index = zones.length;
    const of = { key: `cut${index}`, letter: letterOf(index), acres: toAcres(area_m2(polygons)) };
    const rate_lbPerAc = rateOf(index);
    zones.push({ ...like, ...of, name: of.letter, polygons, spot: widestSpot(polygons), otherSpots: [] });
    const pass = { name: 'before the season', inSeason: false, rate_lbPerAc, k2o_lbPerAc: rate_lbPerAc * 0.6 };
    rates.push({ ...given, ...of, passes: [pass], rate_lbPerAc });
    pieces.push({
      zoneKey: of.key,
      letter: of.letter,
      polygons,
      acres: of.acres,
      rate_lbPerAc,
      second_lbPerAc: 0,
      k2o_lbPerAc: pass.k2o_lbPerAc,
      k_ppm: given.reading.k_ppm,
      kSat_pct: given.reading.kSat_pct,
      cec_meq: given.reading.cec_meq,
      note: '',
    });
  }
  const product_lb = pieces.reduce((sum, piece) => sum + piece.acres * piece.rate_lbPerAc, 0);
  const load = { product_lb, product_tons: product_lb / 2000 };
  const totals = {
    acres: pieces.reduce((sum, piece) => sum + piece.acres, 0),
    ...load,
    cost: 0,
    byProduct: [{ product: '0-0-60', ...load, cubicFeet: null }],
  };
  return {
    ...input,
    zones: { ...input.zones, zones },
    rates: { ...input.rates, zones: rates },
    handoff: { ...input.handoff, prescriptions: [{ pass: 'before the season', pieces, totals }], totals },
  };
}

/** Hard cases, by name: each must stand on its pages whole. */
export async function hardCases(): Promise<Readonly<Record<string, SheetInput>>> {
  const sample = await sampleSheet();
  const long =
    'A very long name of a field, typed in full with section, township and range, the landlord and all the heirs';
  const [one] = sample.zones.zones;
  if (!one) throw new Error('the sample field has no zone');
  const many = inManyZones(sample, 6, (index) => [65, 100, 260, 385, 0, 150][index % 6] ?? 0);
  return {
    sample,
    A4: {
      ...sample,
      settings: {
        ...sample.settings,
        rateUnit: 'kg/ha',
        sheet: { paper: 'A4', heading: 'Ridge farm, field 12', remarks: 'Gate in the north-east.\nThe lane is soft.' },
      },
    },
    'many zones': many,
    cells: {
      ...many,
      zones: sample.zones,
      rates: sample.rates,
      settings: { ...sample.settings, shape: 'cells' },
      handoff: {
        ...inManyZones(sample, 24, (index) => ((index * 7919) % 13) * 25).handoff,
        cells: {
          heading_deg: 12,
          from: 'told',
          swath_m: 18.288,
          length_m: 18.288,
          cells: 560,
          slivers: 3,
          mixed: 9,
          ramped: 0,
          change_lb: 12,
          over_ac: 1,
          under_ac: 1,
        },
      },
    },
    'long words': {
      ...sample,
      planName: `${long} ${'x'.repeat(80)}`,
      proof: null,
      settings: {
        ...sample.settings,
        sheet: { paper: 'A4', heading: long, remarks: 'Mind the low wire over the lane. '.repeat(18).trim() },
      },
      field: {
        ...sample.field,
        setbacks: Array.from({ length: 40 }, (_, index) => ({
          name: `well ${index + 1}, ${long}`,
          distance_m: 30.48,
          acres: 0.7,
          polygons: index % 2 === 0 ? one.polygons : [],
        })),
      },
      zones: { ...sample.zones, zones: sample.zones.zones.map((zone) => ({ ...zone, name: long })) },
    },
    'two products': await sampleSheet((plan) => ({
      ...plan,
      rates: {
        ...plan.rates,
        second: {
          product: {
            ...plan.rates.product,
            name: 'potassium magnesium sulfate 0-0-22',
            k2o_pct: 22,
            s_pct: 22,
            mg_pct: 11,
            salt: 'langbeinite',
            price_perTon: 600,
          },
          gives: { by: 'share of K2O', share_pct: 25 },
          where: null,
        },
      },
    })),
    'nothing at all': inManyZones(sample, 2, () => 0),
    'field parts': {
      ...sample,
      field: {
        ...sample.field,
        boundary: sample.zones.zones.flatMap(({ polygons }) => polygons),
      },
    },
  };
}
