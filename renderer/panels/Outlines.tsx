import './outlines.css';
import type { ReactElement } from 'react';
import { isMade } from '../../core/layers/layer.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { type AnyLayerId, LAYER_IDS, LAYER_NAMES, type LayerId } from '../../core/surfaces/types.ts';
import type { ZonesSettings } from '../../core/zones/settings.ts';
import type { Zone } from '../../core/zones/types.ts';
import { isFresh } from '../store/derive.ts';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { selectZone, useView } from '../store/view.ts';
import { CheckField, NumberField, type Option, Select, SelectField, TextField } from '../ui/Fields.tsx';
import { figure, number, quantity, readable, shortNumber, unitOf } from '../ui/format.ts';
import { ZoneLetter } from '../ui/marks.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { readLimits } from './limits.ts';

const layerOptions: readonly Option<AnyLayerId>[] = LAYER_IDS.map((value) => ({
  value,
  label: `${LAYER_NAMES[value].name}${LAYER_NAMES[value].unit === '' ? '' : `, ${LAYER_NAMES[value].unit}`}`,
}));

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

const firstLimits = (layer: AnyLayerId): readonly number[] => (isMade(layer) ? FIRST_LIMITS[layer] : [1]);
const nameOf = (layer: AnyLayerId): string => (isMade(layer) ? LAYER_NAMES[layer].name : 'a layer of your own');

/** How the zones are cut, and the zones that came of it. */
export function Outlines({ plan }: { readonly plan: Plan }): ReactElement {
  const { zones } = plan;
  return (
    <>
      <Section>
        <SelectField
          label="Zones are"
          setting="zones.method"
          value={zones.method}
          options={[
            { value: 'classes', label: 'classes of a layer' },
            { value: 'composites', label: 'the zone composites as they are' },
          ]}
          onCommit={(method) =>
            editPart('zones', method === 'classes' ? 'zones by classes' : 'zones as composites', { method })
          }
        />
        {zones.method === 'classes' && <Classes zones={zones} />}
      </Section>
      <ZoneTable plan={plan} />
    </>
  );
}

function Classes({ zones }: { readonly zones: ZonesSettings }): ReactElement {
  const { by, apart } = zones;
  return (
    <>
      <SelectField
        label="Layer"
        setting="zones.by.layer"
        value={by.layer}
        options={layerOptions}
        onCommit={(layer) =>
          editPart('zones', `zones by ${nameOf(layer)}`, { by: { layer, breaks: [...firstLimits(layer)] } })
        }
      />
      <Limits
        label="Class limits"
        setting="zones.by.breaks"
        layer={by.layer}
        limits={by.breaks}
        onCommit={(breaks) =>
          editPart('zones', `limits ${breaks.map((one) => shortNumber(one)).join(', ')}`, { by: { ...by, breaks } })
        }
      />
      {[0, 1].slice(0, apart.length + 1).map((index) => (
        <Apart key={index} apart={apart} index={index} />
      ))}
      <LeastAndSmooth zones={zones} />
    </>
  );
}

