import type { ReactElement } from 'react';
import { isMade, layerName, layersOf } from '../../core/layers/layer.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { type AnyLayerId, LAYER_IDS, type LayerId, type SurfacesOut } from '../../core/surfaces/types.ts';
import type { ZonesSettings } from '../../core/zones/settings.ts';
import { chooseZonePolygons, dropZonePolygons } from '../commands/zones.ts';
import { isFresh } from '../store/derive.ts';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { CheckField, NumberField, type Option, Select, SelectField, TextField } from '../ui/Fields.tsx';
import { counted, number, quantity, readable, shortNumber } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { readLimits } from './limits.ts';

/** Starting limits of a layer: those of its legend's main lines, common practice without a source. */
const FIRST_LIMITS: Record<LayerId, readonly number[]> = {
  k_ppm: [100, 150, 200],
  kSat_pct: [2, 4, 8],
  cec_meq: [8, 15],
  ca_ppm: [1000, 2000],
  mg_ppm: [100, 250],
  na_ppm: [50],
  ph: [6, 7],
  caSat_pct: [60, 75],
  mgSat_pct: [10, 20],
  caMgShare_pct: [70, 85],
  kMg_ratio: [0.1, 0.2],
  k2oNeed_lbPerAc: [1, 100, 200, 300],
};

type Layers = Pick<SurfacesOut, 'layers' | 'own'>;
const NO_LAYERS: Layers = { layers: {}, own: [] };

const useLayers = (): Layers => useResults((results) => results.out?.surfaces) ?? NO_LAYERS;

/** Layers to choose among: the program's own, and those that the user brought. */
function optionsOf(surfaces: Layers): readonly Option<AnyLayerId>[] {
  const ids: readonly AnyLayerId[] = [...LAYER_IDS, ...surfaces.own.map(({ id }) => id)];
  return ids.map((value) => {
    const { name, unit } = layerName(surfaces, value);
    return { value, label: unit === '' ? name : `${name}, ${unit}` };
  });
}

/** How the ground is cut into zones. */
export function ZoneMethod({ plan }: { readonly plan: Plan }): ReactElement {
  const { zones } = plan;
  return (
    <Section>
      <Made plan={plan} />
      <SelectField
        label="Zones are"
        setting="zones.method"
        value={zones.method}
        options={[
          { value: 'classes', label: 'classes of a layer' },
          { value: 'clusters', label: 'clusters of several layers' },
          { value: 'polygons', label: 'polygons of a file' },
          { value: 'composites', label: 'the zone composites as they are' },
        ]}
        onCommit={(method) => editPart('zones', `zones: ${method}`, { method })}
      />
      {zones.method === 'classes' && <Classes zones={zones} />}
      {zones.method === 'clusters' && <Clusters zones={zones} />}
      {zones.method === 'polygons' && <Polygons plan={plan} />}
      {(zones.method === 'classes' || zones.method === 'clusters') && <Parts zones={zones} />}
      <CheckField
        label="Smooth the outlines"
        hint="once per shared border, so that neighbours still meet exactly"
        setting="zones.smooth"
        checked={zones.smooth}
        onCommit={(smooth) => editPart('zones', smooth ? 'smooth outlines' : 'outlines along the cells', { smooth })}
      />
    </Section>
  );
}

/** What came of the method: how many zones, and what of the layers they tell apart. */
function Made({ plan }: { readonly plan: Plan }): ReactElement | null {
  const results = useResults();
  const { zones, surfaces } = results.out ?? { zones: null, surfaces: null };
  if (!zones || !surfaces) return null;
  const { method, by, clusters } = plan.zones;
  const layers: readonly AnyLayerId[] =
    method === 'clusters' ? clusters.layers : method === 'classes' ? [by.layer] : [];
  const told = layers.flatMap((layer) => {
    const share = zones.explained[layer];
    return share === undefined ? [] : [`${number(100 * share, 0)} % of ${readable(layerName(surfaces, layer).name)}`];
  });
  return (
    <p className={isFresh(plan, results) ? 'zones-made' : 'zones-made stale-figures'} data-testid="zones-made">
      <b>{counted(zones.zones.length, 'zone')}</b>
      {told.length > 0 && <span className="ink2"> tell apart {told.join(', ')}</span>}
    </p>
  );
}

const LIMITS = [
  ['as typed', 'typed'],
  ['equal area', 'so that each class has the same acres'],
  ['natural breaks', 'where the values part by themselves'],
  ['floors and range', 'the plan’s floors and range'],
] as const;

