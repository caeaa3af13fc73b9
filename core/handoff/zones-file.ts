import { KG_PER_LB, M2_PER_ACRE } from '../base/units.ts';
import { writeCsv } from '../formats/csv-write.ts';
import type { ZoneRate } from '../rates/types.ts';
import type { Zone } from '../zones/types.ts';
import type { CellsChange } from './cells-change.ts';
import { rateFactor, roundTo } from './figures.ts';
import type { HandoffSettings } from './settings.ts';
import type { OutFile } from './types.ts';

type Cell = string | number | null;

/** What the table is made of. */
export interface ZonesFileInput {
  readonly zones: readonly Zone[];
  readonly rates: readonly ZoneRate[];
  readonly passes: readonly string[];
  readonly products: readonly string[];
  readonly rateUnit: HandoffSettings['rateUnit'];
  /** What cutting into cells did to product and cost; null where zones are written as they lie. */
  readonly change: (CellsChange & { readonly cost: number }) | null;
  /** What stands in the files' notes, by zone. */
  readonly noteOf: (zone: Zone, rate: ZoneRate) => string;
}

/**
 * One row a zone: letter, name, acres, role, reading, the rate of every product in every pass, what it takes in all, K2O, dollars, what each reading
 * alone would ask for, which governs, and the note. A zone that is left out of the files is in it, by its role. Where the records are cells, rates,
 * product and dollars of a zone are what it asks, and are headed so; a last row without a letter is what the cells changed, so that product and
 * dollars add up to the files. In the unit of the files; what is not known is blank.
 */
export function zonesFile({ zones, rates, passes, products, rateUnit, change, noteOf }: ZonesFileInput): OutFile {
  const metric = rateUnit === 'kg/ha';
  const unit = metric ? 'kg_per_ha' : 'lb_per_ac';
  const mass = metric ? 'kg' : 'lb';
  const rate = (lbPerAc: number | null | undefined): Cell => figure(lbPerAc, rateFactor(rateUnit), 2);
  const lb = (pounds: number | null): Cell => figure(pounds, metric ? KG_PER_LB : 1, 1);
  const each = passes.flatMap((pass, at) => products.map((product, of) => ({ pass, at, product, of })));
  const asked = change === null ? '' : ', asked';
  const head = [
    'zone',
    'name',
    metric ? 'hectares' : 'acres',
    'role',
    'k_ppm',
    'k_saturation_pct',
    'cec_meq_per_100g',
    ...each.map(({ pass, product }) => `${product}, ${pass}, ${unit}${asked}`),
    `product_${mass}`,
    `k2o_${unit}`,
    'cost_dollars',
    `ppm_alone_${unit}`,
    `saturation_alone_${unit}`,
    `this_plan_${unit}`,
    'governing',
    'note',
  ];
  const rows = zones.flatMap((zone): Cell[][] => {
    const own = rates.find(({ key }) => key === zone.key);
    if (!own) return [];
    const { reading, answers } = own;
    const times = (perAc: number | null): number | null => (perAc === null ? null : perAc * zone.acres);
    return [
      [
        zone.letter,
        zone.name,
        figure(zone.acres, metric ? M2_PER_ACRE / 10_000 : 1, 4),
        zone.role,
        figure(reading.k_ppm, 1, 1),
        figure(reading.kSat_pct, 1, 2),
        figure(reading.cec_meq, 1, 2),
        ...each.map(({ at, of }) => (own.withheld ? null : rate(own.products[of]?.rates_lbPerAc[at] ?? 0))),
        lb(times(own.rate_lbPerAc)),
        rate(own.k2o_lbPerAc),
        figure(times(own.cost_perAc), 1, 2),
        rate(answers.ppmAlone),
        rate(answers.saturationAlone),
        rate(answers.thisPlan),
        own.governing,
        noteOf(zone, own),
      ],
    ];
  });
  if (change !== null) {
    const row = head.map((): Cell => null);
    row[head.indexOf('name')] = change.what;
    row[head.indexOf(`product_${mass}`)] = lb(change.change_lb);
    row[head.indexOf('cost_dollars')] = figure(change.cost, 1, 2);
    row[head.indexOf('note')] = 'files less zones: with it the product and the dollars add up to the files';
    rows.push(row);
  }
  const what =
    change === null
      ? 'one row a zone: reading, rates, cost, why'
      : 'one row a zone: reading, the rates it asks, cost, why; the last row is what cells changed';
  return { path: 'zones.csv', bytes: writeCsv([head, ...rows]), what };
}

const figure = (value: number | null | undefined, factor: number, decimals: number): Cell =>
  value === null || value === undefined || !Number.isFinite(value) ? null : roundTo(value * factor, decimals);
