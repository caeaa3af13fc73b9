import './surfaces.css';
import type { ReactElement } from 'react';
import type { Problem } from '../../core/base/problem.ts';
import { cancelRun } from '../commands/follow.ts';
import { isFresh } from '../store/derive.ts';
import { usePlan } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { toggleTable, useSurfacesView } from '../store/surfaces-view.ts';
import { openPanel, useTab } from '../store/view.ts';
import { number } from '../ui/format.ts';
import { PanelFrame } from '../ui/PanelFrame.tsx';
import { OwnLayers } from './OwnLayers.tsx';
import { ProblemList } from './Problems.tsx';
import { SurfaceError } from './SurfaceError.tsx';
import { SurfaceSamples } from './SurfaceSamples.tsx';
import { SurfaceStatistics } from './SurfaceStatistics.tsx';

const WITH_CHARTS = new Set(['error', 'samples', 'statistics']);

/** How the surfaces are made, how well the samples predict one another, what the layers hold, and layers of one's own. */
export function SurfacesPanel(): ReactElement | null {
  const plan = usePlan();
  const out = useResults((results) => results.out);
  const outFor = useResults((results) => results.outFor);
  const tab = useTab('surfaces', 'error');
  const asTable = useSurfacesView((view) => view.asTable.has(tab));
  if (!plan) return null;
  const surfaces = out?.surfaces ?? null;
  const composites = out?.soil?.kind === 'composites';
  const stale = isFresh(plan, { out, outFor }) ? undefined : 'stale-figures';
  const problemsOf = (tab: 'error' | 'samples' | 'own'): readonly Problem[] =>
    out?.stages.surfaces.problems.filter((problem) => tabOf(problem) === tab) ?? [];
  return (
    <PanelFrame
      panel="surfaces"
      title="Surfaces"
      sentence={
        composites
          ? 'Zone composites: nothing is interpolated across them.'
          : 'How well the samples predict one another.'
      }
      tabs={[
        {
          id: 'error',
          label: 'Error',
          body: (
            <>
              <SurfaceError plan={plan} surfaces={surfaces} composites={composites} stale={stale !== undefined} />
              <ProblemList problems={problemsOf('error')} />
            </>
          ),
        },
        {
          id: 'samples',
          label: 'Samples',
          body: (
            <>
              <div className={stale}>{surfaces && <SurfaceSamples plan={plan} surfaces={surfaces} />}</div>
              <ProblemList problems={problemsOf('samples')} />
            </>
          ),
        },
        {
          id: 'statistics',
          label: 'Statistics',
          body: <div className={stale}>{surfaces && <SurfaceStatistics surfaces={surfaces} />}</div>,
        },
        {
          id: 'own',
          label: 'Own layers',
          body: (
            <>
              <OwnLayers plan={plan} surfaces={surfaces} />
              <ProblemList problems={problemsOf('own')} />
            </>
          ),
        },
      ]}
      foot={
        <>
          {WITH_CHARTS.has(tab) && surfaces && (
            <button type="button" className="btn" aria-pressed={asTable} onClick={() => toggleTable(tab)}>
              {asTable ? 'Table as chart' : 'Chart as table'}
            </button>
          )}
          <span className="grow" />
          <Working />
          <button type="button" className="btn main" onClick={() => openPanel('zones')}>
            To zones
          </button>
        </>
      }
    />
  );
}

const OF_SAMPLES = /^surfaces-(outlier|sparse|outside|far|uncovered)/;

/** The tab that a problem of the stage belongs to; null for what stands beside the error plot in words of its own. */
function tabOf({ code, at }: Problem): 'error' | 'samples' | 'own' | null {
  if (code === 'surfaces-high-cv') return null;
  if (OF_SAMPLES.test(code)) return 'samples';
  return code.startsWith('surfaces-') && !at?.setting?.startsWith('rasters') ? 'error' : 'own';
}

/** How far the work is. By itself, so that a report of progress draws nothing else again. */
function Working(): ReactElement | null {
  const work = useResults((results) => results.work);
  if (work === null) return null;
  return (
    <>
      <span className="small ink2" role="status">
        {work === 'waiting' ? 'Waiting' : `${number((100 * work.done) / Math.max(1, work.total))} % of ${work.stage}`}
      </span>
      <button type="button" className="btn" onClick={cancelRun}>
        Cancel
      </button>
    </>
  );
}
