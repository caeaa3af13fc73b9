import type { ReactElement, ReactNode } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { supplyFactor } from '../../core/soil/chemistry.ts';
import { EXTRACTANTS } from '../../core/soil/settings.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { number, quantity } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { Conversion } from './Conversion.tsx';

const EXTRACTANT_OPTIONS = EXTRACTANTS.map((value) => ({
  value,
  label: value === 'field-moist' ? 'field-moist K, never dried' : value,
}));

const CONVENTIONS = [
  { value: 'x2 per 6 in.', label: '× 2.00, “×2 per 6 in.”' },
  { value: 'furrow slice', label: 'furrow slice, 6.667 in.' },
  { value: 'bulk density', label: 'bulk density' },
] as const;

/** What the lab and the sampler did: depth, extraction, how ppm becomes pounds, where CEC and saturation come from, limits. */
export function AboutTest({ plan }: { readonly plan: Plan }): ReactElement {
  return (
    <>
      <div className="two-columns far soil-pair">
        <div>
          <Sample plan={plan} />
          <Extraction plan={plan} />
        </div>
        <div>
          <Chemistry plan={plan} />
          <Limits plan={plan} />
        </div>
      </div>
      <Places plan={plan} />
    </>
  );
}

function Sample({ plan }: { readonly plan: Plan }): ReactElement {
  const { soil } = plan;
  const units = useView((view) => view.units);
  const factor = supplyFactor(soil.depth_in, soil);
  const has = (is: string): boolean => soil.sampleColumns.some((use) => use.is === is);
  const byVolume = soil.sampleColumns.some((use) => use.unit === 'mg/L');
  return (
    <Section title="Depth and pounds">
      <NumberField
        label="Depth sampled"
        hint={has('depth') ? 'where the depth column is blank' : undefined}
        setting="soil.depth_in"
        measure="depth"
        min={0.5}
        max={48}
        value={soil.depth_in}
        onCommit={(depth_in) => editPart('soil', `depth ${quantity(depth_in, 'depth', units)}`, { depth_in })}
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
          label="Bulk density in the field"
          setting="soil.bulkDensity_gPerCm3"
          measure="plain"
          unit="g/cm³"
          min={0.1}
          max={2.2}
          value={soil.bulkDensity_gPerCm3}
          onCommit={(value) => editPart('soil', `bulk density ${value}`, { bulkDensity_gPerCm3: value })}
        />
      )}
      {(byVolume || soil.scooped_gPerCm3 !== null) && (
        <NumberField
          label="Density of the scooped soil"
          hint={
            has('density')
              ? 'where the density column is blank; turns mg/L into ppm'
              : 'of the dried, ground soil that the lab scoops; turns mg/L into ppm'
          }
          setting="soil.scooped_gPerCm3"
          measure="plain"
          unit="g/cm³"
          min={0.3}
          max={2}
          value={soil.scooped_gPerCm3}
          blank="not told"
          onCommit={(value) => editPart('soil', `scooped density ${value} g/cm³`, { scooped_gPerCm3: value })}
          onBlank={() => editPart('soil', 'no scooped density', { scooped_gPerCm3: null })}
        />
      )}
    </Section>
  );
}

function Extraction({ plan }: { readonly plan: Plan }): ReactElement {
  const { soil } = plan;
  return (
    <Section title="Extraction">
      <SelectField
        label="The lab extracts K by"
        setting="soil.extractant"
        value={soil.extractant}
        options={EXTRACTANT_OPTIONS}
        onCommit={(extractant) => editPart('soil', `extractant ${extractant}`, { extractant })}
      />
      <Conversion soil={soil} />
    </Section>
  );
}

const FORMS = [
  { value: '12 x (7 - buffer pH)', label: '12 × (7 − buffer pH)' },
  { value: '8 x (8 - buffer pH)', label: '8 × (8 − buffer pH)' },
  { value: 'factor x (start - buffer pH)', label: 'a factor and start of your own' },
  { value: 'no acidity', label: 'none counted' },
] as const;

