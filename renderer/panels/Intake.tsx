import type { ReactElement } from 'react';
import { CROPS } from '../../core/rates/crops.ts';
import { chooseFiles, dropIntake, finishIntake, setRole, sortAgain, takeOut, whyNoStart } from '../commands/files.ts';
import { type FileGroup, type FilePart, type FileRole, type Governs, groupFiles, useIntake } from '../store/intake.ts';
import { Choices, NumberField, Select, SelectField, TextField } from '../ui/Fields.tsx';
import { counted, fileSize } from '../ui/format.ts';
import { CloseMark } from '../ui/marks.tsx';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';

const ROLES: readonly { readonly value: FileRole; readonly label: string }[] = [
  { value: 'boundary', label: 'Boundary' },
  { value: 'keepOut', label: 'Keep-out' },
  { value: 'points', label: 'Sample points' },
  { value: 'samples', label: 'Lab values' },
  { value: 'unused', label: 'not used' },
];

const PART_NAMES = {
  boundary: 'boundary',
  keepOut: 'keep-out',
  points: 'sample points',
  samples: 'lab values',
} as const satisfies Record<FilePart, string>;

/** What a file can be; of one whose layers or sheets are for several things, all of them together first. */
function rolesFor(parts: readonly FilePart[]): typeof ROLES {
  if (parts.length < 2) return ROLES;
  const words = parts.map((part) => PART_NAMES[part]).join(' and ');
  return [{ value: 'several', label: words.charAt(0).toUpperCase() + words.slice(1) }, ...ROLES];
}

/** What each way of choosing the target means, in plain words. */
export const GOVERNS: readonly { readonly value: Governs; readonly label: string; readonly says: string }[] = [
  {
    value: 'larger',
    label: 'The larger of the two',
    says: 'Each zone is brought to the ppm floor or to the saturation floor, whichever asks for more.',
  },
  {
    value: 'ppm',
    label: 'Pounds: ppm alone',
    says: 'Each zone is brought to the ppm floor. What saturation would ask for stands beside it.',
  },
  {
    value: 'saturation',
    label: 'Share: saturation alone',
    says: 'Each zone is brought to the saturation floor: a practice without yield calibration. ppm stands beside it.',
  },
];

/** In the panel, over an open plan. */
export function Intake(): ReactElement {
  return (
    <PanelFrame
      panel="intake"
      title="Add files"
      sentence="What each file is was worked out from what it holds; change any."
    >
      <IntakeBody />
      <IntakeFoot />
    </PanelFrame>
  );
}

/** In the middle of the empty window. */
export function IntakeForm(): ReactElement {
  const { files, status } = useIntake();
  return (
    <>
      <h2 className="start-title">
        {status === 'reading' ? `Reading ${counted(files.length, 'file')}` : `${counted(files.length, 'file')} read`}
      </h2>
      <p className="ink2">What each is was worked out from what it holds; change any.</p>
      <div className="intake-sheet">
        <IntakeBody />
        <IntakeFoot />
      </div>
    </>
  );
}

function IntakeBody(): ReactElement {
  const intake = useIntake();
  return (
    <>
      <FileTable />
      <ProblemList problems={intake.problems} />
      {asksCrs(intake.problems, intake.crs) && <CrsQuestion />}
      {!intake.adding && intake.status !== 'reading' && <Questions />}
    </>
  );
}

function FileTable(): ReactElement {
  const { files, roles, parts, status } = useIntake();
  return (
    <Section>
      <table className="table intake-files">
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
          {groupFiles(files).map((group) => (
            <FileRow
              key={group.label}
              group={group}
              role={roleOf(group, roles)}
              parts={parts[group.names[0] ?? ''] ?? []}
              reading={status === 'reading'}
            />
          ))}
        </tbody>
      </table>
    </Section>
  );
}

const roleOf = (group: FileGroup, roles: Readonly<Record<string, FileRole>>): FileRole =>
  group.names.map((name) => roles[name]).find((role) => role !== undefined && role !== 'unused') ?? 'unused';

function FileRow(props: {
  readonly group: FileGroup;
  readonly role: FileRole;
  readonly parts: readonly FilePart[];
  readonly reading: boolean;
}): ReactElement {
  const { group, role, parts, reading } = props;
  return (
    <tr>
      <td>{group.label}</td>
      <td>
        {reading ? (
          <span className="ink3">reading</span>
        ) : (
          <Select
            spoken={`What ${group.label} is`}
            value={role}
            options={rolesFor(parts)}
            onCommit={(chosen) => setRole(group.names, chosen)}
          />
        )}
      </td>
      <td className="num ink3">{fileSize(group.size)}</td>
      <td className="num">
        <button
          type="button"
          className="close"
          aria-label={`Take out ${group.label}`}
          onClick={() => void takeOut(group.names)}
        >
          <CloseMark />
        </button>
      </td>
    </tr>
  );
}

const asksCrs = (problems: readonly { readonly code: string }[], crs: string): boolean =>
  crs !== '' || problems.some((problem) => /crs|prj/.test(problem.code));

function CrsQuestion(): ReactElement {
  const crs = useIntake((intake) => intake.crs);
  return (
    <Section title="Coordinate system" aside="asked where no .prj came along">
      <TextField
        label="EPSG code, or the text of a .prj"
        blank="EPSG:26915"
        wide
        value={crs}
        onCommit={(text) => {
          useIntake.setState({ crs: text });
          void sortAgain();
        }}
      />
    </Section>
  );
}

function Questions(): ReactElement {
  const { name, crop, yieldGoal, governs } = useIntake();
  const unit = CROPS.find((one) => one.id === crop)?.yieldUnit ?? 'bu/ac';
  return (
    <>
      <Section title="The plan">
        <div className="two-columns far">
          <TextField label="Name" value={name} onCommit={(text) => useIntake.setState({ name: text.trim() })} />
          <SelectField
            label="Crop"
            value={crop ?? ''}
            options={[
              { value: '', label: 'not told yet' },
              ...CROPS.map(({ id, name: label }) => ({ value: id, label })),
            ]}
            onCommit={(id) => useIntake.setState({ crop: id === '' ? null : id })}
          />
          <NumberField
            label="Yield goal"
            measure="plain"
            unit={unit}
            min={0.1}
            value={yieldGoal}
            blank="not told"
            onCommit={(goal) => useIntake.setState({ yieldGoal: goal })}
            onBlank={() => useIntake.setState({ yieldGoal: null })}
          />
        </div>
      </Section>
      <Choices
        legend="Which target governs the build-up?"
        value={governs}
        options={GOVERNS}
        onCommit={(chosen) => useIntake.setState({ governs: chosen })}
      />
    </>
  );
}

function IntakeFoot(): ReactElement {
  const intake = useIntake();
  const why = whyNoStart(intake);
  return (
    <div className="intake-foot">
      <button type="button" className="btn" onClick={() => chooseFiles()}>
        Choose more files
      </button>
      <button type="button" className="btn link" onClick={dropIntake}>
        Take all out
      </button>
      <button type="button" className="btn main" disabled={why !== null} onClick={() => void finishIntake()}>
        {why ?? (intake.adding ? 'Put them into the plan' : 'Make the plan')}
      </button>
    </div>
  );
}
