import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { HoldingClass } from '../../core/rates/settings.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { CheckField, NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { quantity, shortNumber } from '../ui/format.ts';
import { Fold } from './BasisFold.tsx';
import { BASIS_WORDS } from './basis-words.ts';

/** New values; undefined takes a value out. */
type Patch<T> = { readonly [K in keyof T]?: T[K] | undefined };
/** Only values that may be missing are ever taken out. */
const patched = (one: HoldingClass, patch: Patch<HoldingClass>): HoldingClass =>
  Object.fromEntries(Object.entries({ ...one, ...patch }).filter(([, value]) => value !== undefined)) as HoldingClass;

/** What the soil holds a year and a pass, by its CEC. */
export function Holding({ plan }: { readonly plan: Plan }): ReactElement {
  const { holding } = plan.rates;
  const units = useView((view) => view.units);
  const change = (index: number, label: string, patch: Patch<HoldingClass>): void =>
    editPart('rates', label, { holding: holding.map((one, i) => (i === index ? patched(one, patch) : one)) });
  return (
    <Fold name="holding" title="What the ground holds" says={`a year: ${BASIS_WORDS.holding.says(holding, units)}`}>
      <p className="small ink3">Caps on K₂O: common practice, no source.</p>
      {holding.map((one, index) => (
        <fieldset className="sub-fields" key={one.name}>
          <legend>
            {one.name.charAt(0).toUpperCase() + one.name.slice(1)}
            <span className="ink3"> {one.under_meq === null ? 'ground, all the rest' : 'ground'}</span>
          </legend>
          {one.under_meq !== null && (
            <NumberField
              label="CEC under"
              setting={`rates.holding.${index}.under_meq`}
              measure="cec"
              min={0.1}
              value={one.under_meq}
              onCommit={(under_meq) =>
                change(index, `${one.name} ground under CEC ${shortNumber(under_meq)}`, { under_meq })
              }
            />
          )}
          <NumberField
            label="Most a year"
            setting={`rates.holding.${index}.perYear_lbK2OPerAc`}
            measure="k2o"
            min={0.1}
            value={one.perYear_lbK2OPerAc}
            blank="no cap"
            onCommit={(cap) =>
              change(index, `${one.name}: ${shortNumber(cap)} lb K₂O a year`, { perYear_lbK2OPerAc: cap })
            }
            onBlank={() => change(index, `${one.name}: no cap a year`, { perYear_lbK2OPerAc: null })}
          />
          <NumberField
            label="Most a pass"
            setting={`rates.holding.${index}.perPass_lbK2OPerAc`}
            measure="k2o"
            min={0.1}
            value={one.perPass_lbK2OPerAc}
            blank="no cap"
            onCommit={(cap) =>
              change(index, `${one.name}: ${shortNumber(cap)} lb K₂O a pass`, { perPass_lbK2OPerAc: cap })
            }
            onBlank={() => change(index, `${one.name}: no cap a pass`, { perPass_lbK2OPerAc: null })}
          />
          <NumberField
            label="Most a year, irrigated"
            setting={`rates.holding.${index}.irrigatedPerYear_lbK2OPerAc`}
            measure="k2o"
            min={0.1}
            value={one.irrigatedPerYear_lbK2OPerAc ?? null}
            blank="as above"
            onCommit={(cap) =>
              change(index, `${one.name}, irrigated: ${shortNumber(cap)} lb K₂O a year`, {
                irrigatedPerYear_lbK2OPerAc: cap,
              })
            }
            onBlank={() =>
              change(index, `${one.name}, irrigated: as rain-fed`, { irrigatedPerYear_lbK2OPerAc: undefined })
            }
          />
          <NumberField
            label="Most a pass, irrigated"
            setting={`rates.holding.${index}.irrigatedPerPass_lbK2OPerAc`}
            measure="k2o"
            min={0.1}
            value={one.irrigatedPerPass_lbK2OPerAc ?? null}
            blank="as above"
            onCommit={(cap) =>
              change(index, `${one.name}, irrigated: ${shortNumber(cap)} lb K₂O a pass`, {
                irrigatedPerPass_lbK2OPerAc: cap,
              })
            }
            onBlank={() =>
              change(index, `${one.name}, irrigated: as rain-fed`, { irrigatedPerPass_lbK2OPerAc: undefined })
            }
          />
          <CheckField
            label="Counts as light"
            hint="K above the floor is no bank, and one pass stays in season"
            checked={one.light}
            onCommit={(light) => change(index, `${one.name} ground ${light ? 'is light' : 'is not light'}`, { light })}
          />
        </fieldset>
      ))}
    </Fold>
  );
}

type Pass = Plan['rates']['passes'][number];
const SECOND: Pass = {
  name: 'in season',
  inSeason: true,
  most_lbPerAc: 200,
  mostReason: '',
  placement: 'broadcast',
  row_in: 30,
};
const ASKS_REASON_LBPERAC = 500;