function Classes({ zones }: { readonly zones: ZonesSettings }): ReactElement {
  const { by, apart, limits, classes } = zones;
  const surfaces = useLayers();
  const made = useResults((results) => results.out?.zones?.breaks);
  const name = (layer: AnyLayerId): string => layerName(surfaces, layer).name;
  const counting = limits === 'equal area' || limits === 'natural breaks';
  return (
    <>
      <SelectField
        label="Layer"
        setting="zones.by.layer"
        value={by.layer}
        options={optionsOf(surfaces)}
        onCommit={(layer) =>
          editPart('zones', `zones by ${name(layer)}`, {
            by: { layer, breaks: isMade(layer) ? [...FIRST_LIMITS[layer]] : by.breaks },
            limits: isMade(layer)
              ? limits
              : limits === 'as typed' || limits === 'floors and range'
                ? 'natural breaks'
                : limits,
          })
        }
      />
      <SelectField
        label="Class limits"
        setting="zones.limits"
        value={limits}
        options={LIMITS.map(([value, label]) => ({ value, label }))}
        onCommit={(chosen) => editPart('zones', `limits: ${chosen}`, { limits: chosen })}
      />
      {counting && (
        <NumberField
          label="Classes"
          setting="zones.classes"
          measure="whole"
          whole
          min={2}
          max={8}
          value={classes}
          onCommit={(count) => editPart('zones', `${count} classes`, { classes: count })}
        />
      )}
      {limits === 'as typed' ? (
        <Limits
          label="Limits"
          setting="zones.by.breaks"
          surfaces={surfaces}
          layer={by.layer}
          limits={by.breaks}
          tell
          onCommit={(breaks) =>
            editPart('zones', `limits ${breaks.map((one) => shortNumber(one)).join(', ')}`, { by: { ...by, breaks } })
          }
        />
      ) : (
        made && (
          <p className="small ink2 made-limits">
            Limits: {made.map((one) => shortNumber(one)).join(', ')} {layerName(surfaces, by.layer).unit}{' '}
            <button
              type="button"
              className="btn s"
              onClick={() =>
                editPart('zones', 'keep these limits', { limits: 'as typed', by: { ...by, breaks: [...made] } })
              }
            >
              Keep as typed
            </button>
          </p>
        )
      )}
      {[0, 1].slice(0, apart.length + 1).map((index) => (
        <Apart key={index} apart={apart} index={index} surfaces={surfaces} />
      ))}
    </>
  );
}

interface ApartProps {
  readonly apart: ZonesSettings['apart'];
  readonly index: number;
  readonly surfaces: Layers;
}

/** One further layer whose classes keep ground apart. */
function Apart({ apart, index, surfaces }: ApartProps): ReactElement {
  const one = apart[index];
  const spoken = index === 0 ? 'Kept apart by' : 'and by';
  const commit = (label: string, change: ZonesSettings['by'] | null): void =>
    editPart('zones', label, {
      apart: [...apart.slice(0, index), ...(change ? [change] : []), ...apart.slice(index + 1)],
    });
  return (
    <>
      <div className="field">
        <span className="label">
          {spoken}
          <span className="hint">{index === 0 ? 'such as light ground' : 'such as ground above the range'}</span>
        </span>
        <Select
          spoken={spoken}
          setting={`zones.apart.${index}`}
          value={one?.layer ?? 'none'}
          options={[{ value: 'none', label: 'nothing' }, ...optionsOf(surfaces)]}
          onCommit={(layer) =>
            layer === 'none'
              ? commit('nothing kept apart', null)
              : commit(`kept apart by ${layerName(surfaces, layer).name}`, {
                  layer,
                  breaks: isMade(layer) ? FIRST_LIMITS[layer].slice(0, 1) : [1],
                })
          }
        />
      </div>
      {one && (
        <Limits
          label="Limits of that layer"
          setting={`zones.apart.${index}.breaks`}
          surfaces={surfaces}
          layer={one.layer}
          limits={one.breaks}
          onCommit={(breaks) =>
            commit(`kept apart at ${breaks.map((limit) => shortNumber(limit)).join(', ')}`, { ...one, breaks })
          }
        />
      )}
    </>
  );
}

function Clusters({ zones }: { readonly zones: ZonesSettings }): ReactElement {
  const { clusters } = zones;
  const surfaces = useLayers();
  const set = (label: string, patch: Partial<typeof clusters>): void =>
    editPart('zones', label, { clusters: { ...clusters, ...patch } });
  const known = layersOf(surfaces);
  return (
    <>
      <fieldset className="cluster-layers" data-setting="zones.clusters.layers" tabIndex={-1}>
        <legend>
          Layers <span className="hint">each brought to the same spread, so that all weigh alike</span>
        </legend>
        {known.map((layer) => {
          const on = clusters.layers.includes(layer);
          const { name } = layerName(surfaces, layer);
          return (
            <CheckField
              key={layer}
              label={readable(name)}
              checked={on}
              onCommit={(checked) => {
                const layers = checked ? [...clusters.layers, layer] : clusters.layers.filter((one) => one !== layer);
                if (layers.length > 0 && layers.length <= 8)
                  set(`clusters ${checked ? 'with' : 'without'} ${name}`, { layers });
              }}
            />
          );
        })}
      </fieldset>
      <NumberField
        label="Clusters"
        setting="zones.clusters.k"
        measure="whole"
        whole
        min={2}
        max={8}
        value={clusters.k}
        onCommit={(k) => set(`${k} clusters`, { k })}
      />
      <NumberField
        label="Seed"
        hint="the same seed gives the same zones"
        setting="zones.clusters.seed"
        measure="whole"
        whole
        min={0}
        max={2_147_483_647}
        value={clusters.seed}
        onCommit={(seed) => set(`seed ${seed}`, { seed })}
      />
    </>
  );
}

