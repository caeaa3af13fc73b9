import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { Credit } from '../../core/rates/settings.ts';
import { editPart } from '../store/document.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { shortNumber } from '../ui/format.ts';
import { Fold } from './BasisFold.tsx';
import { WherePicker } from './WherePicker.tsx';

/** A credit as it begins; every figure in it is then asked for. */
const STARTS = {
  manure: {
    kind: 'manure',
    name: 'Manure',
    rate_perAc: 0,
    rateUnit: 'ton',
    k2o_lbPerUnit: 0,
    analysis: '',
    availability_pct: 90,
    method: 'broadcast',
    on: '',
    afterSample: 'by date',
    where: null,
  },
  'irrigation water': { kind: 'irrigation water', name: 'Irrigation water', water_in: 0, k_mgPerL: 0, where: null },
  fertilizer: {
    kind: 'fertilizer',
    name: 'Other fertilizer',
    k2o_lbPerAc: 0,
    on: '',
    afterSample: 'by date',
    where: null,
  },
} as const satisfies Record<Credit['kind'], Credit>;

const KINDS = [
  ['manure', 'Add manure'],
  ['irrigation water', 'Add irrigation water'],
  ['fertilizer', 'Add other fertilizer, or a last application'],
] as const;

/** K that the ground gets from elsewhere. Only what came after the soil sample counts: the test has seen the rest. */
export function Credits({ plan }: { readonly plan: Plan }): ReactElement {
  const { credits } = plan.rates;
  const set = (label: string, next: readonly Credit[]): void => editPart('rates', label, { credits: [...next] });
  const replace = (index: number, label: string, next: Credit): void =>
    set(
      label,
      credits.map((one, i) => (i === index ? next : one)),
    );
  return (
    <Fold
      name="credits"
      title="Credits"
      says={credits.length === 0 ? 'none' : credits.map(({ name }) => name).join(', ')}
    >
      <p className="small ink3">Only what came after the sample counts: the test has seen the rest.</p>
      {credits.map((credit, index) => (
        // Two credits may be alike in every word: their place tells them apart.
        // biome-ignore lint/suspicious/noArrayIndexKey: see above
        <fieldset className="sub-fields" key={index}>
          <legend>{credit.name}</legend>
          <TextField
            label="Name"
            setting={`rates.credits.${index}.name`}
            value={credit.name}
            judge={(text) => (text.trim() === '' ? 'A credit needs a name.' : null)}
            onCommit={(name) => replace(index, `credit ${name.trim()}`, { ...credit, name: name.trim() })}
          />
          {credit.kind === 'manure' && (
            <Manure credit={credit} index={index} change={(label, next) => replace(index, label, next)} />
          )}
          {credit.kind === 'irrigation water' && (
            <div className="two-columns">
              <NumberField
                label="Water in the season"
                setting={`rates.credits.${index}.water_in`}
                measure="depth"
                min={0}
                value={credit.water_in}
                onCommit={(water_in) =>
                  replace(index, `${credit.name}: ${shortNumber(water_in)} in`, { ...credit, water_in })
                }
              />
              <NumberField
                label="K in the water"
                setting={`rates.credits.${index}.k_mgPerL`}
                measure="plain"
                unit="mg/L"
                min={0}
                value={credit.k_mgPerL}
                onCommit={(k_mgPerL) =>
                  replace(index, `${credit.name}: ${shortNumber(k_mgPerL)} mg/L of K`, { ...credit, k_mgPerL })
                }
              />
            </div>
          )}
          {credit.kind === 'fertilizer' && (
            <NumberField
              label="K₂O it gave"
              setting={`rates.credits.${index}.k2o_lbPerAc`}
              measure="k2o"
              min={0}
              value={credit.k2o_lbPerAc}
              onCommit={(k2o_lbPerAc) =>
                replace(index, `${credit.name}: ${shortNumber(k2o_lbPerAc)} lb K₂O/ac`, { ...credit, k2o_lbPerAc })
              }
            />
          )}
          {credit.kind !== 'irrigation water' && (
            <Since credit={credit} index={index} change={(label, next) => replace(index, label, next)} />
          )}
          <WherePicker
            plan={plan}
            setting={`rates.credits.${index}.where`}
            value={credit.where}
            onCommit={(where) => replace(index, `${credit.name}: where it counts`, { ...credit, where })}
          />
          <div className="hand-acts">
            <button
              type="button"
              className="btn s"
              onClick={() =>
                set(
                  `no credit for ${credit.name}`,
                  credits.filter((_, i) => i !== index),
                )
              }
            >
              Take {credit.name} out
            </button>
          </div>
        </fieldset>
      ))}
      <div className="hand-acts">
        {KINDS.map(([kind, label], index) => (
          <button
            type="button"
            className="btn s"
            key={kind}
            data-setting={index === 0 ? 'rates.credits' : undefined}
            onClick={() => set(`a credit for ${kind}`, [...credits, STARTS[kind]])}
          >
            {label}
          </button>
        ))}
      </div>
    </Fold>
  );
}

