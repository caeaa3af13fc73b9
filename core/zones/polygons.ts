import { caution, fail, note, ok, type Problem, type Result, stop } from '../base/problem.ts';
import { M2_PER_ACRE } from '../base/units.ts';
import type { Dataset } from '../formats/types.ts';
import { burnPolygons } from '../geo/burn.ts';
import { cleanPolygons } from '../geo/clean.ts';
import { intersection, union } from '../geo/clip.ts';
import type { FieldGrid, MultiPolygon } from '../geo/types.ts';
import { type Classified, UNKNOWN_KEY, type ZoneClass } from './classify.ts';
import type { ZonesSettings } from './settings.ts';

/** Name of ground that no polygon of the file covers. */
export const NO_POLYGON = 'no polygon covers it';
const MOST_ZONES = 500;

/**
 * Zones as the polygons of a file, clipped to the ground: a cell goes to the polygon that covers most of it. With a column, records of one
 * value are one zone, named by it; otherwise each record is its own. Keys are `p` and the value (or the record's number), made safe.
 *
 * Ground without a polygon is `unknown`, or goes to the zone of `bareTo`; its acres are told. Stops: `zones-polygons-none` (no polygon,
 * or none on the field), `zones-polygons-column`, `zones-polygons-many`, and those of cleaning. Notes and cautions:
 * `zones-polygons-outside`, `zones-polygons-bare`, `zones-polygons-bare-to`.
 */
export function polygonCells(
  grid: FieldGrid,
  dataset: Dataset | null,
  settings: ZonesSettings,
  ground: MultiPolygon,
): Result<Classified> {
  const { column, bareTo } = settings.polygons;
  const file = dataset?.files[0] ?? '';
  if (!dataset?.records.some(({ geometry }) => geometry?.type === 'MultiPolygon')) {
    const message = dataset ? `${file} holds no polygon.` : 'No file with zone polygons is chosen.';
    const remedy = 'Choose a shapefile or GeoJSON whose features are areas.';
    return fail(stop('zones-polygons-none', message, remedy, { file, setting: 'zones.polygons' }));
  }
  const at = column === null ? -1 : dataset.columns.indexOf(column);
  if (column !== null && at < 0) {
    const message = `${file} has no column "${column}" to name zones by.`;
    const remedy = `Choose one of: ${dataset.columns.join(', ')}.`;
    return fail(stop('zones-polygons-column', message, remedy, { file, column, setting: 'zones.polygons' }));
  }
  const problems: Problem[] = [];
  const shapes = new Map<string, { name: string; polygons: MultiPolygon }>();
  for (const { geometry, row, cells } of dataset.records) {
    if (geometry?.type !== 'MultiPolygon') continue;
    const clean = cleanPolygons(geometry.polygons, { file, feature: row });
    problems.push(...clean.problems);
    if (!clean.ok) return fail(...problems);
    const value = at < 0 ? `${row}` : String(cells[at] ?? '').trim();
    const name = at < 0 ? `polygon ${row}` : value === '' ? `without ${column}` : value;
    const key = `p${value.replace(/[^A-Za-z0-9_-]+/g, '_')}`;
    const known = shapes.get(key);
    shapes.set(key, {
      name: known?.name ?? name,
      polygons: known ? union(known.polygons, clean.value) : clean.value,
    });
  }
  if (shapes.size > MOST_ZONES) {
    const message = `${file} would make ${shapes.size} zones; ${MOST_ZONES} is the most.`;
    const remedy = 'Name the zones by a column that fewer values fill.';
    return fail(...problems, stop('zones-polygons-many', message, remedy, { file, setting: 'zones.polygons' }));
  }

  const all = [...shapes].map(([key, shape]) => ({ key, ...shape, on: intersection(shape.polygons, ground) }));
  const inside = all.filter(({ on }) => on.length > 0);
  const outside = all.length - inside.length;
  if (inside.length === 0) {
    const message = `None of the ${all.length} polygons of ${file} lies on this field.`;
    const remedy = 'Check the file and its coordinate system.';
    return fail(...problems, stop('zones-polygons-none', message, remedy, { file, setting: 'zones.polygons' }));
  }
  if (outside > 0)
    problems.push(
      note('zones-polygons-outside', `${outside} of ${all.length} polygons lie off this field.`, 'Nothing to do.', {
        file,
      }),
    );
  const burnt = burnPolygons(
    grid.lattice,
    inside.map(({ on }) => on),
    (cell) => (grid.cover_m2[cell] ?? 0) > 0,
  );
  const classes: ZoneClass[] = inside.map(({ key, name }) => ({ key, name, what: name }));
  const unknown = classes.length + 1;
  const host = bareTo === null ? -1 : classes.findIndex(({ key }) => key === bareTo);
  if (bareTo !== null && host < 0)
    problems.push(
      caution(
        'zones-polygons-bare-to',
        `Bare ground was to go to zone ${bareTo}, which is not there.`,
        'Choose a zone for it again, or leave it without a class.',
        { setting: 'zones.polygons' },
      ),
    );
  let bare_m2 = 0;
  const labels = burnt.map((number, cell) => {
    const cover = grid.cover_m2[cell] ?? 0;
    if (cover <= 0 || number > 0) return cover <= 0 ? 0 : number;
    bare_m2 += cover;
    return host >= 0 ? host + 1 : unknown;
  });
  if (bare_m2 > 0) {
    const acres = (bare_m2 / M2_PER_ACRE).toFixed(1);
    const where = host >= 0 ? `go to zone ${classes[host]?.name ?? ''}` : 'have no zone yet';
    problems.push(
      note(
        'zones-polygons-bare',
        `${acres} ac lie under no polygon; they ${where}.`,
        'Give them to a zone if that is not meant.',
        {
          setting: 'zones.polygons',
        },
      ),
    );
  }
  return ok({ labels, classes: [...classes, { key: UNKNOWN_KEY, name: NO_POLYGON, what: NO_POLYGON }] }, problems);
}
