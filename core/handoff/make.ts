import { caution, fail, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { writeGeoTiff } from '../formats/geotiff-write.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { withProducts } from '../rates/product.ts';
import type { RatesSettings } from '../rates/settings.ts';
import { productsOf } from '../rates/spread.ts';
import type { RatesOut } from '../rates/types.ts';
import { LAYER_NAMES, type LayerId, type SurfacesOut } from '../surfaces/types.ts';
import type { ZonesOut } from '../zones/types.ts';
import { checkPrescriptions } from './checks.ts';
import { writeFiles } from './files.ts';
import { ledgerFile } from './ledger-file.ts';
import { addTotals, isSpreadable, prescriptionsOf } from './pieces.ts';
import type { HandoffSettings } from './settings.ts';
import type { HandoffOut, OutFile } from './types.ts';

export interface HandoffInput {
  readonly planName: string;
  readonly planSha256: string;
  readonly ground: MultiPolygon;
  readonly spreadable_ac: number;
  readonly surfaces: SurfacesOut;
  readonly zones: ZonesOut;
  readonly rates: RatesOut;
  readonly ratesSettings: RatesSettings;
  readonly settings: HandoffSettings;
}

/**
 * The prescriptions and every file of them, checked; nothing is written here.
 * Zones whose role is to keep out are in no file: acres, checks, manifest and proof are of the rest, and the text beside the files names them.
 * Problems: `handoff-all-withheld`, `handoff-all-kept-out`, `handoff-withheld` (a zone has no rate and nobody decided what that means), those of the checks and writers.
 */
export function makeHandoff(input: HandoffInput): Result<HandoffOut> {
  const problems: Problem[] = [];
  const keptOut = input.zones.zones.filter((zone) => !isSpreadable(zone));
  if (keptOut.length === input.zones.zones.length) {
    return fail(
      stop(
        'handoff-all-kept-out',
        'Every zone is to keep out, so there is nothing to write.',
        'Make a zone one to spread or to hold back.',
        { setting: 'zones.roles' },
      ),
    );
  }
  const keptOut_ac = keptOut.reduce((sum, zone) => sum + zone.acres, 0);
  const written = input.rates.zones.filter(({ key }) => !keptOut.some((zone) => zone.key === key));
  if (written.every((rate) => rate.withheld)) {
    return fail(
      stop(
        'handoff-all-withheld',
        'No zone has a rate, so there is nothing to write.',
        'Settle what the rates stage says, or type rates by hand.',
      ),
    );
  }
  for (const zone of written.filter((rate) => rate.withheld)) {
    const acres = zone.acres.toFixed(1);
    if (input.settings.withheld === 'blocks') {
      problems.push(
        stop(
          'handoff-withheld',
          `Zone ${zone.letter} (${acres} ac) has no rate, so no file is written.`,
          `Settle it in the rates stage, type a rate by hand, or choose that withheld ground is written as 0. ${zone.withheld?.message ?? ''}`.trim(),
          { zone: zone.letter, setting: 'handoff.withheld' },
        ),
      );
    } else {
      problems.push(
        caution(
          'handoff-withheld',
          `Zone ${zone.letter} (${acres} ac) has no rate and is written as 0.`,
          'That is what you chose for withheld ground.',
          { zone: zone.letter, setting: 'handoff.withheld' },
        ),
      );
    }
  }
  if (problems.some((problem) => problem.severity === 'stop')) return fail(...problems);

  const products = productsOf(withProducts(input.ratesSettings));
  const loads = { products, charge_perAc: input.ratesSettings.charge_perAcPerPass };
  const prescriptions = prescriptionsOf(input.zones, input.rates, input.settings, loads, input.ratesSettings.zones);
  const checks = checkPrescriptions(prescriptions, input.ground, keptOut_ac, input.ratesSettings.machine);
  problems.push(...checks.problems);
  if (problems.some((problem) => problem.severity === 'stop')) return fail(...problems);

  const files = writeFiles({
    planName: input.planName,
    planSha256: input.planSha256,
    base: input.settings.baseName ?? baseOf(input.planName),
    products: products.map((product) => product.name),
    rateUnit: input.settings.rateUnit,
    spreadable_ac: input.spreadable_ac - keptOut_ac,
    keptOut: keptOut.map(({ letter, acres }) => ({ letter, acres })),
    prescriptions,
    extras: [ledgerFile(input.rates), ...rastersOf(input.surfaces)],
  });
  if (!files.ok) return fail(...problems, ...files.problems);
  return ok(
    {
      cells: null,
      loads: [],
      taskData: null,
      prescriptions,
      files: files.value,
      checks: checks.lines,
      totals: addTotals(prescriptions.map((one) => one.totals)),
      keptOut_ac,
    },
    [...problems, ...files.problems],
  );
}

/** The layers a specialist takes into other mapping software, as rasters of the whole lattice. */
const RASTERS = [
  'k_ppm',
  'kSat_pct',
  'cec_meq',
  'caMgShare_pct',
  'kMg_ratio',
  'k2oNeed_lbPerAc',
] as const satisfies readonly LayerId[];

function rastersOf({ layers, grid }: SurfacesOut): OutFile[] {
  return RASTERS.flatMap((id) => {
    const values = layers[id];
    const { name, unit } = LAYER_NAMES[id];
    const what = [name, unit, 'GeoTIFF'].filter(Boolean).join(', ');
    return values ? [{ path: `surfaces/${id}.tif`, bytes: writeGeoTiff(values, grid.lattice), what }] : [];
  });
}

/** File name base out of a plan's name: ASCII letters, digits and underscores, beginning with a letter, at most 24. */
export function baseOf(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .replace(/[^A-Za-z0-9]+/g, '_')
    .replace(/^[^A-Za-z]+/, '')
    .replace(/_+$/, '')
    .slice(0, 24)
    .replace(/_+$/, '');
  return plain || 'field';
}