type ManureCredit = Extract<Credit, { kind: 'manure' }>;

function Manure({
  credit,
  index,
  change,
}: {
  readonly credit: ManureCredit;
  readonly index: number;
  readonly change: (label: string, next: Credit) => void;
}): ReactElement {
  const at = `rates.credits.${index}`;
  return (
    <>
      <div className="two-columns">
        <NumberField
          label="Rate"
          setting={`${at}.rate_perAc`}
          measure="plain"
          unit={credit.rateUnit === 'ton' ? 'tons/ac' : '1,000 gal/ac'}
          min={0}
          value={credit.rate_perAc}
          onCommit={(rate_perAc) =>
            change(`${credit.name}: ${shortNumber(rate_perAc)} an acre`, { ...credit, rate_perAc })
          }
        />
        <SelectField
          label="In"
          setting={`${at}.rateUnit`}
          value={credit.rateUnit}
          options={[
            { value: 'ton', label: 'tons' },
            { value: '1,000 gal', label: '1,000 gallons' },
          ]}
          onCommit={(rateUnit) => change(`${credit.name} in ${rateUnit}`, { ...credit, rateUnit })}
        />
        <NumberField
          label="K₂O in it"
          setting={`${at}.k2o_lbPerUnit`}
          measure="plain"
          unit={credit.rateUnit === 'ton' ? 'lb/ton' : 'lb/1,000 gal'}
          min={0}
          value={credit.k2o_lbPerUnit}
          onCommit={(k2o_lbPerUnit) =>
            change(`${credit.name}: ${shortNumber(k2o_lbPerUnit)} lb K₂O a ${credit.rateUnit}`, {
              ...credit,
              k2o_lbPerUnit,
            })
          }
        />
        <NumberField
          label="Available this year"
          setting={`${at}.availability_pct`}
          measure="percent"
          min={0}
          max={100}
          value={credit.availability_pct}
          onCommit={(availability_pct) =>
            change(`${credit.name}: ${shortNumber(availability_pct)} % available`, { ...credit, availability_pct })
          }
        />
      </div>
      <TextField
        label="Where the analysis comes from"
        hint="a lab’s report, or the table it was taken from"
        setting={`${at}.analysis`}
        wide
        value={credit.analysis}
        onCommit={(analysis) => change(`${credit.name}: analysis`, { ...credit, analysis: analysis.trim() })}
      />
      <SelectField
        label="Put on by"
        setting={`${at}.method`}
        value={credit.method}
        options={(['broadcast', 'incorporated', 'injected', 'grazing'] as const).map((value) => ({
          value,
          label: value,
        }))}
        onCommit={(method) => change(`${credit.name} ${method}`, { ...credit, method })}
      />
    </>
  );
}

type DatedCredit = Exclude<Credit, { kind: 'irrigation water' }>;

function Since({
  credit,
  index,
  change,
}: {
  readonly credit: DatedCredit;
  readonly index: number;
  readonly change: (label: string, next: Credit) => void;
}): ReactElement {
  return (
    <div className="two-columns">
      <TextField
        label="Day it was put on"
        setting={`rates.credits.${index}.on`}
        blank="2026-11-25"
        value={credit.on}
        judge={(text) =>
          /^(\d{4}-\d{2}-\d{2})?$/.test(text.trim()) ? null : 'A day is written as 2026-11-25, or left empty.'
        }
        onCommit={(on) =>
          change(`${credit.name} on ${on.trim() === '' ? 'no day' : on.trim()}`, { ...credit, on: on.trim() })
        }
      />
      <SelectField
        label="After the sample"
        setting={`rates.credits.${index}.afterSample`}
        value={credit.afterSample}
        options={[
          { value: 'by date', label: 'by the two days' },
          { value: 'yes', label: 'yes, it counts' },
          { value: 'no', label: 'no, the test has seen it' },
        ]}
        onCommit={(afterSample) =>
          change(`${credit.name} after the sample: ${afterSample}`, { ...credit, afterSample })
        }
      />
    </div>
  );
}
