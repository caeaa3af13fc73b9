import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { MeasuredId } from '../../core/surfaces/settings.ts';
import { neighboursText, type Way, wayOf } from '../../core/surfaces/ways.ts';
import { keepDraft, tryOut } from '../commands/draft.ts';
import { editPart } from '../store/document.ts';
import { dropDraft, useDraft } from '../store/draft.ts';
import { useView } from '../store/view.ts';
import { hasOwnWay, isMeasured, patchWay, SHORT_NAMES, setOwnWay } from '../store/ways.ts';
import { Choices, NumberField, Select } from '../ui/Fields.tsx';
import { quantity as inUnits, shortNumber, type UnitSystem } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { Slider } from '../ui/Slider.tsx';

interface SurfaceWaysProps {
  readonly plan: Plan;
  readonly quantity: MeasuredId;
  readonly there: readonly MeasuredId[];
  readonly composites: boolean;
}

const LEAST_POWER = 0.5;
const POWER_STEP = 0.1;
const POWERS = Math.round((6 - LEAST_POWER) / POWER_STEP) + 1;
/** Places of the neighbours' slider: 1 to 64, then all of them. */
const MOST_NEIGHBOURS = 64;
/** Places of the radius' slider in metres, then no limit. */
const RADII_M = [
  30, 45, 60, 80, 100, 125, 150, 200, 250, 300, 400, 500, 650, 800, 1000, 1500, 2000, 3000, 5000,
] as const;

/** Power, neighbours and radius of the quantity, its own or everybody's, with a coarse surface while they are dragged. */
export function SurfaceWays({ plan, quantity, there, composites }: SurfaceWaysProps): ReactElement {
  const units = useView((view) => view.units);
  const { surfaces: settings } = plan;
  const draft = useDraft((state) => (state.draft?.keptIn === null ? state.draft.settings : null));
  const own = hasOwnWay(settings, quantity);
  const way = wayOf(draft ?? settings, quantity);
  const whose = own ? `${SHORT_NAMES[quantity]}: ` : '';

  const tried = (patch: Partial<Way>): void =>
    tryOut(
      { ...settings, ...patchWay(settings, quantity, patch) },
      shownFor(plan, quantity),
      wayText({ ...way, ...patch }, units),
    );
  const kept = (label: string, patch: Partial<Way>): void =>
    keepDraft(whose + label, patchWay(settings, quantity, patch));
  const power = (at: number): number => Number((LEAST_POWER + at * POWER_STEP).toFixed(1));
  const neighbours = (at: number): number => (at >= MOST_NEIGHBOURS ? 0 : at + 1);
  const radius = (at: number): number | null => RADII_M[at] ?? null;

  return (
    <Section title="Inverse distance" aside={own ? `${SHORT_NAMES[quantity]} alone` : 'nearer samples count for more'}>
      {!composites && (
        <div className="field">
          <span className="label">{SHORT_NAMES[quantity]} is made</span>
          <Select
            spoken={`${SHORT_NAMES[quantity]} is made`}
            setting={`surfaces.ways.${quantity}`}
            value={own ? 'own' : 'common'}
            options={[
              { value: 'common', label: 'as the others' },
              { value: 'own', label: 'in its own way' },
            ]}
            onCommit={(chosen) =>
              editPart(
                'surfaces',
                chosen === 'own' ? `${SHORT_NAMES[quantity]} in its own way` : `${SHORT_NAMES[quantity]} as the others`,
                setOwnWay(settings, quantity, chosen === 'own'),
              )
            }
          />
        </div>
      )}
      <div className="two-columns ways">
        <div>
          <NumberField
            label="Power"
            setting="surfaces.power"
            measure="plain"
            min={0.5}
            max={6}
            value={way.power}
            onCommit={(value) => kept(`power ${shortNumber(value)}`, { power: value })}
          />
          <Slider
            spoken="How steeply a sample’s say falls with distance"
            text={`power ${shortNumber(way.power)}`}
            at={Math.round((way.power - LEAST_POWER) / POWER_STEP)}
            places={POWERS}
            onDraft={(at) => tried({ power: power(at) })}
            onKeep={(at) => kept(`power ${shortNumber(power(at))}`, { power: power(at) })}
            onCancel={dropDraft}
          />
        </div>
        <div>
          <NumberField
            label="Neighbours"
            setting="surfaces.neighbours"
            measure="whole"
            whole
            min={0}
            max={64}
            blank="all"
            value={way.neighbours === 0 ? null : way.neighbours}
            onCommit={(value) => kept(neighboursText(value), { neighbours: value })}
            onBlank={() => kept(neighboursText(0), { neighbours: 0 })}
          />
          <Slider
            spoken="How many of the nearest samples have a say"
            text={neighboursText(way.neighbours)}
            at={way.neighbours === 0 ? MOST_NEIGHBOURS : way.neighbours - 1}
            places={MOST_NEIGHBOURS + 1}
            onDraft={(at) => tried({ neighbours: neighbours(at) })}
            onKeep={(at) => kept(neighboursText(neighbours(at)), { neighbours: neighbours(at) })}
            onCancel={dropDraft}
          />
        </div>
        <div>
          <NumberField
            label="Radius"
            setting="surfaces.radius_m"
            measure="distance"
            min={5}
            max={5000}
            blank="no limit"
            value={way.radius_m}
            onCommit={(value) => kept(radiusText(value, units), { radius_m: value })}
            onBlank={() => kept(radiusText(null, units), { radius_m: null })}
          />
          <Slider
            spoken="Within which distance samples have a say"
            text={radiusText(way.radius_m, units)}
            at={radiusPlace(way.radius_m)}
            places={RADII_M.length + 1}
            onDraft={(at) => tried({ radius_m: radius(at) })}
            onKeep={(at) => kept(radiusText(radius(at), units), { radius_m: radius(at) })}
            onCancel={dropDraft}
          />
        </div>
        <div>
          <NumberField
            label="Cell"
            setting="surfaces.cell_m"
            measure="metres"
            min={1}
            max={100}
            value={settings.cell_m}
            onCommit={(value) => editPart('surfaces', `cell ${value} m`, { cell_m: value })}
          />
          <NumberField
            label="Far beyond"
            setting="surfaces.far_m"
            measure="distance"
            min={10}
            max={2000}
            value={settings.far_m}
            onCommit={(value) =>
              editPart('surfaces', `far beyond ${inUnits(value, 'distance', units)}`, { far_m: value })
            }
          />
        </div>
      </div>
      {own && (
        <p className="small ink2">
          Cell and far ground are the same for all. {othersText(there, quantity)} made with {wayText(settings, units)}.
        </p>
      )}
    </Section>
  );
}

