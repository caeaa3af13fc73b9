import { type ReactElement, useState } from 'react';
import type { Stage } from '../../core/base/problem.ts';
import { themeInUse } from '../commands/begin.ts';
import { mapLayers } from '../commands/layers.ts';
import { usePainted } from '../compute/use-painted.ts';
import { FieldMap } from '../map/FieldMap.tsx';
import { isOpened, isRate, isSurface, type MapLayer } from '../map/props.ts';
import { isFresh, stageLayer } from '../store/derive.ts';
import { usePlan } from '../store/document.ts';
import { usePreview } from '../store/draft.ts';
import { useShownAreas } from '../store/ground.ts';
import { useOpenedOnMap } from '../store/opened.ts';
import { useResults } from '../store/results.ts';
import { endSketch, useSketch } from '../store/sketch.ts';
import type { PanelName } from '../store/view.ts';
import { openPanel, selectZone, useView } from '../store/view.ts';
import { Reading } from './Reading.tsx';

const STAGES_WITH_ZONES = new Set<PanelName>(['zones', 'rates', 'handoff', 'review']);

/** The map with everything the stores say about it. */
export function MapArea(): ReactElement | null {
  const plan = usePlan();
  // Not how far the work is: its reports would draw the map again, many times a second.
  const out = useResults((results) => results.out);
  const outFor = useResults((results) => results.outFor);
  const shapes = useResults((results) => results.shapes);
  const working = useResults((results) => results.work !== null);
  const view = useView();
  const [samples, setSamples] = useState<boolean | null>(null);
  const [zones, setZones] = useState<boolean | null>(null);
  const [doubt, setDoubt] = useState<boolean | null>(null);
  const preview = usePreview();
  const sketch = useSketch((state) => state.task);
  const areas = useShownAreas();
  const opened = useOpenedOnMap();
  const layers = mapLayers(out);
  const wanted = chosenLayer(view.layer, stageOf(view.panel), layers);
  const painted = usePainted(wanted, out?.surfaces ?? null);
  if (!plan) return null;
  if (!out?.field) return <Reading />;
  // The map goes over to another layer when its picture is there, title, colours and legend at once.
  const layer = painted && isSurface(wanted) ? painted.layer : wanted;
  const rated = isRate(layer);
  return (
    <>
      <FieldMap
        out={out}
        fresh={isFresh(plan, { out, outFor })}
        layer={layer}
        layers={layers}
        onLayer={(chosen) => useView.setState({ layer: chosen })}
        showSamples={samples ?? !(rated || isOpened(layer))}
        showZones={zones ?? (view.panel === null || STAGES_WITH_ZONES.has(view.panel) || rated)}
        showDoubt={doubt ?? view.panel === 'surfaces'}
        onShowSamples={setSamples}
        onShowZones={setZones}
        onShowDoubt={setDoubt}
        preview={preview}
        samplesByClass={view.panel === 'zones'}
        limits={plan.rates}
        far_m={plan.surfaces.far_m}
        shapes={shapes}
        painted={painted}
        productName={plan.rates.product.name}
        units={view.units}
        theme={themeInUse(view.theme)}
        selectedZone={view.selectedZone}
        onSelectZone={(key) => pickZone(key, rated)}
        litSamples={view.litSamples}
        onSelectSample={(id) => showSample(id)}
        spot={view.spot?.at ?? null}
        onSpot={(spot) => useView.setState({ spot })}
        onHover={(hover) => useView.setState({ hover })}
        focusTick={view.focusTick}
        focus={view.focus}
        areas={areas}
        opened={opened}
        sketch={sketch}
        onSketchEnd={endSketch}
      />
      {!out.soil && working && <Reading over />}
    </>
  );
}

const stageOf = (panel: PanelName | null): Stage | null =>
  panel === 'problems' || panel === 'intake' || panel === 'plans' ? null : panel;

function chosenLayer(chosen: MapLayer | null, stage: Stage | null, layers: readonly MapLayer[]): MapLayer {
  if (chosen !== null && layers.includes(chosen)) return chosen;
  const wanted = stageLayer(stage);
  if (wanted === 'written' && !layers.includes(wanted) && layers.includes('rate')) return 'rate';
  return layers.includes(wanted) ? wanted : layers.includes('k_ppm') && stage !== 'field' ? 'k_ppm' : 'samples';
}

/** A zone picked on the map is chosen everywhere; its rate, picked with the rates open, leads to the account it comes from. */
function pickZone(key: string | null, rated: boolean): void {
  selectZone(key);
  const { panel, tabs } = useView.getState();
  if (key !== null && rated && panel === 'rates' && tabs.rates !== 'guides') openPanel('rates', 'ledger');
}

/** A sample picked on the map is lit, and its row stands chosen in the soil panel. */
function showSample(id: string | null): void {
  const soil = useResults.getState().out?.soil;
  const sample = id === null ? undefined : soil?.samples.find((one) => one.id === id);
  useView.setState({
    litSamples: new Set(id === null ? [] : [id]),
    selectedRow: sample ? { file: sample.file, row: sample.row } : null,
  });
  if (sample && useView.getState().panel === 'soil') openPanel('soil', 'table');
}