/** One pass or two; what exceeds the first goes to the second, or is reported undone. */
export function Passes({ plan }: { readonly plan: Plan }): ReactElement {
  const { passes } = plan.rates;
  const units = useView((view) => view.units);
  const change = (index: number, label: string, patch: Partial<Pass>): void =>
    editPart('rates', label, { passes: passes.map((one, i) => (i === index ? { ...one, ...patch } : one)) });
  return (
    <Fold name="passes" title="Passes" says={BASIS_WORDS.passes.says(passes, units)}>
      {passes.map((pass, index) => (
        <fieldset className="sub-fields" key={`${index === 0 ? 'first' : 'second'}`}>
          <legend>{index === 0 ? 'First pass' : 'Second pass'}</legend>
          <TextField
            label="Name"
            setting={`rates.passes.${index}.name`}
            value={pass.name}
            judge={(text) => (text.trim() === '' ? 'A pass needs a name.' : null)}
            onCommit={(name) => change(index, `pass ${name.trim()}`, { name: name.trim() })}
          />
          <NumberField
            label="Most of product"
            setting={`rates.passes.${index}.most_lbPerAc`}
            measure="rate"
            min={0.1}
            value={pass.most_lbPerAc}
            onCommit={(most) =>
              change(index, `${pass.name}: at most ${quantity(most, 'rate', units)}`, { most_lbPerAc: most })
            }
          />
          {pass.most_lbPerAc > ASKS_REASON_LBPERAC && (
            <TextField
              label={`Why more than ${quantity(ASKS_REASON_LBPERAC, 'rate', units)} in one pass`}
              setting={`rates.passes.${index}.mostReason`}
              wide
              value={pass.mostReason}
              onCommit={(text) => change(index, `${pass.name}: reason for its cap`, { mostReason: text.trim() })}
            />
          )}
          <SelectField
            label="Put on"
            setting={`rates.passes.${index}.placement`}
            value={pass.placement}
            options={(['broadcast', 'banded 2 x 2 in.', 'in furrow'] as const).map((value) => ({
              value,
              label: value.replace(' x ', ' × '),
            }))}
            onCommit={(placement) => change(index, `${pass.name}: ${placement}`, { placement })}
          />
          {pass.placement !== 'broadcast' && (
            <NumberField
              label="Row spacing"
              hint="what a row may get follows from it"
              setting={`rates.passes.${index}.row_in`}
              measure="depth"
              min={5}
              max={80}
              value={pass.row_in}
              onCommit={(row_in) => change(index, `${pass.name}: rows ${quantity(row_in, 'depth', units)}`, { row_in })}
            />
          )}
          <CheckField
            label="In season"
            checked={pass.inSeason}
            onCommit={(inSeason) => change(index, `${pass.name}: ${inSeason ? '' : 'not '}in season`, { inSeason })}
          />
        </fieldset>
      ))}
      <button
        type="button"
        className="btn s"
        onClick={() =>
          editPart('rates', passes.length > 1 ? 'one pass' : 'two passes', {
            passes: passes.length > 1 ? passes.slice(0, 1) : [...passes, SECOND],
          })
        }
      >
        {passes.length > 1 ? 'One pass only' : 'Add a second pass'}
      </button>
    </Fold>
  );
}

/** What the spreader can do. */
export function Machine({ plan }: { readonly plan: Plan }): ReactElement {
  const { machine } = plan.rates;
  const units = useView((view) => view.units);
  const rows = [
    ['least_lbPerAc', 'Least rate', 0],
    ['most_lbPerAc', 'Largest rate', 0.1],
    ['step_lbPerAc', 'Step', 0.01],
  ] as const;
  return (
    <Fold name="machine" title="Machine" says={BASIS_WORDS.machine.says(machine, units)}>
      {rows.map(([key, label, min]) => (
        <NumberField
          key={key}
          label={label}
          setting={`rates.machine.${key}`}
          measure="rate"
          min={min}
          value={machine[key]}
          onCommit={(value) =>
            editPart('rates', `${label.toLowerCase()} ${quantity(value, 'rate', units)}`, {
              machine: { ...machine, [key]: value },
            })
          }
        />
      ))}
      <NumberField
        label="Different rates the controller takes"
        hint="0 is not counted"
        setting="rates.machine.distinctRates"
        measure="whole"
        whole
        min={1}
        max={255}
        value={machine.distinctRates}
        blank="no limit"
        onCommit={(distinctRates) =>
          editPart('rates', `at most ${distinctRates} different rates`, { machine: { ...machine, distinctRates } })
        }
        onBlank={() => editPart('rates', 'any number of rates', { machine: { ...machine, distinctRates: null } })}
      />
    </Fold>
  );
}
