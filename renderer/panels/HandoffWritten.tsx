import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { CheckField, NumberField, SelectField, TextField } from '../ui/Fields.tsx';
import { quantity, shortNumber } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { HandoffCells } from './HandoffCells.tsx';

type Handoff = Plan['handoff'];
const set = (label: string, patch: Partial<Handoff>): void => editPart('handoff', label, patch);

/** How the files are written: what a record is, what stands in the columns, which files, and what the machine takes. */
export function HandoffWritten({ plan }: { readonly plan: Plan }): ReactElement {
  return (
    <>
      <Records plan={plan} />
      <Columns plan={plan} />
      <NoRate plan={plan} />
      <WhichFiles plan={plan} />
      <Machine plan={plan} />
      <Page plan={plan} />
    </>
  );
}

function Records({ plan: { handoff }, plan }: { readonly plan: Plan }): ReactElement {
  return (
    <Section title="Records">
      <SelectField
        label="A record is"
        setting="handoff.shape"
        value={handoff.shape}
        options={[
          { value: 'zones', label: 'a zone as it lies' },
          { value: 'cells', label: 'a cell along the way' },
        ]}
        onCommit={(shape) => set(shape === 'zones' ? 'write zones' : 'write cells along the way', { shape })}
      />
      {handoff.shape === 'cells' ? (
        <HandoffCells plan={plan} />
      ) : (
        <SelectField
          label="A zone of several parts"
          setting="handoff.parts"
          value={handoff.parts}
          options={[
            { value: 'apart', label: 'a record each' },
            { value: 'together', label: 'one record of many parts' },
          ]}
          onCommit={(parts) => set(parts === 'apart' ? 'a record a part' : 'one record a zone', { parts })}
        />
      )}
    </Section>
  );
}

function Columns({ plan: { handoff, rates } }: { readonly plan: Plan }): ReactElement {
  return (
    <Section title="Rates">
      <SelectField
        label="Unit of the rate"
        setting="handoff.rateUnit"
        value={handoff.rateUnit}
        options={[
          { value: 'lb/ac', label: 'lb/ac' },
          { value: 'kg/ha', label: 'kg/ha' },
        ]}
        onCommit={(rateUnit) => set(`rate in ${rateUnit}`, { rateUnit })}
      />
      {rates.passes.length > 1 && (
        <SelectField
          label="Several passes"
          setting="handoff.passes"
          value={handoff.passes}
          options={[
            { value: 'files', label: 'a set of files each' },
            { value: 'columns', label: 'a column each in one set' },
          ]}
          onCommit={(passes) => set(passes === 'files' ? 'files a pass' : 'a column a pass', { passes })}
        />
      )}
      {rates.second !== null && (
        <SelectField
          label="Several products"
          setting="handoff.products"
          value={handoff.products}
          options={[
            { value: 'columns', label: 'a column each in one set' },
            { value: 'files', label: 'a set of files each' },
          ]}
          onCommit={(products) => set(products === 'files' ? 'files a product' : 'a column a product', { products })}
        />
      )}
    </Section>
  );
}

function NoRate({ plan: { handoff } }: { readonly plan: Plan }): ReactElement {
  const withheld_ac = useResults((results) => results.out?.rates?.totals.withheld_ac ?? 0);
  const units = useView((view) => view.units);
  return (
    <Section title="Where there is no rate">
      <SelectField
        label="Withheld ground"
        setting="handoff.withheld"
        value={handoff.withheld}
        options={[
          { value: 'blocks', label: 'stops the handoff' },
          { value: 'written 0', label: 'is written as 0' },
        ]}
        onCommit={(withheld) =>
          set(withheld === 'blocks' ? 'withheld ground stops' : 'withheld ground is written as 0', { withheld })
        }
      />
      <SelectField
        label="Zones held back"
        setting="handoff.holdBack"
        value={handoff.holdBack}
        options={[
          { value: 'written 0', label: 'are written as 0' },
          { value: 'left out', label: 'are left out' },
        ]}
        onCommit={(holdBack) =>
          set(holdBack === 'left out' ? 'zones held back are left out' : 'zones held back are 0', { holdBack })
        }
      />
      <NumberField
        label="Outside every polygon"
        setting="handoff.outside_lbPerAc"
        measure="rate"
        min={0}
        value={handoff.outside_lbPerAc}
        onCommit={(rate) => set(`${shortNumber(rate)} lb/ac outside`, { outside_lbPerAc: rate })}
      />
      <NumberField
        label="Where the position is lost"
        setting="handoff.noPosition_lbPerAc"
        measure="rate"
        min={0}
        value={handoff.noPosition_lbPerAc}
        onCommit={(rate) => set(`${shortNumber(rate)} lb/ac without a position`, { noPosition_lbPerAc: rate })}
      />
      {(handoff.outside_lbPerAc > 0 || handoff.noPosition_lbPerAc > 0) && (
        <Note severity="caution">
          <b>Product would go where no rate was worked out.</b> Task data carries these two rates; a shapefile or
          GeoJSON cannot, so set them on the controller.
        </Note>
      )}
      {withheld_ac > 0 && handoff.withheld === 'written 0' && (
        <Note severity="caution">
          <b>{quantity(withheld_ac, 'area', units)} are written as 0</b> because you chose so.
        </Note>
      )}
    </Section>
  );
}

