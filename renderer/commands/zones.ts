import type { NamedBytes } from '../../core/formats/types.ts';
import { describeInput } from '../../core/plan/pack.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { ZoneEdit } from '../../core/zones/settings.ts';
import { edit, editPart } from '../store/document.ts';
import { withoutUnused } from '../store/plan-inputs.ts';

const POLYGON_TYPES = '.zip,.shp,.shx,.dbf,.prj,.cpg,.geojson,.json';

/** Opens the system's file chooser for a file of zone polygons. */
export function chooseZonePolygons(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = POLYGON_TYPES;
  input.addEventListener('change', async () => {
    const files = [...(input.files ?? [])];
    takeZonePolygons(
      await Promise.all(
        files.map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
      ),
    );
  });
  input.click();
}

/** Puts a file of zone polygons in the plan, in place of the one before. */
export function takeZonePolygons(files: readonly NamedBytes[]): void {
  if (files.length === 0) return;
  const entries = files.map((file) => ({ entry: describeInput(file), bytes: file.bytes }));
  edit(
    `zones from ${files[0]?.name ?? 'a file'}`,
    (plan) => {
      const bare = { ...plan.zones.polygons, files: [], column: null, bareTo: null };
      const kept = withoutUnused({ ...plan, zones: { ...plan.zones, polygons: bare } }, plan.zones.polygons.files);
      const known = new Set(kept.inputs.map(({ path }) => path));
      const fresh = entries.map(({ entry }) => entry).filter(({ path }) => !known.has(path));
      return {
        ...kept,
        inputs: [...kept.inputs, ...fresh],
        zones: {
          ...plan.zones,
          method: 'polygons',
          polygons: { ...bare, files: entries.map(({ entry }) => entry.path) },
        },
      };
    },
    new Map(entries.map(({ entry, bytes }) => [entry.path, bytes])),
  );
}

export const dropZonePolygons = (): void =>
  edit('no file of zone polygons', (plan) => {
    const polygons = { ...plan.zones.polygons, files: [], bareTo: null };
    return withoutUnused({ ...plan, zones: { ...plan.zones, polygons } }, plan.zones.polygons.files);
  });

/** One change of the zones by hand: one step to undo. */
export const editZones = (label: string, change: ZoneEdit): void =>
  edit(label, (plan) => ({ ...plan, zones: { ...plan.zones, edits: [...plan.zones.edits, change] } }));

/** Takes one change by hand out again, whenever it was made. */
export const dropZoneEdit = (plan: Plan, index: number): void =>
  editPart('zones', 'take an edit by hand out', { edits: plan.zones.edits.filter((_, i) => i !== index) });

/** An id that no edit of the plan has: `a`, `b` ... `z`, `a1` .... */
export function nextEditId(plan: Plan): string {
  const taken = new Set(plan.zones.edits.flatMap((one) => ('id' in one ? [one.id] : [])));
  for (let n = 0; ; n++) {
    const id = `${String.fromCharCode(97 + (n % 26))}${n < 26 ? '' : Math.floor(n / 26)}`;
    if (!taken.has(id)) return id;
  }
}