function Polygons({ plan }: { readonly plan: Plan }): ReactElement {
  const { polygons } = plan.zones;
  const zones = useResults((results) => results.out?.zones?.zones) ?? [];
  const columns = useResults((results) => results.out?.zones?.polygonColumns) ?? [];
  const files = polygons.files.map((path) => plan.inputs.find((one) => one.path === path)?.name ?? path);
  const set = (label: string, patch: Partial<typeof polygons>): void =>
    editPart('zones', label, { polygons: { ...polygons, ...patch } });
  return (
    <>
      <div className="field">
        <span className="label">
          File
          <span className="hint">{files.length === 0 ? 'shapefile or GeoJSON with areas' : files.join(', ')}</span>
        </span>
        <span className="hand-acts">
          <button type="button" className="btn s" data-setting="zones.polygons" onClick={() => chooseZonePolygons()}>
            {files.length === 0 ? 'Choose' : 'Another'}
          </button>
          {files.length > 0 && (
            <button type="button" className="btn s" onClick={() => dropZonePolygons()}>
              Take out
            </button>
          )}
        </span>
      </div>
      {files.length > 0 && (
        <SelectField
          label="Column that names a zone"
          hint="records with one value are one zone"
          setting="zones.polygons.column"
          value={polygons.column ?? ''}
          options={[
            { value: '', label: 'none: each polygon is its own' },
            ...[...new Set([...columns, ...(polygons.column === null ? [] : [polygons.column])])].map((value) => ({
              value,
              label: value,
            })),
          ]}
          onCommit={(column) =>
            set(column === '' ? 'each polygon its own zone' : `zones named by ${column}`, {
              column: column === '' ? null : column,
            })
          }
        />
      )}
      {files.length > 0 && (
        <SelectField
          label="Ground without a polygon"
          setting="zones.polygons.bareTo"
          value={polygons.bareTo ?? ''}
          options={[
            { value: '', label: 'has no zone, and no rate' },
            ...zones
              .filter(({ key }) => key !== 'unknown')
              .map(({ key, letter, name }) => ({ value: key, label: `goes to ${letter}, ${name}` })),
          ]}
          onCommit={(key) =>
            set(key === '' ? 'bare ground without a zone' : 'bare ground to a zone', {
              bareTo: key === '' ? null : key,
            })
          }
        />
      )}
    </>
  );
}

function Parts({ zones }: { readonly zones: ZonesSettings }): ReactElement {
  const units = useView((view) => view.units);
  const out = useResults((results) => results.out?.zones);
  return (
    <>
      <NumberField
        label="Least part"
        hint={
          out && out.sieved_ac >= 0.05
            ? `${quantity(out.sieved_ac, 'area', units)} joined a neighbour`
            : 'a smaller one joins its neighbour'
        }
        setting="zones.least_ac"
        measure="area"
        min={0}
        max={100}
        value={zones.least_ac}
        onCommit={(least_ac) => editPart('zones', `least part ${quantity(least_ac, 'area', units)}`, { least_ac })}
      />
      <SelectField
        label="It joins"
        setting="zones.joins"
        value={zones.joins}
        options={[
          { value: 'longest border', label: 'the neighbour along most of its edge' },
          { value: 'nearest value', label: 'the neighbour whose value is nearest' },
        ]}
        onCommit={(joins) => editPart('zones', `small parts join by ${joins}`, { joins })}
      />
      <NumberField
        label="Narrowest part"
        hint={
          out && out.opened_ac >= 0.05
            ? `${quantity(out.opened_ac, 'area', units)} opened away`
            : 'such as the swath; narrower parts go to their neighbours'
        }
        setting="zones.open_m"
        measure="distance"
        min={1}
        max={200}
        value={zones.open_m}
        blank="any width"
        onCommit={(open_m) => editPart('zones', `narrowest part ${quantity(open_m, 'distance', units)}`, { open_m })}
        onBlank={() => editPart('zones', 'parts of any width', { open_m: null })}
      />
    </>
  );
}

interface LimitsProps {
  readonly label: string;
  readonly setting: string;
  readonly surfaces: Layers;
  readonly layer: AnyLayerId;
  readonly limits: readonly number[];
  /** Whether it is said where a value on a limit goes: once is enough. */
  readonly tell?: boolean;
  readonly onCommit: (limits: number[]) => void;
}

function Limits({ label, setting, surfaces, layer, limits, tell = false, onCommit }: LimitsProps): ReactElement {
  const { unit } = layerName(surfaces, layer);
  return (
    <TextField
      label={label}
      hint={`${unit === '' ? '' : `${unit}; `}${counted(limits.length + 1, 'class', 'classes')}${tell ? ', a value on a limit is above it' : ''}`}
      setting={setting}
      value={limits.map((limit) => shortNumber(limit)).join(', ')}
      judge={(text) => {
        const read = readLimits(text);
        return typeof read === 'string' ? read : null;
      }}
      onCommit={(text) => {
        const read = readLimits(text);
        if (typeof read !== 'string') onCommit([...read]);
      }}
    />
  );
}
