import { caution, fail, ok, type Problem, type Result, stop } from '../../base/problem.ts';
import { KG_PER_LB, M2_PER_ACRE } from '../../base/units.ts';
import { contains } from '../../geo/contains.ts';
import { wound } from '../../geo/ring.ts';
import type { LngLat, MultiPolygon, Ring } from '../../geo/types.ts';
import { all, binaryOf, numberOf, type OpenTaskData, openTaskData } from './open.ts';
import type { XmlNode } from './tree.ts';
import type { TaskData, TaskDataGrid, TaskDataShown, TaskDataTask, TaskDataZone } from './types.ts';

/** 1 mg/m2 in lb/ac. */
const LB_PER_AC = M2_PER_ACRE / (KG_PER_LB * 1e6);
/** Setpoint mass per area (ISO 11783-11, entity 6). */
const MASS_PER_AREA = 6;

/**
 * ISO 11783-10 task data out of a zip, ours or another's: editions 2 to 4, grids of codes (type 1) and of values (type 2), file names in any case, in any folder.
 * Rates that are no mass per area (entity 6) are NaN, and told.
 *
 * Problems: those of `openTaskData`; `task-data-no-task`, `task-data-grid` (a figure of it is missing or wrong, or there are several), `task-data-grid-missing`
 * and `task-data-grid-size` (its binary file), `task-data-zones` (codes missing or twice, zones that set different things); cautions `task-data-no-grid`, `task-data-entity`, `task-data-negative`.
 * Cost: linear. Source: ISO 11783-10, as its public schemas 3.3 and 4.3 show it; nothing here is shared with the writer.
 */
export function readTaskData(bytes: Uint8Array, file: string): Result<TaskData> {
  const opened = openTaskData(bytes, file);
  if (!opened.ok) return opened;
  const { root } = opened.value;
  const products = namesOf(root, 'PDT', 'B');
  const problems: Problem[] = [...opened.problems];
  const tasks: TaskDataTask[] = [];
  for (const node of all(root, 'TSK')) {
    const read = taskOf(node, opened.value, products, file);
    if (!read.ok) return fail(...problems, ...read.problems);
    problems.push(...read.problems);
    tasks.push(read.value);
  }
  if (tasks.length === 0)
    return fail(
      ...problems,
      stop('task-data-no-task', `${file} holds no task.`, 'Export the task data again, with its task.', { file }),
    );
  return ok(
    {
      taskFile: `${textOf(root, 'VersionMajor')}.${textOf(root, 'VersionMinor')}`,
      manufacturer: textOf(root, 'ManagementSoftwareManufacturer'),
      softwareVersion: textOf(root, 'ManagementSoftwareVersion'),
      partfields: all(root, 'PFD').map((node) => ({
        id: textOf(node, 'A'),
        name: textOf(node, 'C'),
        area_m2: numberOf(node, 'D'),
        boundary: all(node, 'PLN')
          .filter((polygon) => textOf(polygon, 'A') === '1')
          .flatMap(partsOf),
      })),
      tasks,
    },
    problems,
  );
}

const textOf = (node: XmlNode, attribute: string): string => node.attributes.get(attribute) ?? '';

const namesOf = (root: XmlNode, kind: string, attribute: string): ReadonlyMap<string, string> =>
  new Map(all(root, kind).map((node) => [textOf(node, 'A'), textOf(node, attribute)]));

/** Exterior rings with the interior ones that lie in them; the second edition puts several exteriors into one polygon. */
function partsOf(polygon: XmlNode): MultiPolygon {
  const rings = (type: string): Ring[] =>
    all(polygon, 'LSG')
      .filter((line) => textOf(line, 'A') === type)
      .map((line) => closed(all(line, 'PNT').map((point): LngLat => [numberOf(point, 'D'), numberOf(point, 'C')])))
      .filter((ring) => ring.length >= 4);
  const parts = rings('1').map((exterior): Ring[] => [exterior]);
  for (const hole of rings('2')) {
    const corner = hole[0];
    const own = parts.length === 1 ? parts[0] : parts.find(([outer]) => outer && corner && contains([[outer]], corner));
    own?.push(hole);
  }
  return parts.map(wound);
}

function closed(ring: readonly LngLat[]): Ring {
  const [first, last] = [ring[0], ring.at(-1)];
  return first && last && (first[0] !== last[0] || first[1] !== last[1]) ? [...ring, first] : ring;
}

