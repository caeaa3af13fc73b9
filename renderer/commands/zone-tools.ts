import { cellAt } from '../../core/geo/lattice.ts';
import type { LngLat } from '../../core/geo/types.ts';
import type { Zone } from '../../core/zones/types.ts';
import { currentPlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { endSketch, startSketch } from '../store/sketch.ts';
import { openPanel, useView } from '../store/view.ts';
import { useZoneTable } from '../store/zone-table.ts';
import { editZones, nextEditId } from './zones.ts';

/** The tools that change zones by hand on the map. Each finished shape is one step to undo. */

export const whyNoZoneTool = (): string | null =>
  currentPlan() === null ? 'no plan open' : useResults.getState().out?.zones ? null : 'no zones yet';

const zonesNow = (): readonly Zone[] => useResults.getState().out?.zones?.zones ?? [];
const chosenZone = (): Zone | null => zonesNow().find(({ key }) => key === useView.getState().selectedZone) ?? null;

/** Boundary and neighbours, that corners are drawn to. */
function snapLines(): readonly (readonly LngLat[])[] {
  const { field, zones } = useResults.getState().out ?? {};
  return [...(field?.spreadable ?? []).flat(), ...(zones?.zones ?? []).flatMap(({ polygons }) => polygons.flat())];
}

/** The tool's own place in the window, since it is put down when that is left. */
const openTools = (): void => {
  const { panel, tabs } = useView.getState();
  if (panel !== 'zones' || tabs.zones !== 'hand') openPanel('zones', 'hand');
};

export function drawZone(): void {
  openTools();
  startSketch({
    shape: 'polygon',
    says: 'A zone of its own.',
    snapTo: snapLines(),
    onDone: (positions) => {
      endSketch();
      const plan = currentPlan();
      if (!plan || positions.length < 4) return;
      const id = nextEditId(plan);
      editZones('draw a zone', { does: 'draw', id, rings: [positions.map(pairOf)] });
      useView.setState({ selectedZone: `h${id}` });
    },
  });
}

export function cutZone(): void {
  openTools();
  const chosen = chosenZone();
  startSketch({
    shape: 'line',
    says: chosen ? `Cut zone ${chosen.letter}, right across it.` : 'Cut a zone, right across it.',
    snapTo: snapLines(),
    onDone: (positions) => {
      endSketch();
      const plan = currentPlan();
      const zone = zoneUnder(positions, chosen);
      if (!plan || !zone || positions.length < 2) return;
      const id = nextEditId(plan);
      editZones(`cut zone ${zone.letter}`, { does: 'cut', id, zone: zone.key, line: positions.map(pairOf) });
      useView.setState({ selectedZone: `h${id}` });
    },
  });
}

export function paintZone(): void {
  openTools();
  const chosen = chosenZone();
  const width_m = useZoneTable.getState().brush_m;
  startSketch({
    shape: 'brush',
    says: chosen ? `Paint for zone ${chosen.letter}.` : 'Paint for the zone that a stroke begins in.',
    width_m,
    again: true,
    onDone: (positions) => {
      const zone = chosen ?? zoneUnder(positions.slice(0, 1), null);
      if (!zone) return;
      editZones(`paint for zone ${zone.letter}`, {
        does: 'paint',
        into: zone.key,
        line: positions.map(pairOf),
        width_m,
      });
    },
  });
}

/** Zones go to one of them. */
export function joinZones(from: readonly Zone[], into: Zone): void {
  const others = from.filter(({ key }) => key !== into.key);
  if (others.length === 0) return;
  const letters = others.map(({ letter }) => letter).join(', ');
  editZones(`join ${letters} to ${into.letter}`, {
    does: 'join',
    zones: others.map(({ key }) => key),
    into: into.key,
  });
  useView.setState({ selectedZone: into.key });
}

/** Places looked at along each piece of a line. */
const LOOKS = 24;

/** The wanted zone where the line meets it, else the one that most of the line lies in. */
function zoneUnder(line: readonly LngLat[], wanted: Zone | null): Zone | null {
  const { zones, surfaces } = useResults.getState().out ?? {};
  if (!zones || !surfaces) return null;
  const counts = new Map<number, number>();
  line.forEach((a, i) => {
    const b = line[i + 1] ?? a;
    // The last place has no piece of line after it.
    for (let look = 0; look < (a === b ? 1 : LOOKS); look++) {
      const at: LngLat = [a[0] + ((b[0] - a[0]) * look) / LOOKS, a[1] + ((b[1] - a[1]) * look) / LOOKS];
      const cell = cellAt(surfaces.grid.lattice, at);
      const label = cell < 0 ? 0 : (zones.labels[cell] ?? 0);
      if (label > 0) counts.set(label, (counts.get(label) ?? 0) + 1);
    }
  });
  if (wanted && counts.has(wanted.label)) return wanted;
  const [most] = [...counts].sort((a, b) => b[1] - a[1]);
  return zones.zones.find(({ label }) => label === most?.[0]) ?? null;
}

const pairOf = (position: LngLat): [number, number] => [Number(position[0].toFixed(9)), Number(position[1].toFixed(9))];
