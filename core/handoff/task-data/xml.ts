import { KG_PER_LB, lbPerAc, lbPerAcToMgPerM2, M2_PER_ACRE } from '../../base/units.ts';
import { XML_DECLARATION, xmlElement } from '../../formats/xml-write.ts';
import { area_m2 } from '../../geo/area.ts';
import type { LngLat, MultiPolygon, Polygon } from '../../geo/types.ts';
import type { GridPlace } from './grid.ts';
import { cutName, cutWords, taskNames } from './names.ts';
import type { TaskDataInput } from './types.ts';

/** Setpoint mass per area application rate, mg/m2, resolution 1 (ISO 11783-11, entity 6). */
const MASS_PER_AREA = '0006';
const OUTSIDE = 0;
const GRID = 1;
const NO_POSITION = 254;

/** Whole mg/m2: 100 lb/ac = 11,209. */
export const milligrams = (rate_lbPerAc: number): number => Math.round(lbPerAcToMgPerM2(lbPerAc(rate_lbPerAc)));

/** Shown = (value + offset) x scale: 1 mg/m2 is 0.01 kg/ha. The scale has the nine decimals that the file holds. */
export const shownAs = (rateUnit: TaskDataInput['rateUnit']) => {
  const metric = rateUnit === 'kg/ha';
  const scale = metric ? 0.01 : M2_PER_ACRE / (KG_PER_LB * 1e6);
  return { scale: Number(scale.toFixed(9)), decimals: 1, unit: metric ? 'kg/ha' : 'lb/ac' };
};

/** Rates of one product out of the field and without a position: of the first product in the first task, 0 elsewhere. */
export const beyondOf = (input: TaskDataInput, task: number, product: number) => {
  const goes = task === 0 && product === 0;
  return {
    outside_lbPerAc: goes ? input.outside_lbPerAc : 0,
    noPosition_lbPerAc: goes ? input.noPosition_lbPerAc : 0,
  };
};

/** Eight characters, counted from 1. */
export const gridName = (index: number): string => `GRD${String(index + 1).padStart(5, '0')}`;

/**
 * The text of TASKDATA.XML. `sizes`: bytes of the grid files, one a prescription. Elements and attributes: ISO 11783-10; positions have nine decimals at most.
 */
export function taskDataXml(input: TaskDataInput, place: GridPlace, sizes: readonly number[]): string {
  const { products, prescriptions, planName, ground } = input;
  const [major, minor] = (input.taskFile ?? '4.3').split('.');
  const { scale, decimals, unit } = shownAs(input.rateUnit);
  const names = taskNames(
    planName,
    prescriptions.map(({ pass }) => pass),
  );
  const elements = [
    ...products.map((product, index) =>
      xmlElement('PDT', [
        ['A', `PDT${index + 1}`],
        ['B', cutName(product)],
      ]),
    ),
    xmlElement('VPN', [
      ['A', 'VPN1'],
      ['B', 0],
      ['C', decimal(scale)],
      ['D', decimals],
      ['E', unit],
    ]),
    xmlElement(
      'PFD',
      [
        ['A', 'PFD1'],
        ['C', cutWords(planName)],
        ['D', Math.round(area_m2(ground))],
      ],
      boundary(ground, major === '3'),
    ),
    ...names.map((name, index) => task(input, place, index, name, sizes[index] ?? 0)),
  ];
  const root = xmlElement(
    'ISO11783_TaskData',
    [
      ['VersionMajor', major ?? ''],
      ['VersionMinor', minor ?? ''],
      ['ManagementSoftwareManufacturer', 'Pearlash'],
      ['ManagementSoftwareVersion', cutName(input.version)],
      ['DataTransferOrigin', 1],
    ],
    ['\n', ...elements.flatMap((element) => [element, '\n'])],
  );
  return `${XML_DECLARATION}\n${root}\n`;
}

function task(input: TaskDataInput, place: GridPlace, index: number, name: string, size_bytes: number): string {
  const { products } = input;
  const zone = (code: number, called: string, of: 'outside_lbPerAc' | 'noPosition_lbPerAc' | null): string =>
    xmlElement(
      'TZN',
      [
        ['A', code],
        ['B', called],
      ],
      products.map((_, product) =>
        xmlElement('PDV', [
          ['A', MASS_PER_AREA],
          ['B', of === null ? 0 : milligrams(beyondOf(input, index, product)[of])],
          ['C', `PDT${product + 1}`],
          ['E', 'VPN1'],
        ]),
      ),
    );
  const { lattice } = place;
  const grid = xmlElement('GRD', [
    ['A', decimal(lattice.south_deg)],
    ['B', decimal(lattice.west_deg)],
    ['C', decimal(lattice.dLat_deg)],
    ['D', decimal(lattice.dLng_deg)],
    ['E', lattice.cols],
    ['F', lattice.rows],
    ['G', gridName(index)],
    ['H', size_bytes],
    ['I', 2],
    ['J', GRID],
  ]);
  const inside = [
    zone(OUTSIDE, 'Outside', 'outside_lbPerAc'),
    zone(GRID, 'Grid', null),
    zone(NO_POSITION, 'Position lost', 'noPosition_lbPerAc'),
    grid,
  ];
  return xmlElement(
    'TSK',
    [
      ['A', `TSK${index + 1}`],
      ['B', name],
      ['E', 'PFD1'],
      ['G', 1],
      ['H', OUTSIDE],
      ['I', NO_POSITION],
      ['J', OUTSIDE],
    ],
    ['\n', ...inside.flatMap((element) => [element, '\n'])],
  );
}

/** A polygon for each part; the second edition takes one polygon with all rings, as public writers do it. */
function boundary(ground: MultiPolygon, together: boolean): string[] {
  const polygon = (rings: readonly string[]): string => xmlElement('PLN', [['A', 1]], rings);
  const parts = ground.map(rings);
  return together ? [polygon(parts.flat())] : parts.map(polygon);
}

const rings = (polygon: Polygon): string[] =>
  polygon.map((ring, index) => xmlElement('LSG', [['A', index === 0 ? 1 : 2]], ring.map(point)));

const point = ([lng, lat]: LngLat): string =>
  xmlElement('PNT', [
    ['A', 2],
    ['C', decimal(lat)],
    ['D', decimal(lng)],
  ]);

/** At most nine decimals, never with an exponent. */
const decimal = (value: number): string => {
  const text = value.toFixed(9).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
};
