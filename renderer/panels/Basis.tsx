import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { CROPS } from '../../core/rates/crops.ts';
import type { RatesOut } from '../../core/rates/types.ts';
import { editPart } from '../store/document.ts';
import { Choices, NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { counted, shortNumber } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { Holding, Machine, Passes } from './BasisCaps.tsx';
import { Credits } from './BasisCredits.tsx';
import { ResidueShare, Rotation, YieldLayer } from './BasisCrops.tsx';
import { Fold } from './BasisFold.tsx';
import { NamedBasis } from './BasisNamed.tsx';
import { Money, ProductFields } from './BasisProduct.tsx';
import { Response } from './BasisResponse.tsx';
import { Blend, Second } from './BasisSecond.tsx';
import { LandYears } from './Compare.tsx';
import { FollowsNote } from './Guides.tsx';
import { GOVERNS } from './Intake.tsx';
import { ProblemList } from './Problems.tsx';

/** Problems that stand in the tabs Budget and Compare. */
const TOLD_ELSEWHERE = /^rates-(budget|spending)/;

/** The set of choices that every rate rests on. Each can be changed; everything follows. */
export function Basis({ plan, rates }: { readonly plan: Plan; readonly rates: RatesOut | null }): ReactElement {
  return (
    <>
      <NamedBasis plan={plan} />
      {rates && <ProblemList problems={rates.problems.filter(({ code }) => !TOLD_ELSEWHERE.test(code))} />}
      <Governs plan={plan} />
      <div className="folds">
        <CropFields plan={plan} />
        <Rotation plan={plan} />
        <Floors plan={plan} />
        <Credits plan={plan} />
        <Holding plan={plan} />
        <Passes plan={plan} />
        <ProductFields plan={plan} />
        <Blend plan={plan} />
        <Second plan={plan} />
        <Machine plan={plan} />
        <Money plan={plan} />
        <Response plan={plan} />
        <Fold name="land" title="Years on this land" says={counted(plan.rates.land_years, 'year')}>
          <LandYears plan={plan} />
        </Fold>
      </div>
    </>
  );
}

function Governs({ plan }: { readonly plan: Plan }): ReactElement {
  const { governs, governsTold, calcareousReason, buildUp_years, reading, follows } = plan.rates;
  return (
    <>
      <FollowsNote
        follows={follows}
        says="what governs and the build-up below are worked and shown, and set nothing."
      />
      <Choices
        legend="Which target governs the build-up?"
        setting="rates.governs"
        value={governs}
        options={GOVERNS}
        onCommit={(chosen) => editPart('rates', `governs: ${chosen}`, { governs: chosen, governsTold: true })}
      />
      {!governsTold && (
        <Note severity="caution">
          Nobody said which target governs, so the larger was taken.{' '}
          <button
            type="button"
            className="btn s"
            onClick={() => editPart('rates', 'governs: the larger, as told', { governsTold: true })}
          >
            The larger is right
          </button>
        </Note>
      )}
      <Section title="Build-up">
        <NumberField
          label="Years to the target"
          hint="1 is all up front"
          setting="rates.buildUp_years"
          measure="whole"
          whole
          min={1}
          max={20}
          value={buildUp_years}
          onCommit={(years) => editPart('rates', `build-up over ${years} years`, { buildUp_years: years })}
        />
        <SelectField
          label="A zone’s reading is its"
          setting="rates.reading"
          value={reading}
          options={(['mean', 'median', '20th percentile'] as const).map((value) => ({ value, label: value }))}
          onCommit={(chosen) => editPart('rates', `reading: ${chosen}`, { reading: chosen })}
        />
        <TextField
          label="Reason to let saturation govern on calcareous ground"
          hint="CEC is overstated there; without a reason it cannot govern"
          setting="rates.calcareousReason"
          wide
          value={calcareousReason}
          onCommit={(text) => editPart('rates', 'reason for calcareous ground', { calcareousReason: text.trim() })}
        />
      </Section>
    </>
  );
}

function CropFields({ plan }: { readonly plan: Plan }): ReactElement {
  const { rates } = plan;
  const crop = CROPS.find((one) => one.id === rates.crop) ?? null;
  const unit = crop?.yieldUnit ?? 'bu/ac';
  const each = unit.split('/')[0] ?? 'bu';
  return (
    <Fold
      name="crop"
      title="Crop"
      says={
        crop === null
          ? 'not told yet'
          : `${crop.name.toLowerCase()}, ${rates.yieldLayer ? 'yield goals from a layer' : rates.yieldGoal === null ? 'yield goal not told' : `${shortNumber(rates.yieldGoal)} ${unit}`}`
      }
    >
      <SelectField
        label="Crop"
        setting="rates.crop"
        value={rates.crop ?? ''}
        options={[{ value: '', label: 'not told yet' }, ...CROPS.map(({ id, name }) => ({ value: id, label: name }))]}
        onCommit={(id) =>
          editPart('rates', id === '' ? 'no crop' : `crop ${CROPS.find((one) => one.id === id)?.name.toLowerCase()}`, {
            crop: id === '' ? null : id,
            removal_lbK2OPerUnit: null,
            uptake_lbK2OPerUnit: null,
          })
        }
      />
      <NumberField
        label="Yield goal"
        setting="rates.yieldGoal"
        measure="plain"
        unit={unit}
        min={0.1}
        value={rates.yieldGoal}
        blank="not told"
        onCommit={(yieldGoal) => editPart('rates', `yield goal ${shortNumber(yieldGoal)}`, { yieldGoal })}
        onBlank={() => editPart('rates', 'no yield goal', { yieldGoal: null })}
      />
      <SelectField
        label="What leaves the field"
        setting="rates.harvest"
        value={rates.harvest}
        options={[
          { value: 'grain', label: crop?.harvested ?? 'grain' },
          { value: 'grain and residue', label: `${crop?.harvested ?? 'grain'} and residue` },
        ]}
        onCommit={(harvest) => editPart('rates', `harvest: ${harvest}`, { harvest })}
      />
      {rates.harvest === 'grain and residue' && (
        <ResidueShare
          setting="rates.residueShare_pct"
          value={rates.residueShare_pct}
          onCommit={(share) =>
            editPart('rates', `${shortNumber(share)} % of the residue leaves`, { residueShare_pct: share })
          }
        />
      )}
      <YieldLayer plan={plan} />
      <NumberField
        label="Removal"
        hint={crop ? `${shortNumber(crop.removal.value)}: ${crop.removal.source}` : undefined}
        setting="rates.removal_lbK2OPerUnit"
        measure="plain"
        unit={`lb K₂O/${each}`}
        min={0}
        value={rates.removal_lbK2OPerUnit}
        blank={crop ? shortNumber(crop.removal.value) : ''}
        onCommit={(value) => editPart('rates', `removal ${shortNumber(value)}`, { removal_lbK2OPerUnit: value })}
        onBlank={() => editPart('rates', 'removal as listed', { removal_lbK2OPerUnit: null })}
      />
      <NumberField
        label="Uptake"
        hint={
          crop?.uptake
            ? `${shortNumber(crop.uptake.value)}: ${crop.uptake.source}`
            : crop
              ? 'no residue figure: no uptake is used'
              : undefined
        }
        setting="rates.uptake_lbK2OPerUnit"
        measure="plain"
        unit={`lb K₂O/${each}`}
        min={0}
        value={rates.uptake_lbK2OPerUnit}
        blank={crop?.uptake ? shortNumber(crop.uptake.value) : 'none'}
        onCommit={(value) => editPart('rates', `uptake ${shortNumber(value)}`, { uptake_lbK2OPerUnit: value })}
        onBlank={() => editPart('rates', 'uptake as listed', { uptake_lbK2OPerUnit: null })}
      />
      {crop && crop.choice !== '' && <p className="small ink3">{crop.choice}</p>}
    </Fold>
  );
}

const FLOORS = [
  { key: 'floor_ppm', label: 'Floor by ppm', measure: 'ppm', most: undefined, says: 'floor' },
  { key: 'floor_pct', label: 'Floor by saturation', measure: 'percent', most: 50, says: 'saturation floor' },
  { key: 'rangeTop_pct', label: 'Top of the range', measure: 'percent', most: 60, says: 'top of the range' },
  { key: 'zeroAt_pct', label: 'Crop line down to 0 at', measure: 'percent', most: 80, says: 'crop line to 0 at' },
  { key: 'note_pct', label: 'Note from', measure: 'percent', most: 100, says: 'note from' },
  { key: 'caution_pct', label: 'Caution from', measure: 'percent', most: 100, says: 'caution from' },
  { key: 'strong_pct', label: 'Strong caution from', measure: 'percent', most: 100, says: 'strong caution from' },
] as const;

function Floors({ plan }: { readonly plan: Plan }): ReactElement {
  const { floor_ppm, floor_pct, rangeTop_pct } = plan.rates;
  return (
    <Fold
      name="floors"
      title="Floors and range"
      says={`${shortNumber(floor_ppm)} ppm, ${shortNumber(floor_pct)} to ${shortNumber(rangeTop_pct)} %`}
    >
      <p className="small ink3">150 ppm and 4 to 8 %: common practice, no source.</p>
      {FLOORS.map(({ key, label, measure, most, says }) => (
        <NumberField
          key={key}
          label={label}
          setting={`rates.${key}`}
          measure={measure}
          min={0.1}
          {...(most === undefined ? {} : { max: most })}
          value={plan.rates[key]}
          onCommit={(value) => editPart('rates', `${says} ${shortNumber(value)}`, { [key]: value })}
        />
      ))}
    </Fold>
  );
}
