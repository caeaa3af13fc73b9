import { lazy, type ReactElement, Suspense } from 'react';
import { Intake } from './panels/Intake.tsx';
import { MapArea } from './panels/MapArea.tsx';
import { Plans } from './panels/Plans.tsx';
import { Problems } from './panels/Problems.tsx';
import { Start } from './panels/Start.tsx';
import { STAGE_NAMES } from './store/cards.ts';
import { usePlan } from './store/document.ts';
import { type PanelName, useView } from './store/view.ts';
import { AskStrip } from './ui/AskStrip.tsx';
import { Course } from './ui/Course.tsx';
import { Head } from './ui/Head.tsx';
import { SidePanel } from './ui/SidePanel.tsx';
import { SpotLine } from './ui/SpotLine.tsx';

const FieldPanel = lazy(async () => ({ default: (await import('./panels/FieldPanel.tsx')).FieldPanel }));
const SoilPanel = lazy(async () => ({ default: (await import('./panels/SoilPanel.tsx')).SoilPanel }));
const SurfacesPanel = lazy(async () => ({ default: (await import('./panels/SurfacesPanel.tsx')).SurfacesPanel }));
const ZonesPanel = lazy(async () => ({ default: (await import('./panels/ZonesPanel.tsx')).ZonesPanel }));
const RatesPanel = lazy(async () => ({ default: (await import('./panels/RatesPanel.tsx')).RatesPanel }));
const HandoffPanel = lazy(async () => ({ default: (await import('./panels/HandoffPanel.tsx')).HandoffPanel }));
const ReviewPanel = lazy(async () => ({ default: (await import('./panels/ReviewPanel.tsx')).ReviewPanel }));

/** The window: head, map, panel, course. */
export function App(): ReactElement {
  const plan = usePlan();
  const panel = useView((view) => view.panel);
  return (
    <div className="app">
      <Head />
      <AskStrip />
      <main className="stagearea" data-part="map" tabIndex={-1} aria-label={plan ? 'Map' : 'Start'}>
        {plan ? (
          <>
            <div className="maps">
              <MapArea />
            </div>
            <SpotLine />
          </>
        ) : (
          <Start />
        )}
      </main>
      {panel && (plan || panel === 'plans') && (
        <SidePanel name={nameOf(panel)} wide={panel === 'soil'}>
          <Suspense fallback={<p className="panel-head">Loading</p>}>
            <PanelBody panel={panel} />
          </Suspense>
        </SidePanel>
      )}
      <Course />
    </div>
  );
}

const nameOf = (panel: PanelName): string =>
  panel === 'problems'
    ? 'Problems'
    : panel === 'intake'
      ? 'Add files'
      : panel === 'plans'
        ? 'Plans'
        : STAGE_NAMES[panel];

function PanelBody({ panel }: { readonly panel: PanelName }): ReactElement {
  switch (panel) {
    case 'field':
      return <FieldPanel />;
    case 'soil':
      return <SoilPanel />;
    case 'surfaces':
      return <SurfacesPanel />;
    case 'zones':
      return <ZonesPanel />;
    case 'rates':
      return <RatesPanel />;
    case 'handoff':
      return <HandoffPanel />;
    case 'review':
      return <ReviewPanel />;
    case 'problems':
      return <Problems />;
    case 'intake':
      return <Intake />;
    case 'plans':
      return <Plans />;
  }
}
