import type { ReactElement } from 'react';
import { chooseFiles } from '../commands/files.ts';
import { choosePrescription } from '../commands/open-prescription.ts';
import { trySample } from '../commands/plans.ts';
import { useIntake } from '../store/intake.ts';
import { useOpened } from '../store/opened.ts';
import { useResults } from '../store/results.ts';
import { openPanel } from '../store/view.ts';
import { IntakeForm } from './Intake.tsx';
import { OpenedStart } from './OpenedStart.tsx';
import { PlanRows, usePlanList } from './Plans.tsx';
import { ProblemList } from './Problems.tsx';
import './start.css';

/** Before a plan is open: what to drop here, or what was dropped and what is asked about it. */
export function Start(): ReactElement {
  const reading = useIntake((intake) => intake.status !== 'idle');
  const notices = useResults((state) => state.notices);
  const looking = useOpened((state) => state.files.length > 0);
  if (looking && !reading) return <OpenedStart />;
  return (
    <div className="start">
      <Crosses />
      <div className={reading ? 'start-box asking' : 'start-box'}>
        <ProblemList problems={notices} />
        {reading ? <IntakeForm /> : <Invitation />}
      </div>
    </div>
  );
}

function Invitation(): ReactElement {
  const plans = usePlanList();
  const own = plans?.filter((plan) => !plan.planId.startsWith('sample@')).slice(0, 3) ?? [];
  return (
    <>
      <h2 className="start-title">Drop a boundary and a soil test here.</h2>
      <div className="start-well">
        <dl>
          <dt>Boundary</dt>
          <dd>
            Shapefile (zipped, or the loose parts together), or GeoJSON. Any coordinate system, as long as its .prj
            comes with it.
          </dd>
          <dt>Soil test</dt>
          <dd>
            Points or zones with lab values, or sample points and a lab table joined by sample id. CSV, xlsx, shapefile,
            GeoJSON.
          </dd>
          <dt>Keep-out</dt>
          <dd>Polygons not to be spread, if there are any. The rest of the way asks for nothing else.</dd>
        </dl>
      </div>
      <div className="start-acts">
        <button type="button" className="btn main" onClick={() => chooseFiles()}>
          Choose files
        </button>
        <button type="button" className="btn" onClick={() => openPanel('plans')}>
          Open a plan
        </button>
        <button type="button" className="btn" onClick={choosePrescription}>
          Look at a prescription
        </button>
        <button type="button" className="btn link" onClick={() => void trySample()}>
          Try the sample field
        </button>
      </div>
      {own.length > 0 && (
        <section className="start-recent">
          <h3>Saved plans</h3>
          <PlanRows plans={own} open={null} />
        </section>
      )}
    </>
  );
}

/** The empty graticule. */
const Crosses = (): ReactElement => (
  <svg className="start-crosses" width="100%" height="100%" aria-hidden="true">
    <pattern id="crosses" width="148" height="148" patternUnits="userSpaceOnUse">
      <path d="M56 40h8M60 36v8" stroke="var(--grat)" fill="none" />
    </pattern>
    <rect width="100%" height="100%" fill="url(#crosses)" />
  </svg>
);
