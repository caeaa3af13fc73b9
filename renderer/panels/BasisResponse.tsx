import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { ResponseCurve } from '../../core/rates/settings.ts';
import { editPart } from '../store/document.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { shortNumber } from '../ui/format.ts';
import { Fold } from './BasisFold.tsx';

const MODELS = ['linear plateau', 'quadratic plateau', 'Mitscherlich'] as const;

/**
 * Relative yield against soil-test K as somebody published it, or measured it here. None comes with the program: the
 * critical level depends on region, crop and the model fitted, so that a figure of ours would be made up.
 */
export function Response({ plan }: { readonly plan: Plan }): ReactElement {
  const { response } = plan.rates;
  const set = (label: string, next: ResponseCurve | null): void => editPart('rates', label, { response: next });
  if (!response)
    return (
      <Fold name="response" title="Response of the crop" says="none entered">
        <p className="ink2 small">
          With a curve of relative yield against soil-test K, from a bulletin or from trials of your own, the plan can
          say what a rate may return and share a budget by the next dollar.
        </p>
        <div className="hand-acts">
          <button
            type="button"
            className="btn s"
            data-setting="rates.response"
            onClick={() =>
              set('a response curve', {
                model: 'linear plateau',
                atZero_pct: 60,
                reachedLow_ppm: plan.rates.floor_ppm,
                reachedHigh_ppm: plan.rates.floor_ppm,
                source: 'typed in the plan, source still to be named',
              })
            }
          >
            Enter a curve
          </button>
        </div>
      </Fold>
    );
  return (
    <Fold
      name="response"
      title="Response of the crop"
      says={`${response.model}, from ${shortNumber(response.atZero_pct)} %`}
    >
      <p className="small ink3">Relative yield against soil-test K.</p>
      <SelectField
        label="Shape"
        setting="rates.response.model"
        value={response.model}
        options={MODELS.map((value) => ({ value, label: value }))}
        onCommit={(model) => set(`response: ${model}`, { ...response, model })}
      />
      <NumberField
        label="Relative yield without K"
        setting="rates.response.atZero_pct"
        measure="percent"
        min={0}
        max={99}
        value={response.atZero_pct}
        onCommit={(atZero_pct) => set(`response from ${shortNumber(atZero_pct)} %`, { ...response, atZero_pct })}
      />
      <div className="two-columns">
        <NumberField
          label={response.model === 'Mitscherlich' ? '95 % reached from' : 'Plateau from'}
          setting="rates.response.reachedLow_ppm"
          measure="ppm"
          min={1}
          max={response.reachedHigh_ppm}
          value={response.reachedLow_ppm}
          onCommit={(reachedLow_ppm) =>
            set(`response reached from ${shortNumber(reachedLow_ppm)} ppm`, { ...response, reachedLow_ppm })
          }
        />
        <NumberField
          label="to"
          hint="the doubt in it"
          setting="rates.response.reachedHigh_ppm"
          measure="ppm"
          min={response.reachedLow_ppm}
          value={response.reachedHigh_ppm}
          onCommit={(reachedHigh_ppm) =>
            set(`response reached to ${shortNumber(reachedHigh_ppm)} ppm`, { ...response, reachedHigh_ppm })
          }
        />
      </div>
      <TextField
        label="Source"
        setting="rates.response.source"
        wide
        value={response.source}
        judge={(text) => (text.trim() === '' ? 'A response curve names its source.' : null)}
        onCommit={(source) => set('source of the response', { ...response, source: source.trim() })}
      />
      <div className="hand-acts">
        <button type="button" className="btn s" onClick={() => set('no response curve', null)}>
          Take the curve out
        </button>
      </div>
    </Fold>
  );
}
