import { all, binaryOf, numberOf, type OpenTaskData, openTaskData } from './open.ts';
import { elementRules, KNOWN_IDS } from './rules.ts';
import type { XmlNode } from './tree.ts';
import { TASK_DATA_XML } from './write.ts';

/** Breaks told one by one before the rest is a count. */
const LISTED = 100;

/**
 * The rules of ISO 11783-10 that a zip of task data breaks, a sentence each; empty where it keeps them. First what the public schemas ask of the elements that we
 * write (attributes, forms, ranges, identifiers, places), then what no schema says: one grid a task, zones of all codes, the same variables in all zones, the
 * binary file's size, its codes or values, a grid that covers the partfield's boundary, closed rings, names of the files. Elements of the standard that we do
 * not write are not judged. A zip that cannot be opened gives the reasons. Cost: linear. Source: ISO 11783-10, schemas 3.3 and 4.3.
 */
export function validateTaskData(bytes: Uint8Array): readonly string[] {
  const opened = openTaskData(bytes, 'the zip');
  if (!opened.ok) return opened.problems.map(({ message, detail }) => (detail ? `${message} (${detail})` : message));
  const { root, path } = opened.value;
  const breaks: string[] = [];
  if (path !== TASK_DATA_XML) breaks.push(`the task data stand in ${path}, not in ${TASK_DATA_XML}`);
  schemaBreaks(root, breaks);
  for (const partfield of all(root, 'PFD')) boundaryBreaks(partfield, breaks);
  for (const task of all(root, 'TSK')) taskBreaks(task, opened.value, breaks);
  const rest = breaks.length - LISTED;
  return rest > 0 ? [...breaks.slice(0, LISTED), `and ${rest} more`] : breaks;
}

const called = (node: XmlNode): string => {
  const own = node.attributes.get(node.name === 'GRD' ? 'G' : 'A');
  return own === undefined ? node.name : `${node.name} ${own}`;
};

function schemaBreaks(root: XmlNode, breaks: string[]): void {
  const rules = elementRules(root.attributes.get('VersionMajor') ?? '');
  const defined = new Set<string>();
  const referred: (readonly [where: string, id: string])[] = [];
  const look = (node: XmlNode, parent: string): void => {
    const rule = rules[node.name];
    if (rule) {
      if (parent !== '' && !rule.within.includes(parent)) breaks.push(`${called(node)} stands in ${parent}`);
      for (const [name, { what, holds, id, optional }] of Object.entries(rule.attributes)) {
        const value = node.attributes.get(name);
        if (value === undefined) {
          if (!optional) breaks.push(`${called(node)} has no ${name}`);
          continue;
        }
        if (!holds(value)) breaks.push(`${called(node)}: ${name} is "${value.slice(0, 40)}", not ${what}`);
        if (id === 'defines') {
          if (defined.has(value)) breaks.push(`${value.slice(0, 40)} is there twice`);
          defined.add(value);
        } else if (id === 'refers' && KNOWN_IDS.test(value)) referred.push([called(node), value]);
      }
      for (const name of node.attributes.keys())
        if (!(name in rule.attributes) && !PROPRIETARY.test(name))
          breaks.push(`${called(node)} has an attribute ${name}`);
    }
    for (const child of node.children) look(child, node.name);
  };
  look(root, '');
  for (const [where, id] of referred) if (!defined.has(id)) breaks.push(`${where} names ${id}, which is missing`);
}

/** Attributes that the standard leaves to makers, and those of XML itself. */
const PROPRIETARY = /^(?:P\d|xml)/;

function boundaryBreaks(partfield: XmlNode, breaks: string[]): void {
  const boundaries = all(partfield, 'PLN').filter((polygon) => polygon.attributes.get('A') === '1');
  for (const polygon of boundaries) {
    const lines = all(polygon, 'LSG');
    const exteriors = lines.filter((line) => line.attributes.get('A') === '1').length;
    if (exteriors === 0) breaks.push(`a boundary of ${called(partfield)} has no exterior`);
    for (const line of lines) {
      const points = all(line, 'PNT');
      const [first, last] = [points[0], points.at(-1)];
      const isClosed = first && last && ['C', 'D'].every((name) => numberOf(first, name) === numberOf(last, name));
      if (points.length < 4 || !isClosed) breaks.push(`a ring of ${called(partfield)} is not closed`);
    }
  }
}

