import { caution, fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { decodeGuessed } from '../base/text.ts';
import { type DbfTable, readDbf } from './dbf-read.ts';
import { placeFeatures, type RawFeature, type RawGeometry } from './features.ts';
import { type FileSet, type FormatReader, single } from './reader.ts';
import { assembleRings } from './rings.ts';
import { count, listed } from './say.ts';
import { type RawShape, readShapes } from './shp-shapes.ts';
import { type ShpWalk, walkShp } from './shp-walk.ts';
import { indexOrder } from './shx.ts';
import type { Dataset, ReadOptions } from './types.ts';

/**
 * A shapefile: geometry by shpjs, everything about it checked before and after; the table, the rings' places and the
 * coordinate system by the files beside this one. Works without .dbf, .shx, .prj and .cpg, and says what is missing.
 */
export const shapefileReader: FormatReader = {
  format: 'shapefile',
  main: ['shp'],
  beside: ['shx', 'dbf', 'prj', 'cpg'],
  unread: ['sbn', 'sbx', 'qix', 'fix', 'qpj', 'idx', 'ain', 'aih', 'atx', 'ixs', 'mxs', 'shp.xml'],
  remedyWithoutMain: 'Take in the .shp of the same name with it.',
  read: (set, options) => single(readShapefile(set, options)),
};

/**
 * Problems: those of `walkShp`, `readDbf` and `placeFeatures`; `shp-empty` (no shape), `shp-rings` (too many rings to
 * sort); cautions `shp-no-dbf`, `shp-index` (.shx says otherwise), `shp-winding` (rings that wind against their
 * place), `dbf-deleted` (rows marked as deleted, set aside); note `shp-no-shx`.
 */
function readShapefile(set: FileSet, options: ReadOptions): Result<Dataset> {
  const file = set.main.name;
  const walk = walkShp(set.main.bytes, file);
  if (!walk.ok) return walk;
  const order = fileOrder(set, walk.value);
  if (order.indices.length === 0)
    return fail(
      ...walk.problems,
      stop('shp-empty', `${file} holds no shape.`, 'Choose the file that the field was drawn in.', { file }),
    );
  const problems: Problem[] = [...walk.problems, ...order.problems];
  const shapes = readShapes(set.main.bytes, walk.value);
  const table = readTable(set, order.indices.length, problems);
  if (!table.ok) return fail(...problems, ...table.problems);

  const deleted = new Set(table.value.deleted);
  if (deleted.size > 0)
    problems.push(
      caution(
        'dbf-deleted',
        `${file}: ${count(deleted.size, 'record')} marked as deleted, ${listed('row', [...deleted])}; set aside.`,
        'Pack the table in the program that wrote it, or take the mark away where the record is meant.',
        { file },
      ),
    );
  const features: RawFeature[] = [];
  const mixed: number[] = [];
  for (const [i, index] of order.indices.entries()) {
    const row = i + 1;
    if (deleted.has(row)) continue;
    const shape = geometryOf(shapes[index] ?? null);
    if (shape === 'too many rings')
      return fail(
        ...problems,
        stop(
          'shp-rings',
          `Feature ${row} of ${file} has too many rings to sort into parts and holes.`,
          'Split it into smaller features.',
          { file, feature: row },
        ),
      );
    if (shape.mixedWinding) mixed.push(row);
    features.push({
      row,
      geometry: shape.geometry,
      cells: table.value.rows[i] ?? table.value.columns.map(() => null),
      flatRings: shape.flatRings,
    });
  }
  if (mixed.length > 0)
    problems.push(
      caution(
        'shp-winding',
        `${file} has rings that wind the wrong way, in ${listed('feature', mixed)}; holes and parts are told apart by where they lie.`,
        'Check on the map that holes are holes.',
        { file, ...(mixed[0] === undefined ? {} : { feature: mixed[0] }) },
      ),
    );
  const prj = set.beside.get('prj');
  const placed = placeFeatures(features, {
    file,
    prj: prj && { text: decodeGuessed(prj.bytes).text, file: prj.name },
    told: options.crs,
  });
  if (!placed.ok) return fail(...problems, ...placed.problems);
  return ok(
    {
      ...placed.value,
      name: set.name,
      format: 'shapefile',
      files: set.inputs,
      columns: table.value.columns,
      reading: [...reading(set), ...table.value.reading],
      decimal: '.',
    },
    [...problems, ...placed.problems],
  );
}

/** Which record of the .shp each row belongs to: its own order, unless the .shx knows better. */
function fileOrder(set: FileSet, walk: ShpWalk): { indices: readonly number[]; problems: readonly Problem[] } {
  const own = walk.records.map((_, i) => i);
  const shx = set.beside.get('shx');
  const file = set.main.name;
  if (!shx)
    return {
      indices: own,
      problems: [
        note(
          'shp-no-shx',
          `${file} comes without its .shx; it is not needed.`,
          'Nothing to do. Other programs may ask for it.',
          { file },
        ),
      ],
    };
  const order = indexOrder(shx.bytes, walk);
  if (order && order.length === own.length && order.every((index, i) => index === i))
    return { indices: own, problems: [] };
  return {
    indices: order ?? own,
    problems: [
      caution(
        'shp-index',
        order
          ? `${shx.name} lists ${count(order.length, 'shape')} where ${file} holds ${own.length}, or in another order; the list is followed, as other programs do.`
          : `${shx.name} does not fit ${file}; the order of the .shp is kept.`,
        'Check that the values stand at the right places on the map.',
        { file },
      ),
    ],
  };
}

function readTable(set: FileSet, shapes: number, problems: Problem[]): Result<DbfTable> {
  const file = set.main.name;
  const dbf = set.beside.get('dbf');
  if (!dbf) {
    problems.push(
      caution(
        'shp-no-dbf',
        `${file} comes without its .dbf, so its shapes have no values.`,
        'Take in the .dbf of the same name with it, if its values matter.',
        { file },
      ),
    );
    return ok({ columns: [], rows: [], deleted: [], reading: [] });
  }
  const cpg = set.beside.get('cpg');
  const table = readDbf(dbf.bytes, cpg ? decodeGuessed(cpg.bytes).text : null, shapes, dbf.name);
  if (table.ok) problems.push(...table.problems);
  return table;
}

interface MadeGeometry {
  readonly geometry: RawGeometry | null;
  readonly flatRings: number;
  readonly mixedWinding: boolean;
}

function geometryOf(shape: RawShape | null): MadeGeometry | 'too many rings' {
  const plain = (geometry: RawGeometry | null): MadeGeometry => ({ geometry, flatRings: 0, mixedWinding: false });
  if (shape === null) return plain(null);
  switch (shape.kind) {
    case 'point':
    case 'multipoint':
      return plain({ type: 'points', points: shape.parts.flat() });
    case 'line':
      return plain({ type: 'lines', lines: shape.parts });
    case 'polygon': {
      // Rings with a coordinate that is no number cannot be sorted; placing refuses them by feature.
      if (shape.parts.some((ring) => ring.some((p) => !Number.isFinite(p[0]) || !Number.isFinite(p[1]))))
        return plain({ type: 'polygons', polygons: [shape.parts] });
      const made = assembleRings(shape.parts);
      if (!made) return 'too many rings';
      return {
        geometry: { type: 'polygons', polygons: made.parts },
        flatRings: made.flat.length,
        mixedWinding: made.mixedWinding,
      };
    }
  }
}

function reading(set: FileSet): readonly string[] {
  const names = [set.main.name, ...[...set.beside.values()].map((file) => file.name)];
  const unread = set.unread.length > 0 ? [`not needed and not read: ${set.unread.join(', ')}`] : [];
  return [`read from ${names.join(', ')}`, ...unread];
}
