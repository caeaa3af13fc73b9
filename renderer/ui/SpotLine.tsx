import type { ReactElement } from 'react';
import { BALANCE_NAMES, balanceClass } from '../charts/balance.ts';
import type { SpotReading } from '../map/props.ts';
import { usePlan } from '../store/document.ts';
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
