import './opened.css';
import { type DragEvent, type ReactElement, useState } from 'react';
import type { Looked } from '../../core/handoff/back/types.ts';
import { choosePrescription, closePrescription, takePrescription, tellOpened } from '../commands/open-prescription.ts';
import { useDocument } from '../store/document.ts';
import { useOpened, useOpenedPrescription } from '../store/opened.ts';
import { useView } from '../store/view.ts';
import { SelectField, TextField } from '../ui/Fields.tsx';
import { counted, shortNumber } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { OpenedBack } from './OpenedBack.tsx';
import { OpenedRates } from './OpenedRates.tsx';
import { ProblemList } from './Problems.tsx';

/** A prescription out of a file: what it says, what had to be asked, and how it stands to the plan. */
export function OpenedPart(): ReactElement {
  const { files, look, reading } = useOpened();
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: files may be dropped here; the button does the same by keyboard
    <div data-testid="opened-part" onDragOver={(event) => event.preventDefault()} onDrop={takeDropped}>
      {files.length === 0 ? <Well /> : <OpenedHead />}
      {reading && <p className="section ink3">Reading {files.map(({ name }) => name).join(', ')}</p>}
      {look && <Asked look={look} />}
      {look?.read.ok && <OpenedRates opened={look.read.value} />}
      {look && <ProblemList problems={look.read.problems} />}
      {look?.read.ok && <OpenedBack opened={look.read.value} />}
    </div>
  );
}

function takeDropped(event: DragEvent): void {
  if (event.dataTransfer.files.length === 0) return;
  event.preventDefault();
  void takePrescription(event.dataTransfer.files);
}

const Well = (): ReactElement => (
  <div className="section">
    <div className="opened-well">
      <p>
        A shapefile (zip or its parts together), GeoJSON or ISO 11783-10 task data, from here or anywhere. It is held
        against the plan for this session and never becomes a part of it.
      </p>
      <button type="button" className="btn" onClick={choosePrescription}>
        Open a prescription
      </button>
    </div>
  </div>
);

function OpenedHead(): ReactElement {
  const files = useOpened((state) => state.files);
  const opened = useOpenedPrescription();
  const hasPlan = useDocument((state) => state.history !== null);
  const layer = useView((view) => view.layer);
  return (
    <div className="section opened-head">
      <b>{opened?.files.join(', ') ?? files.map(({ name }) => name).join(', ')}</b>
      {hasPlan && opened && (
        <button
          type="button"
          className="btn s"
          aria-pressed={layer === 'opened'}
          onClick={() => useView.setState({ layer: layer === 'opened' ? null : 'opened' })}
        >
          {layer === 'opened' ? 'Shown' : 'Show'}
        </button>
      )}
      <button type="button" className="btn s" onClick={choosePrescription}>
        Another file
      </button>
      <button type="button" className="btn s" onClick={closePrescription}>
        Close<span className="unseen"> the opened prescription</span>
      </button>
    </div>
  );
}

const UNITS = [
  { value: 'lb/ac', label: 'lb/ac' },
  { value: 'kg/ha', label: 'kg/ha' },
] as const;
const OPEN = { value: '', label: 'to be said' } as const;

/** What can be said about the file: only what is open, or was said already. */
function Asked({ look }: { readonly look: Looked }): ReactElement | null {
  const told = useOpened((state) => state.told);
  const { asked, read } = look;
  const columns = asked.candidates.map(({ column }) => column);
  const chosen = told.column ?? asked.column ?? '';
  const crsOpen = told.crs !== undefined || read.problems.some(({ code }) => code.startsWith('crs-'));
  const any = asked.layers.length > 1 || asked.candidates.length > 1 || asked.unitOpen || told.unit || crsOpen;
  if (!any) return null;
  return (
    <Section title="Read as">
      {asked.layers.length > 1 && (
        <SelectField
          label="Layer"
          value={asked.layer ?? ''}
          options={[...(asked.layer === null ? [OPEN] : []), ...asked.layers.map((value) => ({ value, label: value }))]}
          onCommit={(layer) => layer !== '' && void tellOpened({ layer })}
        />
      )}
      {asked.candidates.length > 1 && (
        <SelectField
          label="Rate column"
          value={chosen}
          options={[
            ...(chosen === '' ? [OPEN] : []),
            ...(chosen !== '' && !columns.includes(chosen) ? [{ value: chosen, label: chosen }] : []),
            ...asked.candidates.map(({ column, least, most, records }) => ({
              value: column,
              label: `${column}: ${least === most ? shortNumber(least) : `${shortNumber(least)}–${shortNumber(most)}`}, ${counted(records, 'record')}`,
            })),
          ]}
          onCommit={(column) => column !== '' && void tellOpened({ column })}
        />
      )}
      {asked.column !== null && (asked.unitOpen || told.unit !== undefined) && (
        <SelectField
          label="Unit of the rate"
          value={asked.unit ?? ''}
          options={[...(asked.unit === null ? [OPEN] : []), ...UNITS]}
          onCommit={(unit) => unit !== '' && void tellOpened({ unit })}
        />
      )}
      {crsOpen && <CrsField told={told.crs ?? ''} />}
    </Section>
  );
}

function CrsField({ told }: { readonly told: string }): ReactElement {
  const [wrong, setWrong] = useState<string | null>(null);
  return (
    <TextField
      label="Coordinate system"
      hint={wrong ?? 'where the file names none: EPSG:32615'}
      value={told}
      onCommit={(text) => {
        setWrong(text.trim() === '' ? 'a code is needed' : null);
        if (text.trim() !== '') void tellOpened({ crs: text.trim() });
      }}
    />
  );
}
