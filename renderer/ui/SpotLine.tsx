import type { ReactElement } from 'react';
import { isMade, type LayerWords, layerName, layersOf } from '../../core/layers/layer.ts';
import type { AnyLayerId } from '../../core/surfaces/types.ts';
import { BALANCE_NAMES, balanceClass } from '../charts/balance.ts';
import type { SpotReading } from '../map/props.ts';
import { usePlan } from '../store/document.ts';
import { openedRateAt, useOpenedPrescription } from '../store/opened.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { figure, latitude, longitude, number, unitOf } from './format.ts';
import { SpotMark } from './marks.tsx';

/** Every layer at one place: under the pointer, else at the pinned spot. It always stands in the same place. */
export function SpotLine(): ReactElement {
  const spot = useView((view) => view.hover ?? view.spot);
  const pinned = useView((view) => view.spot !== null);
  return (
    <section className="spotline" aria-label="Spot reading">
      <SpotMark />
      {spot ? (
        <Readings spot={spot} />
      ) : (
        <span>
          {pinned ? '' : 'Point at the map for a reading'}
          {!pinned && <span className="next-end">; click to pin the spot</span>}
        </span>
      )}
    </section>
  );
}

function Readings({ spot }: { readonly spot: SpotReading }): ReactElement {
  const units = useView((view) => view.units);
  const plan = usePlan();
  const { values, nearestSample, rate_lbPerAc } = spot;
  const [lng, lat] = spot.at;
  const others = useOthers(spot);
  const opened = useOpenedPrescription();
  const asOpened = opened ? openedRateAt(opened, spot.at) : null;
  const shortOf = plan ? balanceClass(values.k_ppm ?? Number.NaN, values.kSat_pct ?? Number.NaN, plan.rates) : null;
  return (
    <>
      <span className="far-end">
        {latitude(lat)}&ensp;{longitude(lng)}
      </span>
      <span>
        K <b>{number(values.k_ppm)}</b> ppm
      </span>
      <span>
        saturation <b>{number(values.kSat_pct, 1)}</b> %
      </span>
      <span>
        CEC <b>{number(values.cec_meq, 1)}</b>
      </span>
      {others.map((layer) => (
        <span key={layer.id} className="next-end">
          {layer.name} <b>{number(layer.value, layer.decimals)}</b> {layer.unit}
        </span>
      ))}
      {spot.zoneLetter !== null && (
        <span>
          zone <b>{spot.zoneLetter}</b>
        </span>
      )}
      {rate_lbPerAc !== null && (
        <span className="next-end">
          rate <b>{figure(rate_lbPerAc, 'rate', units)}</b> {unitOf('rate', units)}
        </span>
      )}
      {asOpened !== null && (
        <span className="next-end">
          as opened <b>{figure(asOpened, 'rate', units)}</b> {unitOf('rate', units)}
        </span>
      )}
      {shortOf !== null && (
        <span className="far-end">
          <b>{BALANCE_NAMES[shortOf]}</b>
        </span>
      )}
      {nearestSample !== null && (
        <span className="far-end">
          nearest sample <b>{nearestSample.id}</b>, {figure(nearestSample.distance_m, 'distance', units)}{' '}
          {unitOf('distance', units)}
        </span>
      )}
    </>
  );
}

const ALWAYS: ReadonlySet<string> = new Set(['k_ppm', 'kSat_pct', 'cec_meq']);

/** The layer on the map, and those that the user brought, where they say something here. */
function useOthers({
  values,
}: SpotReading): readonly (LayerWords & { readonly id: AnyLayerId; readonly value: number })[] {
  const surfaces = useResults((results) => results.out?.surfaces ?? null);
  const onMap = useView((view) => view.layer);
  if (!surfaces) return [];
  const ids = layersOf(surfaces).filter((id) => !ALWAYS.has(id) && (id === onMap || !isMade(id)));
  return ids.flatMap((id) => {
    const value = values[id];
    const { name, unit, decimals } = layerName(surfaces, id);
    return value === undefined ? [] : [{ id, name, unit, decimals, value }];
  });
}