function taskOf(
  node: XmlNode,
  opened: OpenTaskData,
  products: ReadonlyMap<string, string>,
  file: string,
): Result<TaskDataTask> {
  const at = { file: `${file}/${opened.path}` };
  const name = textOf(node, 'B') || textOf(node, 'A') || 'a task';
  const told = `The task "${name}" in ${file}`;
  const again = 'Export the task data again.';
  const problems: Problem[] = [];

  const zoneNodes = all(node, 'TZN');
  const byCode = new Map(zoneNodes.map((zone) => [numberOf(zone, 'A'), zone]));
  if (byCode.size < zoneNodes.length || byCode.has(Number.NaN))
    return fail(stop('task-data-zones', `${told} has zones with the same code, or without one.`, again, at));
  const grids = all(node, 'GRD');
  const [gridNode] = grids;
  if (grids.length > 1) {
    const message = `${told} has ${grids.length} grids, and which of them holds is not said.`;
    return fail(stop('task-data-grid', message, again, at));
  }

  // The template of the grid says what its numbers are; with codes, every zone does.
  const template = gridNode && textOf(gridNode, 'I') === '2' ? byCode.get(numberOf(gridNode, 'J')) : zoneNodes[0];
  const variables = all(template ?? node, 'PDV').map((one) => ({
    entity: entityOf(one),
    product: products.get(textOf(one, 'C')) ?? '',
  }));
  const differs = zoneNodes.find(
    (zone) => JSON.stringify(all(zone, 'PDV').map(entityOf)) !== JSON.stringify(variables.map(({ entity }) => entity)),
  );
  if (differs) {
    const message = `${told} sets other things in zone ${textOf(differs, 'A')} than in the others.`;
    return fail(stop('task-data-zones', message, again, at));
  }
  const others = variables.filter(({ entity }) => entity !== MASS_PER_AREA);
  if (others.length > 0) {
    problems.push(
      caution(
        'task-data-entity',
        `${told} sets ${others.length === 1 ? 'a thing that is' : `${others.length} things that are`} no mass per area, which cannot be told in lb/ac.`,
        'Compare that by its terminal, or ask for the rates as mass per area.',
        at,
        `entities ${others.map(({ entity }) => entity).join(', ')}`,
      ),
    );
  }
  const factors = variables.map(({ entity }) => (entity === MASS_PER_AREA ? LB_PER_AC : Number.NaN));
  const zones = [...byCode].map(
    ([code, zone]): TaskDataZone => ({
      code,
      name: textOf(zone, 'B'),
      rates_lbPerAc: all(zone, 'PDV').map((one, index) => numberOf(one, 'B') * (factors[index] ?? Number.NaN)),
      products: all(zone, 'PDV').map((one) => products.get(textOf(one, 'C')) ?? ''),
      shown: all(zone, 'PDV').map((one) => shownBy(opened.root, textOf(one, 'E'))),
    }),
  );
  const codeOf = (attribute: string): number | null =>
    node.attributes.has(attribute) ? numberOf(node, attribute) : null;
  const codes = { default: codeOf('H'), positionLost: codeOf('I'), outside: codeOf('J') };

  let grid: TaskDataGrid | null = null;
  let values: readonly Float64Array[] = [];
  if (gridNode) {
    const read = gridOf(gridNode, opened, { told, file, again });
    if (!read.ok) return read;
    grid = read.value.grid;
    if (grid.type === 2 && !template)
      return fail(
        stop('task-data-zones', `${told} has a grid whose zone ${textOf(gridNode, 'J')} is missing.`, again, at),
      );
    const filled = fillGrid(grid, read.value.bytes, zones, factors);
    if (typeof filled === 'string') return fail(stop(...problemOf(filled, told), again, at));
    values = filled;
    const negative = values.reduce((sum, of) => sum + of.reduce((count, rate) => count + Number(rate < 0), 0), 0);
    if (negative > 0) {
      problems.push(
        caution(
          'task-data-negative',
          `${told} has ${negative} rates under 0; they are read as they stand.`,
          'Ask what its maker means by them before anything is spread or compared.',
          at,
        ),
      );
    }
  } else {
    problems.push(
      caution(
        'task-data-no-grid',
        `${told} has no grid, so no rates by place are read from it.`,
        'Ask for task data with a grid, or for a shapefile.',
        at,
      ),
    );
  }
  const outside = zones.find(({ code }) => code === (codes.outside ?? codes.default))?.rates_lbPerAc;
  const beyond = outside ?? variables.map(() => Number.NaN);
  return ok(
    {
      id: textOf(node, 'A'),
      name: textOf(node, 'B'),
      partfield: node.attributes.get('E') ?? null,
      products: variables.map(({ product }) => product),
      grid,
      values_lbPerAc: values,
      zones,
      codes,
      rateAt: (lng_deg, lat_deg) => {
        if (!grid) return variables.map(() => Number.NaN);
        const col = Math.floor((lng_deg - grid.minEast_deg) / grid.sizeEast_deg);
        const row = Math.floor((lat_deg - grid.minNorth_deg) / grid.sizeNorth_deg);
        const held = col >= 0 && row >= 0 && col < grid.columns && row < grid.rows;
        const cell = row * grid.columns + col;
        return held ? values.map((of) => of[cell] ?? Number.NaN) : beyond;
      },
    },
    problems,
  );
}