/** Where the share of K comes from, cell by cell. */
export const SaturationChoice = ({ plan }: { readonly plan: Plan }): ReactElement => (
  <Choices
    legend="K saturation of a cell"
    setting="surfaces.saturation"
    value={plan.surfaces.saturation}
    options={[
      {
        value: 'from K and CEC',
        label: 'from its own K and CEC',
        says: 'The two surfaces and the share agree at every place.',
      },
      {
        value: 'interpolated itself',
        label: 'interpolated itself',
        says: 'The samples’ percentages are a quantity of their own; between samples they need not agree with K and CEC.',
      },
    ]}
    onCommit={(saturation) => editPart('surfaces', `K saturation ${saturation}`, { saturation })}
  />
);

const othersText = (there: readonly MeasuredId[], quantity: MeasuredId): string =>
  `${there
    .filter((id) => id !== quantity)
    .map((id) => SHORT_NAMES[id])
    .join(', ')} without a way of their own are`;

const radiusPlace = (radius_m: number | null): number => {
  if (radius_m === null) return RADII_M.length;
  const at = RADII_M.findIndex((one) => one >= radius_m);
  return at < 0 ? RADII_M.length - 1 : at;
};
const radiusText = (radius_m: number | null, units: UnitSystem): string =>
  radius_m === null ? 'no limit to distance' : `within ${inUnits(radius_m, 'distance', units)}`;
const wayText = (way: Way, units: UnitSystem): string =>
  `power ${shortNumber(way.power)}, ${neighboursText(way.neighbours)}${way.radius_m === null ? '' : `, ${radiusText(way.radius_m, units)}`}`;

/** The surface that a draft is shown on: the one on the map where it would change with it, else the quantity's own. */
function shownFor({ surfaces }: Plan, quantity: MeasuredId): MeasuredId {
  const { layer } = useView.getState();
  const onMap = layer ?? 'k_ppm';
  return !hasOwnWay(surfaces, quantity) && isMeasured(onMap) && !hasOwnWay(surfaces, onMap) ? onMap : quantity;
}