/** CEC, acidity, factors and saturation. */
function Chemistry({ plan }: { readonly plan: Plan }): ReactElement {
  const { soil } = plan;
  const { acidity } = soil;
  return (
    <Section title="CEC and saturation">
      <SelectField
        label="CEC"
        setting="soil.cec"
        value={soil.cec}
        options={[
          { value: 'lab, else summation', label: 'the lab’s, else by summation' },
          { value: 'summation', label: 'always by summation' },
        ]}
        onCommit={(cec) => editPart('soil', `CEC: ${cec}`, { cec })}
      />
      <SelectField
        label="Acidity H is"
        hint="the lab’s own buffer decides the form"
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
        <Pair>
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
        </Pair>
      )}
      {acidity.form !== 'no acidity' && (
        <NumberField
          label="None from soil pH"
          hint="whatever the buffer says"
          setting="soil.noAcidityFrom_ph"
          measure="ph"
          min={5}
          max={9}
          value={soil.noAcidityFrom_ph}
          blank="no limit"
          onCommit={(ph) => editPart('soil', `no acidity from pH ${ph}`, { noAcidityFrom_ph: ph })}
          onBlank={() => editPart('soil', 'acidity at every pH', { noAcidityFrom_ph: null })}
        />
      )}
      <SelectField
        label="Saturation"
        setting="soil.saturation"
        value={soil.saturation}
        options={[
          { value: 'worked out', label: 'always worked out' },
          { value: 'lab, else worked out', label: 'the lab’s, else worked out' },
        ]}
        onCommit={(saturation) => editPart('soil', `saturation: ${saturation}`, { saturation })}
      />
      <NumberField
        label="A difference is listed from"
        hint="the lab’s saturation against the one worked out"
        setting="soil.tolerance_pct"
        measure="percent"
        min={0.05}
        max={20}
        value={soil.tolerance_pct}
        onCommit={(value) => editPart('soil', `differences from ${value} %`, { tolerance_pct: value })}
      />
      <SelectField
        label="meq to ppm"
        setting="soil.factors"
        value={soil.factors}
        options={[
          { value: 'exact', label: 'exact, from atomic weights' },
          { value: 'rounded', label: '390, 200, 120, 230, as labs round' },
        ]}
        onCommit={(factors) => editPart('soil', `${factors} factors`, { factors })}
      />
    </Section>
  );
}

/** What stands for values that the lab tells only as below, above, or not seen. */
function Limits({ plan }: { readonly plan: Plan }): ReactElement {
  const { soil } = plan;
  return (
    <Section title="Values told as limits">
      <SelectField
        label="“<20”"
        setting="soil.belowLimit"
        value={soil.belowLimit}
        options={[
          { value: 'half the limit', label: 'counts as half the limit' },
          { value: 'the limit', label: 'counts as the limit' },
          { value: 'set aside', label: 'is set aside' },
        ]}
        onCommit={(belowLimit) => editPart('soil', `below the limit: ${belowLimit}`, { belowLimit })}
      />
      <SelectField
        label="“>999”"
        setting="soil.aboveLimit"
        value={soil.aboveLimit}
        options={[
          { value: 'the limit', label: 'counts as the limit' },
          { value: 'set aside', label: 'is set aside' },
        ]}
        onCommit={(aboveLimit) => editPart('soil', `above the limit: ${aboveLimit}`, { aboveLimit })}
      />
      <SelectField
        label="“n.d.”, “trace”"
        setting="soil.notDetected"
        value={soil.notDetected}
        options={[
          { value: 'not measured', label: 'counts as not measured' },
          { value: 'zero', label: 'counts as 0' },
          { value: 'set aside', label: 'is set aside' },
        ]}
        onCommit={(notDetected) => editPart('soil', `not detected: ${notDetected}`, { notDetected })}
      />
    </Section>
  );
}

const Places = ({ plan }: { readonly plan: Plan }): ReactElement => (
  <Section title="Coordinate system" aside="only where a file names none">
    <TextField
      label="EPSG code, or the text of a .prj"
      setting="soil.crs"
      blank="as the files say"
      wide
      value={plan.soil.crs ?? ''}
      onCommit={(text) => {
        const crs = text.trim() === '' ? null : text.trim();
        editPart('soil', crs === null ? 'coordinates as the files say' : `coordinates in ${crs}`, { crs });
      }}
    />
  </Section>
);

const Pair = ({ children }: { readonly children: ReactNode }): ReactElement => (
  <div className="two-columns">{children}</div>
);
