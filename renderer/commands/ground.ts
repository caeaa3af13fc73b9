import { caution, type Problem } from '../../core/base/problem.ts';
import { cleanPolygons } from '../../core/geo/clean.ts';
import { intersection } from '../../core/geo/clip.ts';
import { widestSpot } from '../../core/geo/spot.ts';
import type { LngLat, MultiPolygon } from '../../core/geo/types.ts';
import { type GroundHistory, groundHistorySchema, type HistoryArea } from '../../core/soil/history.ts';
import type { Zone } from '../../core/zones/types.ts';
import { compute } from '../compute/index.ts';
import { currentPlan, edit } from '../store/document.ts';
import { useGround } from '../store/ground.ts';
import { useResults } from '../store/results.ts';
import { endSketch, startSketch } from '../store/sketch.ts';
import { flyTo } from '../store/view.ts';

const MOST_AREAS = 200;
const FILE_TYPES = '.zip,.shp,.shx,.dbf,.prj,.cpg,.geojson,.json';

const editGround = (label: string, areas: (areas: readonly HistoryArea[]) => readonly HistoryArea[]): void =>
  edit(label, (plan) => ({ ...plan, ground: { ...plan.ground, areas: [...areas(plan.ground.areas)] } }));

export const setFieldHistory = (label: string, patch: Partial<GroundHistory>): void =>
  edit(label, (plan) => ({
    ...plan,
    ground: { ...plan.ground, history: { ...plan.ground.history, ...patch } },
  }));

export const setAreaHistory = (area: HistoryArea, label: string, patch: Partial<GroundHistory>): void =>
  editGround(`${area.name}: ${label}`, (areas) =>
    areas.map((one) => (one.id === area.id ? { ...one, history: { ...one.history, ...patch } } : one)),
  );

export const renameArea = (area: HistoryArea, name: string): void =>
  editGround(`${area.name} is called ${name}`, (areas) =>
    areas.map((one) => (one.id === area.id ? { ...one, name } : one)),
  );

export function dropArea(area: HistoryArea): void {
  editGround(`take out ${area.name}`, (areas) => areas.filter((one) => one.id !== area.id));
  useGround.setState({ open: null });
}

/** Where areas overlap the last one of the list counts. */
export const putLast = (area: HistoryArea): void =>
  editGround(`${area.name} counts where areas overlap`, (areas) => [
    ...areas.filter((one) => one.id !== area.id),
    ...areas.filter((one) => one.id === area.id),
  ]);

export const showArea = (area: HistoryArea): void => flyTo(widestSpot(area.polygons));

/** Lets a person draw an area on the map; an outline that cannot be used is told and nothing is added. */
export function drawArea(): void {
  useGround.setState({ problems: [] });
  startSketch({
    shape: 'polygon',
    says: 'An area with a history of its own.',
    snapTo: linesToSnapTo(),
    onDone: (ring) => {
      endSketch();
      const clean = cleanPolygons([[ring]], {});
      if (clean.ok) addAreas('draw an area', [{ name: freshName(), polygons: clean.value }], clean.problems);
      else useGround.setState({ problems: clean.problems });
    },
  });
}

/** Lines of the field and of the areas there are: corners near them are drawn to them. */
function linesToSnapTo(): readonly (readonly LngLat[])[] {
  const boundary = useResults.getState().out?.field?.boundary ?? [];
  const areas = currentPlan()?.ground.areas ?? [];
  return [...boundary, ...areas.flatMap(({ polygons }) => polygons)].flat();
}

export const addZoneGround = (zone: Zone, name: string): void =>
  addAreas(`the ground of zone ${zone.letter}`, [{ name, polygons: zone.polygons }], []);

interface NewArea {
  readonly name: string;
  readonly polygons: MultiPolygon;
}

function addAreas(label: string, fresh: readonly NewArea[], problems: readonly Problem[]): void {
  const plan = currentPlan();
  if (!plan) return;
  const field = useResults.getState().out?.field?.boundary ?? null;
  const found = [...problems];
  const inside = fresh.filter(({ polygons }) => field === null || intersection(polygons, field).length > 0);
  if (inside.length < fresh.length)
    found.push(
      caution('area-outside', 'The area lies outside the field, so it was not kept.', 'Draw it over the field.'),
    );
  const room = MOST_AREAS - plan.ground.areas.length;
  if (inside.length > room)
    found.push(
      caution(
        'areas-too-many',
        `A plan holds ${MOST_AREAS} areas; ${inside.length - room} were left out.`,
        'Take out areas that are not needed.',
      ),
    );
  const taken = new Set(plan.ground.areas.map(({ id }) => id));
  const areas = inside.slice(0, Math.max(0, room)).map(({ name, polygons }): HistoryArea => {
    const id = freshId(taken);
    taken.add(id);
    return { id, name, polygons: plain(polygons), history: groundHistorySchema.parse({}) };
  });
  useGround.setState({
    problems: found,
    ...(areas.length === 1 && areas[0] ? { open: areas[0].id, fresh: areas[0].id } : {}),
  });
  if (areas.length > 0) editGround(label, (before) => [...before, ...areas]);
}

/** The plan's own copy: positions as pairs that can be written down. */
const plain = (polygons: MultiPolygon): HistoryArea['polygons'] =>
  polygons.map((polygon) => polygon.map((ring) => ring.map(([lng, lat]): [number, number] => [lng, lat])));

function freshId(taken: ReadonlySet<string>): string {
  for (let n = 1; ; n++) if (!taken.has(`area-${n}`)) return `area-${n}`;
}

function freshName(): string {
  const taken = new Set((currentPlan()?.ground.areas ?? []).map(({ name }) => name));
  for (let n = 1; ; n++) if (!taken.has(`Area ${n}`)) return `Area ${n}`;
}

/** Areas from the polygons of a file, read off the thread that draws. */
export function chooseAreaFile(): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.multiple = true;
  input.accept = FILE_TYPES;
  input.addEventListener('change', () => void takeAreaFiles([...(input.files ?? [])]));
  input.click();
}

async function takeAreaFiles(list: readonly File[]): Promise<void> {
  if (list.length === 0) return;
  useGround.setState({ problems: [], reading: true });
  const files = await Promise.all(
    list.map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
  );
  const crs = currentPlan()?.field.crs ?? null;
  const outcome = await compute.call('areas', { files, crs });
  useGround.setState({ reading: false });
  if (!outcome.ok) return useGround.setState({ problems: [outcome.problem] });
  const { response } = outcome;
  if (!response.ok) return useGround.setState({ problems: response.problems });
  addAreas(`areas from ${list[0]?.name ?? 'a file'}`, response.value, response.problems);
}
