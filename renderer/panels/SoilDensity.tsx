import type { ReactElement } from 'react';
import { useResults } from '../store/results.ts';
import { flyTo, useView } from '../store/view.ts';
import { figure, quantity, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** Acres a sample that variable-rate work usually keeps to: common practice, no source. */
const USUAL_AC = 2.5;

/** How closely the field was sampled, in one line with the way to its emptiest spot. */
export function SoilDensity(): ReactElement | null {
  const density = useResults((results) => results.out?.surfaces?.density);
  const units = useView((view) => view.units);
  if (!density || !(density.acresPerSample > 0)) return null;
  const { farthest } = density;
  return (
    <Section title="How closely it was sampled">
      <p className="small ink2" data-testid="soil-density">
        <b className="ink">{quantity(density.acresPerSample, 'areaFine', units)}</b> a sample; the usual is{' '}
        {figure(USUAL_AC, 'area', units)} {unitOf('area', units)} (common practice).
        {farthest && (
          <>
            {' '}
            The farthest spot lies {quantity(farthest.distance_m, 'distance', units)} from any sample.{' '}
            <button type="button" className="btn link s" onClick={() => flyTo(farthest.at)}>
              Show it
            </button>
          </>
        )}
      </p>
    </Section>
  );
}
