import { type ReactElement, useState } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { Override } from '../../core/rates/settings.ts';
import type { ZoneRate } from '../../core/rates/types.ts';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { NumberField, TextField } from '../ui/Fields.tsx';
import { quantity } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** A rate typed by hand, with who and why. It survives every re-run and shows in ledger and export. */
export function HandOverride({ plan, zone }: { readonly plan: Plan; readonly zone: ZoneRate }): ReactElement {
  const [open, setOpen] = useState(false);
  const units = useView((view) => view.units);
  const given = plan.rates.overrides.find((one) => one.zoneKey === zone.key);
  return (
    <Section title="By hand">
      {given && (
        <p className="ink2">
          <b>{quantity(given.rate_lbPerAc, 'rate', units)}</b>
          {given.who === '' ? '' : `, ${given.who}`}, {given.when}: {given.why}
        </p>
      )}
      {open ? (
        <Form plan={plan} zone={zone} done={() => setOpen(false)} key={zone.key} />
      ) : (
        <div className="hand-acts">
          <button type="button" className="btn s" data-setting="rates.overrides" onClick={() => setOpen(true)}>
            {given ? 'Type another rate' : `Type a rate for zone ${zone.letter}`}
          </button>
          {given && (
            <button type="button" className="btn s" onClick={() => drop(plan, zone)}>
              Back to the ledger’s rate
            </button>
          )}
        </div>
      )}
    </Section>
  );
}

const others = (plan: Plan, zone: ZoneRate) => plan.rates.overrides.filter((one) => one.zoneKey !== zone.key);

const drop = (plan: Plan, zone: ZoneRate): void =>
  editPart('rates', `zone ${zone.letter} by the ledger`, { overrides: others(plan, zone) });

interface FormProps {
  readonly plan: Plan;
  readonly zone: ZoneRate;
  readonly done: () => void;
}

function Form({ plan, zone, done }: FormProps): ReactElement {
  const [rate, setRate] = useState<number | null>(null);
  const [who, setWho] = useState('');
  const [why, setWhy] = useState('');
  const units = useView((view) => view.units);
  const spot = useResults(({ out }) => out?.zones?.zones.find(({ key }) => key === zone.key)?.spot ?? null);
  const missing = rate === null ? 'Type the rate' : why.trim() === '' ? 'Say why' : null;
  const give = (): void => {
    if (rate === null || missing !== null) return;
    const when = new Date().toISOString().slice(0, 10);
    const [lng, lat] = spot ?? [];
    const at: Override['at'] = lng === undefined || lat === undefined ? null : [lng, lat];
    const override = { zoneKey: zone.key, rate_lbPerAc: rate, who: who.trim(), when, why: why.trim(), at };
    editPart('rates', `zone ${zone.letter} by hand, ${quantity(rate, 'rate', units)}`, {
      overrides: [...others(plan, zone), override],
    });
    done();
  };
  return (
    <div className="hand-form">
      <NumberField
        label={`Rate for zone ${zone.letter}, all passes together`}
        measure="rate"
        min={0}
        value={rate}
        onCommit={setRate}
      />
      <TextField label="Who" value={who} onCommit={setWho} />
      <TextField label="Why" value={why} wide onCommit={setWhy} />
      <div className="hand-acts">
        <button type="button" className="btn s" aria-disabled={missing !== null} onClick={give}>
          {missing ?? 'Give this rate'}
        </button>
        <button type="button" className="btn s" onClick={done}>
          Leave it
        </button>
      </div>
    </div>
  );
}
