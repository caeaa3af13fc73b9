import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { HoldingClass } from '../../core/rates/settings.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { CheckField, NumberField, TextField } from '../ui/Fields.tsx';
import { quantity, shortNumber } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** What the soil holds a year and a pass, by its CEC. */
export function Holding({ plan }: { readonly plan: Plan }): ReactElement {
  const { holding } = plan.rates;
  const change = (index: number, label: string, patch: Partial<HoldingClass>): void =>
    editPart('rates', label, { holding: holding.map((one, i) => (i === index ? { ...one, ...patch } : one)) });
  return (
    <Section title="What the ground holds" aside="caps on K₂O, common practice, no source">
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
          <CheckField
            label="Counts as light"
            hint="K above the floor is no bank, and one pass stays in season"
            checked={one.light}
            onCommit={(light) => change(index, `${one.name} ground ${light ? 'is light' : 'is not light'}`, { light })}
          />
        </fieldset>
      ))}
    </Section>
  );
}

type Pass = Plan['rates']['passes'][number];
const SECOND: Pass = { name: 'in season', inSeason: true, most_lbPerAc: 200 };

/** One pass or two; what exceeds the first goes to the second, or is reported undone. */
export function Passes({ plan }: { readonly plan: Plan }): ReactElement {
  const { passes } = plan.rates;
  const units = useView((view) => view.units);
  const change = (index: number, label: string, patch: Partial<Pass>): void =>
    editPart('rates', label, { passes: passes.map((one, i) => (i === index ? { ...one, ...patch } : one)) });
  return (
    <Section title="Passes" aside="caps on product">
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
    </Section>
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
    <Section title="Machine">
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
    </Section>
  );
}