/** One further layer whose classes keep ground apart. */
function Apart({ apart, index }: { readonly apart: ZonesSettings['apart']; readonly index: number }): ReactElement {
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
          options={[{ value: 'none', label: 'nothing' }, ...layerOptions]}
          onCommit={(layer) =>
            layer === 'none'
              ? commit('nothing kept apart', null)
              : commit(`kept apart by ${nameOf(layer)}`, { layer, breaks: firstLimits(layer).slice(0, 1) })
          }
        />
      </div>
      {one && (
        <Limits
          label="Limits of that layer"
          setting={`zones.apart.${index}.breaks`}
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

function LeastAndSmooth({ zones }: { readonly zones: ZonesSettings }): ReactElement {
  const units = useView((view) => view.units);
  return (
    <>
      <NumberField
        label="Least part"
        hint="a smaller one joins its neighbour"
        setting="zones.least_ac"
        measure="area"
        min={0}
        max={100}
        value={zones.least_ac}
        onCommit={(least_ac) => editPart('zones', `least part ${quantity(least_ac, 'area', units)}`, { least_ac })}
      />
      <CheckField
        label="Smooth the outlines"
        hint="once per shared border, so that neighbours still meet exactly"
        setting="zones.smooth"
        checked={zones.smooth}
        onCommit={(smooth) => editPart('zones', smooth ? 'smooth outlines' : 'outlines along the cells', { smooth })}
      />
    </>
  );
}

interface LimitsProps {
  readonly label: string;
  readonly setting: string;
  readonly layer: AnyLayerId;
  readonly limits: readonly number[];
  readonly onCommit: (limits: number[]) => void;
}

function Limits({ label, setting, layer, limits, onCommit }: LimitsProps): ReactElement {
  return (
    <TextField
      label={label}
      hint={`${isMade(layer) ? `${LAYER_NAMES[layer].unit}; ` : ''}a value on a limit is above it`}
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

function ZoneTable({ plan }: { readonly plan: Plan }): ReactElement | null {
  const results = useResults();
  const units = useView((view) => view.units);
  const zones = results.out?.zones;
  if (!zones) return null;
  const samples = zones.zones.reduce((sum, zone) => sum + zone.samples, 0);
  return (
    <Section
      title="Zones"
      aside={zones.sieved_ac > 0 ? `${quantity(zones.sieved_ac, 'area', units)} joined a neighbour` : undefined}
    >
      <table className={isFresh(plan, results) ? 'table' : 'table stale-figures'}>
        <thead>
          <tr>
            <th scope="col">Zone</th>
            <th scope="col" className="num">
              samples
            </th>
            <th scope="col" className="num">
              K, ppm
            </th>
            <th scope="col" className="num">
              K, %
            </th>
            <th scope="col" className="num">
              CEC
            </th>
            <th scope="col" className="num">
              {unitOf('area', units)}
            </th>
          </tr>
        </thead>
        <tbody>
          {zones.zones.map((zone) => (
            <ZoneRows key={zone.key} zone={zone} name={plan.zones.names[zone.key] ?? ''} />
          ))}
          <tr className="sum">
            <td>Field</td>
            <td className="num">{number(samples)}</td>
            <td className="num" />
            <td className="num" />
            <td className="num" />
            <td className="num">{figure(zones.spreadable_ac, 'area', units)}</td>
          </tr>
        </tbody>
      </table>
      <NameOfZone plan={plan} />
    </Section>
  );
}

/** A zone's figures, and under them in words what makes it one. */
function ZoneRows({ zone, name }: { readonly zone: Zone; readonly name: string }): ReactElement {
  const { units, selectedZone } = useView();
  const chosen = zone.key === selectedZone;
  return (
    <>
      <tr className={chosen ? 'chosen zone-figures' : 'zone-figures'}>
        <td>
          <button
            type="button"
            className="pick zone-pick"
            aria-pressed={chosen}
            aria-label={`Zone ${zone.letter}${name === '' ? '' : `, ${name}`}`}
            onClick={() => selectZone(chosen ? null : zone.key)}
          >
            <ZoneLetter letter={zone.letter} />
            {name}
          </button>
        </td>
        <td className="num ink3">{number(zone.samples)}</td>
        <td className="num">{number(zone.stats.k_ppm?.mean)}</td>
        <td className="num">{number(zone.stats.kSat_pct?.mean, 1)}</td>
        <td className="num">{number(zone.stats.cec_meq?.mean, 1)}</td>
        <td className="num">{figure(zone.acres, 'area', units)}</td>
      </tr>
      <tr className={chosen ? 'chosen zone-words' : 'zone-words'}>
        <td colSpan={6} className="small ink3">
          {readable(zone.what)}
        </td>
      </tr>
    </>
  );
}

/** A name for the chosen zone: it hangs on the zone's key and survives every re-run. */
function NameOfZone({ plan }: { readonly plan: Plan }): ReactElement | null {
  const selected = useView((view) => view.selectedZone);
  const zone = useResults((results) => results.out?.zones?.zones.find((one) => one.key === selected));
  if (!zone) return null;
  return (
    <TextField
      label={`Name of zone ${zone.letter}`}
      setting={`zones.names.${zone.key}`}
      blank="none"
      value={plan.zones.names[zone.key] ?? ''}
      onCommit={(text) => {
        const { [zone.key]: _, ...rest } = plan.zones.names;
        const name = text.trim();
        editPart('zones', name === '' ? `zone ${zone.letter} without a name` : `zone ${zone.letter}: ${name}`, {
          names: name === '' ? rest : { ...rest, [zone.key]: name },
        });
      }}
    />
  );
}