function taskBreaks(task: XmlNode, opened: OpenTaskData, breaks: string[]): void {
  const where = called(task);
  const zones = all(task, 'TZN');
  const byCode = new Map(zones.map((zone) => [numberOf(zone, 'A'), zone]));
  if (byCode.size < zones.length) breaks.push(`${where} has zones with the same code`);
  for (const name of ['H', 'I', 'J'])
    if (task.attributes.has(name) && !byCode.has(numberOf(task, name)))
      breaks.push(`${where}: ${name} is zone ${task.attributes.get(name)}, which is missing`);
  const sets = new Set(zones.map((zone) => JSON.stringify(all(zone, 'PDV').map(variableOf))));
  if (sets.size > 1) breaks.push(`the zones of ${where} set different things`);
  const grids = all(task, 'GRD');
  if (grids.length > 1) breaks.push(`${where} has ${grids.length} grids`);
  for (const grid of grids) gridBreaks(grid, task, byCode, opened, breaks);
}

const variableOf = (variable: XmlNode): readonly (string | null)[] => [
  variable.attributes.get('A')?.toUpperCase() ?? null,
  variable.attributes.get('C') ?? null,
  variable.attributes.get('D') ?? null,
];

function gridBreaks(
  grid: XmlNode,
  task: XmlNode,
  byCode: ReadonlyMap<number, XmlNode>,
  opened: OpenTaskData,
  breaks: string[],
): void {
  const where = called(grid);
  const template = byCode.get(numberOf(grid, 'J'));
  const isCodes = grid.attributes.get('I') === '1';
  if (isCodes && grid.attributes.has('J')) breaks.push(`${where} is of codes and names a zone`);
  if (!isCodes && !template) breaks.push(`${where}: its zone ${grid.attributes.get('J') ?? ''} is missing`);
  coverBreaks(grid, task, opened.root, breaks);
  const name = grid.attributes.get('G') ?? '';
  const bytes = binaryOf(opened, name);
  if (!bytes) {
    breaks.push(`${where}: its binary file is missing`);
    return;
  }
  if (!opened.files.has(`${name}.BIN`) && !opened.files.has(`${name}.bin`))
    breaks.push(`${where}: its binary file is not named ${name}.BIN`);
  const variables = template ? all(template, 'PDV').length : 0;
  const size = numberOf(grid, 'E') * numberOf(grid, 'F') * (isCodes ? 1 : 4 * variables);
  if (bytes.length !== size) breaks.push(`${where}: its binary file has ${bytes.length} bytes, not ${size}`);
  if (grid.attributes.has('H') && numberOf(grid, 'H') !== bytes.length)
    breaks.push(`${where}: H is ${grid.attributes.get('H')}, and its binary file has ${bytes.length} bytes`);
  if (isCodes) {
    for (const code of new Set(bytes))
      if (!byCode.has(code)) breaks.push(`${where} has cells of zone ${code}, which is missing`);
    return;
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let negative = 0;
  for (let at = 0; at + 4 <= bytes.length; at += 4) if (view.getInt32(at, true) < 0) negative++;
  if (negative > 0) breaks.push(`${where} has ${negative} values under 0`);
}

function coverBreaks(grid: XmlNode, task: XmlNode, root: XmlNode, breaks: string[]): void {
  const south = numberOf(grid, 'A');
  const west = numberOf(grid, 'B');
  const north = south + numberOf(grid, 'C') * numberOf(grid, 'F');
  const east = west + numberOf(grid, 'D') * numberOf(grid, 'E');
  if (north > 90 + SLACK || east > 180 + SLACK) breaks.push(`${called(grid)} reaches beyond the world`);
  const partfield = all(root, 'PFD').find((one) => one.attributes.get('A') === task.attributes.get('E'));
  if (!partfield) return;
  const points = all(partfield, 'PLN')
    .filter((polygon) => polygon.attributes.get('A') === '1')
    .flatMap((polygon) => all(polygon, 'LSG').flatMap((line) => all(line, 'PNT')));
  const outside = points.filter((point) => {
    const [lat, lng] = [numberOf(point, 'C'), numberOf(point, 'D')];
    return lat < south - SLACK || lat > north + SLACK || lng < west - SLACK || lng > east + SLACK;
  });
  if (outside.length > 0)
    breaks.push(`${called(grid)} does not cover ${outside.length} corners of ${called(partfield)}`);
}

/** Rounding of figures with nine decimals, degrees. */
const SLACK = 2e-9;
