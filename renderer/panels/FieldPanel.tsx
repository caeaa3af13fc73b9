// Setbacks are laid out like the credits of a rate.
import './rates.css';
import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { chooseFiles } from '../commands/files.ts';
import { editPart, usePlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { openPanel, useView } from '../store/view.ts';
import { TextField } from '../ui/Fields.tsx';
import { counted, figure, fileSize, unitOf } from '../ui/format.ts';
import { CloseMark } from '../ui/marks.tsx';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';
import { Ground } from './Ground.tsx';
import { ProblemList } from './Problems.tsx';
import { Setbacks } from './Setbacks.tsx';

/** Where the spreader may go: area, files, coordinate system, what was repaired. */
export function FieldPanel(): ReactElement | null {
  const plan = usePlan();
  if (!plan) return null;
  return (
    <PanelFrame
      panel="field"
      title="Field"
      sentence="Where the spreader may go, and its history."
      foot={
        <>
          <button type="button" className="btn" onClick={() => chooseFiles('keepOut')}>
            Add a keep-out
          </button>
          <button type="button" className="btn" onClick={() => chooseFiles('boundary')}>
            Another boundary
          </button>
          <span className="grow" />
          <button type="button" className="btn main" onClick={() => openPanel('soil')}>
            To soil
          </button>
        </>
      }
      tabs={[
        { id: 'area', label: 'Area and files', body: <AreaTab plan={plan} /> },
        { id: 'setbacks', label: 'Setbacks', body: <Setbacks plan={plan} /> },
        { id: 'ground', label: 'Ground history', body: <Ground plan={plan} /> },
      ]}
    />
  );
}

function AreaTab({ plan }: { readonly plan: Plan }): ReactElement {
  const out = useResults((results) => results.out);
  const problems = out?.stages.field.problems ?? [];
  return (
    <>
      <AreaTable />
      <Files plan={plan} />
      {out?.field && out.field.reading.length > 0 && (
        <Section title="As read">
          <ul className="small ink2 sentences">
            {out.field.reading.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </Section>
      )}
      <Section title="Coordinate system" aside="only where a file names none">
        <TextField
          label="EPSG code, or the text of a .prj"
          setting="field.crs"
          blank="as the files say"
          wide
          value={plan.field.crs ?? ''}
          onCommit={(text) => {
            const crs = text.trim() === '' ? null : text.trim();
            editPart('field', crs === null ? 'coordinate system as the files say' : `coordinate system ${crs}`, {
              crs,
            });
          }}
        />
      </Section>
      {problems.length > 0 && (
        <Section title="On reading" aside={counted(problems.length, 'finding')}>
          <ProblemList problems={problems} />
        </Section>
      )}
    </>
  );
}

function AreaTable(): ReactElement | null {
  const field = useResults((results) => results.out?.field);
  const units = useView((view) => view.units);
  if (!field) return null;
  const said = (acres: number): string => figure(acres, 'areaFine', units);
  return (
    <Section>
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Area, on the WGS84 ellipsoid</th>
            <th scope="col" className="num">
              {unitOf('area', units)}
            </th>
          </tr>
        </thead>
        <tbody>
          <tr>
            <td>
              Boundary
              {field.boundary.length > 1 && <span className="ink3"> {counted(field.boundary.length, 'part')}</span>}
            </td>
            <td className="num">{said(field.boundary_ac)}</td>
          </tr>
          <tr>
            <td>
              Keep-out
              {field.keepOut.length > 1 && <span className="ink3"> {counted(field.keepOut.length, 'part')}</span>}
            </td>
            <td className="num">{said(-field.keepOut_ac)}</td>
          </tr>
          <tr className="sum">
            <td>Spreadable</td>
            <td className="num">{said(field.spreadable_ac)}</td>
          </tr>
        </tbody>
      </table>
    </Section>
  );
}

function Files({ plan }: { readonly plan: Plan }): ReactElement {
  const { boundaryFiles, keepOutFiles } = plan.field;
  const row = (path: string, is: string, canGo: boolean): ReactElement => {
    const input = plan.inputs.find((one) => one.path === path);
    return (
      <tr key={path}>
        <td>{input?.name ?? path}</td>
        <td className="ink3">{is}</td>
        <td className="num ink3">{input && fileSize(input.size)}</td>
        <td className="num">
          {canGo && (
            <button
              type="button"
              className="close"
              aria-label={`Take out ${input?.name ?? path}`}
              onClick={() => takeOut(plan, path)}
            >
              <CloseMark />
            </button>
          )}
        </td>
      </tr>
    );
  };
  return (
    <Section title="Files" aside="kept with the plan">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">File</th>
            <th scope="col">is</th>
            <th scope="col" className="num">
              size
            </th>
            <th scope="col">
              <span className="unseen">Take out</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {boundaryFiles.map((path) => row(path, 'boundary', false))}
          {keepOutFiles.map((path) => row(path, 'keep-out', true))}
        </tbody>
      </table>
    </Section>
  );
}

const takeOut = (plan: Plan, path: string): void =>
  editPart('field', 'take out a keep-out', { keepOutFiles: plan.field.keepOutFiles.filter((one) => one !== path) });
