import type { ReactElement } from 'react';
import { layerName, layersOf } from '../../core/layers/layer.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import type { Zone, ZoneStat } from '../../core/zones/types.ts';
import { isFresh } from '../store/derive.ts';
import { useResults } from '../store/results.ts';
import { selectZone, useView } from '../store/view.ts';
import { useZoneTable, type ZoneColumn } from '../store/zone-table.ts';
import { Select } from '../ui/Fields.tsx';
import { figure, number, quantity, readable, unitOf } from '../ui/format.ts';
import { ZoneLetter } from '../ui/marks.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { ChosenZone } from './ChosenZone.tsx';

const STATS = [
  ['mean', 'mean'],
  ['median', 'median'],
  ['cv_pct', 'CV, %'],
  ['min', 'least'],
  ['max', 'most'],
] as const satisfies readonly (readonly [keyof ZoneStat, string])[];

/** The zones with their figures: sorted by a column's head, chosen by a row, one statistic of every layer asked for. */
export function ZoneTable({ plan }: { readonly plan: Plan }): ReactElement | null {
  const results = useResults();
  const units = useView((view) => view.units);
  const { stat, layers, sort } = useZoneTable();
  const { zones, surfaces } = results.out ?? { zones: null, surfaces: null };
  if (!zones || !surfaces) return null;
  const shown = layers.filter((layer) => layersOf(surfaces).includes(layer));
  const rows = sorted(zones.zones, sort, stat);
  const samples = zones.zones.reduce((sum, zone) => sum + zone.samples, 0);
  const gap = zones.zones.reduce((sum, { acres }) => sum + acres, 0) - zones.spreadable_ac;
  return (
    <Section title="Zones" aside={proofWords(gap, zones.spreadable_ac)}>
      <div className="zone-table-asks">
        <span className="ink2 zone-table-stat">
          Figures are the{' '}
          <Select
            spoken="Statistic of the layers"
            value={stat}
            options={STATS.map(([value, label]) => ({ value, label }))}
            onCommit={(chosen) => useZoneTable.setState({ stat: chosen })}
          />{' '}
          of
        </span>
        {shown.map((layer, index) => (
          <Select
            // Each place in the table holds a layer of its own.
            // biome-ignore lint/suspicious/noArrayIndexKey: see above
            key={index}
            spoken={`Layer of column ${index + 1}`}
            value={layer}
            options={layersOf(surfaces).map((value) => ({ value, label: layerName(surfaces, value).name }))}
            onCommit={(chosen) =>
              useZoneTable.setState({
                layers: layers.map((one) => (one === layer ? chosen : one === chosen ? layer : one)),
              })
            }
          />
        ))}
      </div>
      <table
        className={isFresh(plan, results) ? 'table zone-table' : 'table zone-table stale-figures'}
        data-testid="zone-table"
      >
        <thead>
          <tr>
            <Head column="letter" label="Zone" left />
            <Head column="samples" label="samples" />
            {shown.map((layer) => (
              <Head key={layer} column={layer} label={headOf(layerName(surfaces, layer), stat)} />
            ))}
            <Head column="share" label="share, %" />
            <Head column="acres" label={unitOf('area', units)} />
          </tr>
        </thead>
        <tbody>
          {rows.map((zone) => (
            <ZoneRows key={zone.key} zone={zone} name={plan.zones.names[zone.key] ?? ''} layers={shown} />
          ))}
          <tr className="sum">
            <td>Field</td>
            <td className="num">{number(samples)}</td>
            {shown.map((layer) => (
              <td className="num" key={layer} />
            ))}
            <td className="num">{number(100)}</td>
            <td className="num">{figure(zones.spreadable_ac, 'area', units)}</td>
          </tr>
        </tbody>
      </table>
      <ChosenZone plan={plan} />
    </Section>
  );
}

/** That the zones share out the ground, said where the table says their acres. */
const proofWords = (gap_ac: number, all_ac: number): string =>
  Math.abs(gap_ac) <= 1e-6 * all_ac
    ? 'valid, no gap, no overlap: acres add up to the field'
    : `acres miss the field by ${number(gap_ac, 4)} ac`;

const SHORT: Readonly<Record<string, string>> = {
  Potassium: 'K',
  'K saturation': 'K sat.',
  Calcium: 'Ca',
  Magnesium: 'Mg',
};
const headOf = ({ name, unit }: { name: string; unit: string }, stat: keyof ZoneStat): string =>
  `${SHORT[name] ?? name}${stat === 'cv_pct' || unit === '' ? '' : `, ${unit.replace('meq/100 g', 'meq')}`}`;

function Head({
  column,
  label,
  left = false,
}: {
  readonly column: ZoneColumn;
  readonly label: string;
  readonly left?: boolean;
}): ReactElement {
  const { sort } = useZoneTable();
  const own = sort.by === column;
  return (
    <th
      scope="col"
      className={left ? undefined : 'num'}
      aria-sort={own ? (sort.falling ? 'descending' : 'ascending') : 'none'}
    >
      <button
        type="button"
        className="sort"
        onClick={() =>
          useZoneTable.setState({ sort: { by: column, falling: own ? !sort.falling : column !== 'letter' } })
        }
      >
        {readable(label)}
        {own && <span aria-hidden="true">{sort.falling ? ' ↓' : ' ↑'}</span>}
      </button>
    </th>
  );
}

function sorted(
  zones: readonly Zone[],
  { by, falling }: { readonly by: ZoneColumn; readonly falling: boolean },
  stat: keyof ZoneStat,
): readonly Zone[] {
  const place = new Map(zones.map((zone, index) => [zone.key, index]));
  const figureOf = (zone: Zone): number => {
    if (by === 'letter') return place.get(zone.key) ?? 0;
    if (by === 'samples' || by === 'share' || by === 'acres') return zone[by];
    return zone.stats[by]?.[stat] ?? Number.NEGATIVE_INFINITY;
  };
  return [...zones].sort(
    (a, b) => (falling ? -1 : 1) * (figureOf(a) - figureOf(b)) || (place.get(a.key) ?? 0) - (place.get(b.key) ?? 0),
  );
}

interface ZoneRowsProps {
  readonly zone: Zone;
  readonly name: string;
  readonly layers: readonly AnyLayerId[];
}

/** A zone's figures, and under them in words what makes it one. */
function ZoneRows({ zone, name, layers }: ZoneRowsProps): ReactElement {
  const { units, selectedZone } = useView();
  const { stat } = useZoneTable();
  const surfaces = useResults((results) => results.out?.surfaces) ?? { own: [] };
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
          </button>
        </td>
        <td className="num ink3">{number(zone.samples)}</td>
        {layers.map((layer) => (
          <td className="num" key={layer}>
            {number(zone.stats[layer]?.[stat], stat === 'cv_pct' ? 0 : layerName(surfaces, layer).decimals)}
          </td>
        ))}
        <td className="num ink2">{number(100 * zone.share, 1)}</td>
        <td className="num">{figure(zone.acres, 'area', units)}</td>
      </tr>
      <tr className={chosen ? 'chosen zone-words' : 'zone-words'}>
        <td colSpan={4 + layers.length} className="small ink3">
          {name !== '' && <b>{name} </b>}
          {readable(zone.what)}
          {zone.role === 'spread' ? '' : ` · ${zone.role}`}
          {zone.far_ac > 0.05 ? ` · ${quantity(zone.far_ac, 'area', units)} far from any sample` : ''}
        </td>
      </tr>
    </>
  );
}
