import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { heldBy } from '../../core/rates/holding.ts';
import type { ZoneRate } from '../../core/rates/types.ts';
import { PathPlot } from '../charts/PathPlot.tsx';
import { counted, number } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** Where the zone's soil goes when the plan is kept up, and what is banked for a year without. */
export function YearsAhead({ plan, zone }: { readonly plan: Plan; readonly zone: ZoneRate }): ReactElement | null {
  if (zone.path.length === 0 && !zone.next) return null;
  const own = plan.rates.zones[zone.key] ?? {};
  const { light } = heldBy(zone.reading.cec_meq, zone.history, plan.rates.holding);
  return (
    <Section title="Years ahead" aside="if this plan is kept up">
      {zone.next && (
        <dl className="figures">
          <dt>End of this season, with this plan</dt>
          <dd>{stands(zone.next.plan)}</dd>
          <dt>If you put on none</dt>
          <dd>
            {stands(zone.next.none)}
            {zone.next.carriedOver_lbK2OPerAc > 0.05 &&
              `, and ${number(zone.next.carriedOver_lbK2OPerAc, 1)} lb K₂O/ac of credits that count then`}
          </dd>
        </dl>
      )}
      <p className="small ink3 under">Soil-test K at each year’s end; shaded: the doubt in the field factor.</p>
      <PathPlot
        path={zone.path}
        k_ppm={zone.reading.k_ppm}
        kSat_pct={zone.reading.kSat_pct}
        floor_ppm={own.floor_ppm ?? plan.rates.floor_ppm}
        floor_pct={own.floor_pct ?? plan.rates.floor_pct}
        caption={
          light
            ? 'No leaching is counted. This is light ground: what stands above the floor is the most that may be left.'
            : ''
        }
      />
      {zone.carriedOver_lbK2OPerAc > 0.05 && (
        <p className="small ink2 under">
          {number(zone.carriedOver_lbK2OPerAc, 1)} lb K₂O/ac of the credits are more than this year asks for; they count
          next year.
        </p>
      )}
    </Section>
  );
}

type Next = NonNullable<ZoneRate['next']>['plan'];

const stands = ({ k_ppm, removalYears }: Next): string =>
  `${number(k_ppm)} ppm${removalYears === null ? '' : `, ${bank(removalYears)} above the floor`}`;

const bank = (years: number): string =>
  years < 0.05
    ? 'no removal'
    : years === 1
      ? counted(1, 'year of removal', 'years of removal')
      : `${number(years, 1)} years of removal`;
