import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { supplyFactor } from '../../core/soil/chemistry.ts';
import type { SoilSettings } from '../../core/soil/settings.ts';
import type { SoilOut } from '../../core/soil/types.ts';
import { editPart, useDocument } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { counted, number, quantity, readable } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

const EXTRACTANTS = ['Mehlich-3', 'ammonium acetate', 'other', 'not told'].map((value) => ({ value, label: value }));

const CONVENTIONS = [
  { value: 'x2 per 6 in.', label: '× 2.00, “×2 per 6 in.”' },
  { value: 'furrow slice', label: 'furrow slice, 6.667 in.' },
  { value: 'bulk density', label: 'bulk density' },
] as const;

/** Depth, extractant and how ppm becomes pounds. */
export function AboutTest({ plan }: { readonly plan: Plan }): ReactElement {
  const { soil } = plan;
  const units = useView((view) => view.units);
  const factor = supplyFactor(soil.depth_in, soil);
  const telling = soil.sampleColumns.some((use) => use.is === 'depth');
  return (
    <Section title="About this test">
      <NumberField
        label="Depth"
        hint={telling ? 'where the depth column is blank' : undefined}
        setting="soil.depth_in"
        measure="depth"
        min={0.5}
        max={48}
        value={soil.depth_in}
        onCommit={(depth_in) => editPart('soil', `depth ${quantity(depth_in, 'depth', units)}`, { depth_in })}
      />
      <SelectField
        label="K extractant"
        setting="soil.extractant"
        value={soil.extractant}
        options={EXTRACTANTS as readonly { value: SoilSettings['extractant']; label: string }[]}
        onCommit={(extractant) => editPart('soil', `extractant ${extractant}`, { extractant })}
      />
      <SelectField
        label="ppm to lb/ac"
        hint={`× ${number(factor, 2)} at ${quantity(soil.depth_in, 'depth', units)}`}
        setting="soil.convention"
        value={soil.convention}
        options={CONVENTIONS}
        onCommit={(convention) => editPart('soil', `pounds by ${convention}`, { convention })}
      />
      {soil.convention === 'bulk density' && (
        <NumberField
          label="Bulk density"
          setting="soil.bulkDensity_gPerCm3"
          measure="plain"
          unit="g/cm³"
          min={0.1}
          max={2.2}
          value={soil.bulkDensity_gPerCm3}
          onCommit={(value) => editPart('soil', `bulk density ${value}`, { bulkDensity_gPerCm3: value })}
        />
      )}
    </Section>
  );
}

const FORMS = [
  { value: '12 x (7 - buffer pH)', label: 'H = 12 × (7 − buffer pH)' },
  { value: '8 x (8 - buffer pH)', label: 'H = 8 × (8 − buffer pH)' },
  { value: 'factor x (start - buffer pH)', label: 'a factor and start of your own' },
  { value: 'no acidity', label: 'none counted' },
] as const;

/** CEC, acidity, factors and values below the limit: what the saturation rests on. */
export function Chemistry({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut | null }): ReactElement {
  const settings = plan.soil;
  const { acidity } = settings;
  const guesses = useDocument((state) => state.guesses);
  return (
    <>
      <Section title="CEC and saturation">
        <SelectField
          label="CEC"
          setting="soil.cec"
          value={settings.cec}
          options={[
            { value: 'lab, else summation', label: 'the lab’s, else by summation' },
            { value: 'summation', label: 'always by summation' },
          ]}
          onCommit={(cec) => editPart('soil', `CEC: ${cec}`, { cec })}
        />
        <SelectField
          label="Acidity from the buffer pH"
          hint="belongs to the lab’s own buffer; never interchangeable"
          setting="soil.acidity"
          value={acidity.form}
          options={FORMS}
          onCommit={(form) =>
            editPart('soil', `acidity ${form}`, {
              acidity: form === 'factor x (start - buffer pH)' ? { form, factor: 12, start: 7 } : { form },
            })
          }
        />
        {acidity.form === 'factor x (start - buffer pH)' && (
          <div className="two-columns">
            <NumberField
              label="Factor"
              measure="plain"
              min={0.1}
              value={acidity.factor}
              onCommit={(factor) => editPart('soil', `acidity factor ${factor}`, { acidity: { ...acidity, factor } })}
            />
            <NumberField
              label="Start, pH"
              measure="ph"
              min={5}
              max={9}
              value={acidity.start}
              onCommit={(start) => editPart('soil', `acidity from pH ${start}`, { acidity: { ...acidity, start } })}
            />
          </div>
        )}
        <SelectField
          label="meq to ppm"
          setting="soil.factors"
          value={settings.factors}
          options={[
            { value: 'exact', label: 'exact, from atomic weights' },
            { value: 'rounded', label: '390, 200, 120, 230, as labs round' },
          ]}
          onCommit={(factors) => editPart('soil', `${factors} factors`, { factors })}
        />
        <SelectField
          label="A value told only as “<”"
          setting="soil.belowLimit"
          value={settings.belowLimit}
          options={[
            { value: 'half the limit', label: 'counts as half the limit' },
            { value: 'the limit', label: 'counts as the limit' },
            { value: 'set aside', label: 'is set aside' },
          ]}
          onCommit={(belowLimit) => editPart('soil', `below the limit: ${belowLimit}`, { belowLimit })}
        />
        <TextField
          label="Coordinates, where no file names their system"
          setting="soil.crs"
          blank="as the files say"
          value={settings.crs ?? ''}
          onCommit={(text) => {
            const crs = text.trim() === '' ? null : text.trim();
            editPart('soil', crs === null ? 'coordinates as the files say' : `coordinates in ${crs}`, { crs });
          }}
        />
      </Section>
      {guesses.length > 0 && (
        <Section title="Guessed when the files came in" aside={counted(guesses.length, 'guess', 'guesses')}>
          <ul className="small ink2 sentences">
            {guesses.map((sentence) => (
              <li key={sentence}>{readable(sentence)}</li>
            ))}
          </ul>
        </Section>
      )}
      {soil && soil.reading.length > 0 && (
        <Section title="As read">
          <ul className="small ink2 sentences">
            {soil.reading.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </Section>
      )}
    </>
  );
}