const GOOD_NAME = /^[A-Za-z][A-Za-z0-9_-]{0,39}$/;
const KINDS = [
  ['geojson', 'GeoJSON', undefined],
  ['shapefile', 'Shapefile, zipped', undefined],
  ['loose', 'Shapefile, loose parts', 'for a controller that reads no zip'],
  ['taskData', 'ISO 11783-10 task data', 'a grid for controllers that keep to the standard'],
  ['tables', 'Zone table and ledger, CSV', undefined],
  ['rasters', 'Surfaces and rates, GeoTIFF', undefined],
  ['sheet', 'Cab sheet', 'for the cab and for the grower'],
] as const;

function WhichFiles({ plan: { handoff } }: { readonly plan: Plan }): ReactElement {
  return (
    <Section title="Files">
      <TextField
        label="Name of the files"
        setting="handoff.baseName"
        blank="after the plan"
        value={handoff.baseName ?? ''}
        judge={(text) =>
          text.trim() === '' || GOOD_NAME.test(text.trim())
            ? null
            : 'A letter first, then letters, digits, - or _, at most 40.'
        }
        onCommit={(text) => {
          const baseName = text.trim() === '' ? null : text.trim();
          set(`files named ${baseName ?? 'after the plan'}`, { baseName });
        }}
      />
      <CheckField
        label="Short names"
        hint="at most 8 capital letters and digits"
        setting="handoff.shortNames"
        checked={handoff.shortNames}
        onCommit={(shortNames) => set(shortNames ? 'short file names' : 'long file names', { shortNames })}
      />
      {KINDS.map(([kind, label, hint]) => (
        <CheckField
          key={kind}
          label={label}
          {...(hint === undefined ? {} : { hint })}
          setting={`handoff.files.${kind}`}
          checked={handoff.files[kind]}
          onCommit={(on) => set(`${on ? 'write' : 'leave out'} ${label}`, { files: { ...handoff.files, [kind]: on } })}
        />
      ))}
    </Section>
  );
}

function Machine({ plan: { handoff } }: { readonly plan: Plan }): ReactElement {
  const { limits } = handoff;
  return (
    <Section title="What the machine takes">
      <NumberField
        label="One load"
        hint="spreader or tender, for the load plan"
        setting="handoff.hopper_tons"
        measure="tons"
        min={0.1}
        value={handoff.hopper_tons}
        blank="not told"
        onCommit={(hopper_tons) => set(`${shortNumber(hopper_tons)} tons a load`, { hopper_tons })}
        onBlank={() => set('no load plan', { hopper_tons: null })}
      />
      <NumberField
        label="Most records"
        setting="handoff.limits.mostRecords"
        measure="whole"
        whole
        min={1}
        value={limits.mostRecords}
        blank="no limit"
        onCommit={(mostRecords) =>
          set(`at most ${shortNumber(mostRecords)} records`, { limits: { ...limits, mostRecords } })
        }
        onBlank={() => set('no limit on records', { limits: { ...limits, mostRecords: null } })}
      />
      <NumberField
        label="Most different rates"
        setting="handoff.limits.mostRates"
        measure="whole"
        whole
        min={1}
        value={limits.mostRates}
        blank="no limit"
        onCommit={(mostRates) => set(`at most ${shortNumber(mostRates)} rates`, { limits: { ...limits, mostRates } })}
        onBlank={() => set('no limit on rates', { limits: { ...limits, mostRates: null } })}
      />
      <NumberField
        label="Least record"
        setting="handoff.limits.least_ac"
        measure="areaFine"
        min={0.0001}
        value={limits.least_ac}
        blank="no limit"
        onCommit={(least_ac) => set(`records of ${shortNumber(least_ac)} ac`, { limits: { ...limits, least_ac } })}
        onBlank={() => set('no least record', { limits: { ...limits, least_ac: null } })}
      />
    </Section>
  );
}

function Page({ plan: { handoff } }: { readonly plan: Plan }): ReactElement {
  const { sheet } = handoff;
  return (
    <Section title="Cab sheet">
      <SelectField
        label="Paper"
        setting="handoff.sheet.paper"
        value={sheet.paper}
        options={[
          { value: 'Letter', label: 'Letter' },
          { value: 'A4', label: 'A4' },
        ]}
        onCommit={(paper) => set(`sheet on ${paper}`, { sheet: { ...sheet, paper } })}
      />
      <TextField
        label="Under the name"
        hint="grower, farm, field"
        wide
        setting="handoff.sheet.heading"
        value={sheet.heading}
        judge={(text) => (text.trim().length > 120 ? 'At most 120 characters.' : null)}
        onCommit={(text) => set('heading of the sheet', { sheet: { ...sheet, heading: text.trim() } })}
      />
      <TextField
        label="Words to the applicator"
        wide
        setting="handoff.sheet.remarks"
        value={sheet.remarks}
        judge={(text) => (text.trim().length > 600 ? 'At most 600 characters.' : null)}
        onCommit={(text) => set('words to the applicator', { sheet: { ...sheet, remarks: text.trim() } })}
      />
    </Section>
  );
}
