import { type ReactElement, useState } from 'react';
import type { Problem } from '../../core/base/problem.ts';
import type { Plan } from '../../core/plan/schema.ts';
import { awayFrom, BASES, type Basis, type BasisChoices, takeBasis } from '../../core/rates/basis.ts';
import type { RatesSettings } from '../../core/rates/settings.ts';
import { chooseBasis, saveBasis, takeIt } from '../commands/bases.ts';
import { editPart } from '../store/document.ts';
import { useView } from '../store/view.ts';
import { SelectField, TextField } from '../ui/Fields.tsx';
import { counted, type UnitSystem } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { BASIS_WORDS, choiceWords } from './basis-words.ts';
import { ProblemList } from './Problems.tsx';

/** The basis of that name that comes with the app, or null. */
const known = (name: string): Basis | null => BASES.find((basis) => basis.name === name) ?? null;

/** `changed since it was taken`, where a basis that comes with the app no longer is followed wholly. */
export function basisStanding(rates: RatesSettings): string {
  if (rates.basis === '') return '';
  const basis = known(rates.basis);
  return basis && awayFrom(rates, basis).length > 0 ? 'changed since it was taken' : '';
}

/** The set of choices by its name: another is taken whole, from the list or a file, and this one is named and saved. */
export function NamedBasis({ plan }: { readonly plan: Plan }): ReactElement {
  const [looked, setLooked] = useState<Basis | null>(null);
  const [fromFile, setFromFile] = useState<Basis | null>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const [saving, setSaving] = useState(false);
  const listed = fromFile ? [...BASES, fromFile] : BASES;
  const look = (basis: Basis | null, told: readonly Problem[] = []): void => {
    setLooked(basis);
    setProblems(told);
  };
  const { basis } = plan.rates;
  return (
    <Section title="Basis" aside={basisStanding(plan.rates)}>
      <TextField
        label="Name of these choices"
        setting="rates.basis"
        value={basis}
        blank="no name"
        judge={(text) => (text.trim().length > 80 ? 'At most 80 letters.' : null)}
        onCommit={(text) =>
          editPart('rates', text.trim() === '' ? 'basis without a name' : `basis named ${text.trim()}`, {
            basis: text.trim(),
          })
        }
      />
      <SelectField
        label="Look at another"
        value={looked ? String(listed.indexOf(looked)) : ''}
        options={[
          { value: '', label: 'choose a basis' },
          ...listed.map((one, index) => ({
            value: String(index),
            label: one === fromFile ? `${one.name}, from a file` : one.name,
          })),
        ]}
        onCommit={(index) => look(index === '' ? null : (listed[Number(index)] ?? null))}
      />
      {looked && <Looked plan={plan} basis={looked} done={() => look(null)} />}
      <ProblemList problems={problems} />
      {saving ? (
        <SaveForm plan={plan} done={() => setSaving(false)} />
      ) : (
        <div className="hand-acts">
          <button
            type="button"
            className="btn s"
            onClick={() =>
              chooseBasis((read) => {
                if (read.ok) setFromFile(read.value);
                look(read.ok ? read.value : null, read.problems);
              })
            }
          >
            Open a basis file
          </button>
          <button type="button" className="btn s" onClick={() => setSaving(true)}>
            Save as a file
          </button>
        </div>
      )}
    </Section>
  );
}

interface LookedProps {
  readonly plan: Plan;
  readonly basis: Basis;
  readonly done: () => void;
}

/** What a basis is for, and every choice of the plan that it would change, before it is taken. */
function Looked({ plan, basis, done }: LookedProps): ReactElement {
  const units = useView((view) => view.units);
  const changes = awayFrom(plan.rates, basis);
  const taken = takeBasis(plan.rates, basis);
  const own = Object.keys(plan.rates.zones).length;
  return (
    <div className="basis-what" data-testid="basis-changes">
      {basis.about !== '' && <p className="small ink2">{basis.about}</p>}
      {changes.length === 0 ? (
        <p className="under">Every choice is so already.</p>
      ) : (
        <table className="table">
          <thead>
            <tr>
              <th scope="col">It would change</th>
              <th scope="col">from</th>
              <th scope="col">to</th>
            </tr>
          </thead>
          <tbody>
            {changes.map((key) => (
              <tr key={key}>
                <th scope="row">{BASIS_WORDS[key].name}</th>
                <td className="ink2">{wordsOf(key, plan.rates, units)}</td>
                <td>{wordsOf(key, taken, units)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {own > 0 && <p className="small ink3 under">{counted(own, 'zone')} with choices of its own: those stay.</p>}
      <div className="hand-acts">
        <button
          type="button"
          className="btn s"
          onClick={() => {
            takeIt(basis);
            done();
          }}
        >
          Take this basis
        </button>
        <button type="button" className="btn s" onClick={done}>
          Leave it
        </button>
      </div>
    </div>
  );
}

const wordsOf = <K extends keyof BasisChoices>(key: K, rates: BasisChoices, units: UnitSystem): string =>
  choiceWords(key, rates[key], units);

function SaveForm({ plan, done }: { readonly plan: Plan; readonly done: () => void }): ReactElement {
  const [name, setName] = useState(plan.rates.basis);
  const [about, setAbout] = useState(known(plan.rates.basis)?.about ?? '');
  const missing = name.trim() === '' ? 'Name it to save it' : null;
  return (
    <div className="hand-form">
      <TextField label="Name in the file" value={name} onCommit={setName} />
      <TextField label="What it is for, and where it comes from" value={about} wide onCommit={setAbout} />
      <p className="small ink3">
        The field’s own stays out of it: crop, yield goal, credits, budget, curve, zones and typed rates.
      </p>
      <div className="hand-acts">
        <button
          type="button"
          className="btn s"
          aria-disabled={missing !== null}
          onClick={() => {
            if (missing !== null) return;
            saveBasis(name, about);
            done();
          }}
        >
          {missing ?? 'Save the file'}
        </button>
        <button type="button" className="btn s" onClick={done}>
          Leave it
        </button>
      </div>
    </div>
  );
}
