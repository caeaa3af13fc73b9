import './outlines.css';
import { type ReactElement, useState } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { BalancePlot } from '../charts/BalancePlot.tsx';
import type { LimitKind } from '../charts/Grip.tsx';
import { isFresh } from '../store/derive.ts';
import { editPart, usePlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { openPanel, useTab, useView } from '../store/view.ts';
import { shortNumber } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { PanelFrame } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';
import { ZoneHand } from './ZoneHand.tsx';
import { ZoneMethod } from './ZoneMethod.tsx';
import { ZoneTable } from './ZoneTable.tsx';
import { ZoneWorth } from './ZoneWorth.tsx';

const USUAL = { floor_ppm: 150, floor_pct: 4 } as const;

/** What each part of the field is short of, and how it is cut into zones. */
export function ZonesPanel(): ReactElement | null {
  const plan = usePlan();
  const tab = useTab('zones', 'balance');
  const layer = useView((view) => view.layer);
  const [asTable, setAsTable] = useState(false);
  const problems = useResults((results) => results.out?.stages.zones.problems) ?? [];
  if (!plan) return null;
  const usual = plan.rates.floor_ppm === USUAL.floor_ppm && plan.rates.floor_pct === USUAL.floor_pct;
  return (
    <PanelFrame
      panel="zones"
      title="Zones"
      sentence="What each part of the field is short of."
      tabs={[
        { id: 'balance', label: 'Balance', body: <Balance plan={plan} asTable={asTable} /> },
        {
          id: 'method',
          label: 'Method',
          body: (
            <>
              <ZoneMethod plan={plan} />
              <ProblemList problems={problems} />
            </>
          ),
        },
        { id: 'hand', label: 'By hand', body: <ZoneHand plan={plan} /> },
        {
          id: 'zones',
          label: 'Zones',
          body: (
            <>
              <ZoneTable plan={plan} />
              <ZoneWorth plan={plan} />
            </>
          ),
        },
      ]}
      foot={
        <>
          {tab === 'balance' && (
            <>
              <button type="button" className="btn" aria-pressed={asTable} onClick={() => setAsTable(!asTable)}>
                {asTable ? 'Table as plot' : 'Plot as table'}
              </button>
              <button
                type="button"
                className="btn"
                aria-pressed={layer === 'balance'}
                onClick={() => useView.setState({ layer: layer === 'balance' ? null : 'balance' })}
              >
                Classes on the map
              </button>
              {!usual && (
                <button
                  type="button"
                  className="btn"
                  onClick={() => editPart('rates', 'floors back to 150 ppm, 4 %', USUAL)}
                >
                  Back to 150 ppm, 4 %
                </button>
              )}
            </>
          )}
          <span className="grow" />
          <button type="button" className="btn main" onClick={() => openPanel('rates')}>
            To rates
          </button>
        </>
      }
    />
  );
}

const LIMIT_WORDS: Record<LimitKind, (value: string) => string> = {
  floor_ppm: (value) => `floor ${value} ppm`,
  floor_pct: (value) => `floor ${value} %`,
  rangeTop_pct: (value) => `top of the range ${value} %`,
  caution_pct: (value) => `caution from ${value} %`,
};

function Balance({ plan, asTable }: { readonly plan: Plan; readonly asTable: boolean }): ReactElement | null {
  const results = useResults();
  const { units, litSamples } = useView();
  const { soil, surfaces } = results.out ?? { soil: null, surfaces: null };
  if (!soil) return <p className="section ink3">No samples yet.</p>;
  const samples = soil.samples.map(({ id, k_ppm, saturation }) => ({ id, k_ppm, kSat_pct: saturation.k_pct }));
  const { k_ppm, kSat_pct } = surfaces?.layers ?? {};
  const cells = surfaces && k_ppm && kSat_pct ? { k_ppm, kSat_pct, cover_m2: surfaces.grid.cover_m2 } : null;
  return (
    <div className="section tight">
      <BalancePlot
        samples={samples}
        cells={cells}
        limits={plan.rates}
        litSamples={litSamples}
        onBrush={(ids) => useView.setState({ litSamples: new Set(ids) })}
        onFloor={(kind, value) => editPart('rates', LIMIT_WORDS[kind](shortNumber(value)), { [kind]: value })}
        units={units}
        fresh={isFresh(plan, results)}
        asTable={asTable}
        height={window.innerHeight < 820 ? 250 : 284}
      />
      <Note>
        Saturation targets are a practice. The reviews this program cites find no yield calibration for them, so what
        ppm alone asks for is always beside it.
      </Note>
    </div>
  );
}