function shownBy(root: XmlNode, id: string): TaskDataShown | null {
  const node = id === '' ? undefined : all(root, 'VPN').find((one) => textOf(one, 'A') === id);
  if (!node) return null;
  return {
    offset: numberOf(node, 'B'),
    scale: numberOf(node, 'C'),
    decimals: numberOf(node, 'D'),
    unit: textOf(node, 'E'),
  };
}

/** Number of the data dictionary's entity; NaN where it is not four hexadecimal digits. */
const entityOf = (variable: XmlNode): number => {
  const text = textOf(variable, 'A');
  return /^[0-9A-Fa-f]{4}$/.test(text) ? Number.parseInt(text, 16) : Number.NaN;
};

interface Telling {
  readonly told: string;
  readonly file: string;
  readonly again: string;
}

function gridOf(
  node: XmlNode,
  opened: OpenTaskData,
  { told, file, again }: Telling,
): Result<{ readonly grid: TaskDataGrid; readonly bytes: Uint8Array }> {
  const type = numberOf(node, 'I');
  const grid: TaskDataGrid = {
    minNorth_deg: numberOf(node, 'A'),
    minEast_deg: numberOf(node, 'B'),
    sizeNorth_deg: numberOf(node, 'C'),
    sizeEast_deg: numberOf(node, 'D'),
    columns: numberOf(node, 'E'),
    rows: numberOf(node, 'F'),
    type: type === 1 ? 1 : 2,
    file: textOf(node, 'G'),
  };
  const sound =
    (type === 1 || type === 2) &&
    Math.abs(grid.minNorth_deg) <= 90 &&
    Math.abs(grid.minEast_deg) <= 180 &&
    [grid.sizeNorth_deg, grid.sizeEast_deg].every((size) => size > 0 && size <= 1) &&
    [grid.columns, grid.rows].every((count) => Number.isInteger(count) && count > 0 && count < 2 ** 32);
  const at = { file: `${file}/${opened.path}` };
  if (!sound)
    return fail(stop('task-data-grid', `${told} has a grid with a figure missing or out of range.`, again, at));
  const bytes = binaryOf(opened, grid.file);
  if (!bytes) {
    const message = `${told} has its rates in ${grid.file.slice(0, 40)}.BIN, which is not in the zip.`;
    return fail(stop('task-data-grid-missing', message, 'Pack the whole TASKDATA folder.', at));
  }
  return ok({ grid, bytes });
}

/** Values of every cell, or which size was looked for (`size: ...`) or which code is missing (`code: ...`). */
function fillGrid(
  { columns, rows, type }: TaskDataGrid,
  bytes: Uint8Array,
  zones: readonly TaskDataZone[],
  factors: readonly number[],
): readonly Float64Array[] | string {
  const cells = columns * rows;
  const perCell = type === 1 ? 1 : 4 * factors.length;
  // Asked before anything is made room for: the figures are anybody's.
  if (bytes.length !== cells * perCell || perCell === 0)
    return `size: ${bytes.length} bytes, where ${columns} x ${rows} cells take ${cells * perCell}`;
  const values = factors.map(() => new Float64Array(cells));
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const byCode = new Map(zones.map(({ code, rates_lbPerAc }) => [code, rates_lbPerAc]));
  for (let cell = 0; cell < cells; cell++) {
    const own = type === 1 ? byCode.get(view.getUint8(cell)) : null;
    if (own === undefined) return `code: ${view.getUint8(cell)}`;
    for (let index = 0; index < values.length; index++) {
      const into = values[index];
      if (into)
        into[cell] = own
          ? (own[index] ?? Number.NaN)
          : view.getInt32(cell * perCell + index * 4, true) * (factors[index] ?? Number.NaN);
    }
  }
  return values;
}

const problemOf = (filled: string, told: string): [code: string, message: string] =>
  filled.startsWith('code: ')
    ? ['task-data-zones', `${told} has cells of zone ${filled.slice(6)}, which is missing.`]
    : ['task-data-grid-size', `${told} has a grid file of ${filled.slice(6)}.`];
