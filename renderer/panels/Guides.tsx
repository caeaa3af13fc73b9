import './guides.css';
import { type ReactElement, useMemo } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { CROPS } from '../../core/rates/crops.ts';
import { guideGround } from '../../core/rates/guide-ground.ts';
import { CURVE_K_PPM, guideCurves } from '../../core/rates/guides/curves.ts';
import { GUIDES } from '../../core/rates/guides/list.ts';
import { type GuideRow, guideTable } from '../../core/rates/guides/table.ts';
import type { GuideAnswer } from '../../core/rates/guides/types.ts';
import type { ZoneRate } from '../../core/rates/types.ts';
import { type GuideLine, GuidePlot } from '../charts/GuidePlot.tsx';
import { editPart } from '../store/document.ts';
import { useResults } from '../store/results.ts';
import { useView } from '../store/view.ts';
import { figure, MEASURES, number, readable, shortNumber, type UnitSystem, unitOf } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { ownCurve } from './zone-plan.ts';

interface GuidesProps {
  readonly plan: Plan;
  readonly zone: ZoneRate;
}

/** What published recommendations say of the chosen zone, beside this plan's own K2O. One whose formula was seen in print may set the rates. */
export function Guides({ plan, zone }: GuidesProps): ReactElement {
  const units = useView((view) => view.units);
  const out = useResults((results) => results.out);
  const asked = useMemo(() => {
    const of = guideGround(zone, plan, out);
    const { rates } = of;
    return {
      rates,
      rows: guideTable(of),
      curves: guideCurves(of).curves,
      own: ownCurve(plan, rates, zone, CURVE_K_PPM),
    };
  }, [plan, zone, out]);
  const { rows } = asked;
  const lines = linesOf(asked.curves, plan.rates.follows, units);
  const answered = rows.filter((row) => row.answer.ok);
  const refused = rows.filter((row) => !row.answer.ok);
  const rates = answered.map((row) => rateOf(row) ?? 0);
  const most = Math.max(1, zone.k2o_lbPerAc ?? 0, ...rates);
  return (
    <>
      <FollowsNote follows={plan.rates.follows} says="its rate stands in place of lines 1 to 7 of every ledger." />
      <Section
        title="K₂O over soil-test K"
        aside={`at CEC ${number(zone.reading.cec_meq, 1)}${goalWords(asked.rates)}`}
      >
        <GuidePlot
          k_ppm={CURVE_K_PPM}
          lines={lines}
          own={asked.own.map((value) => shown(value, units))}
          here_ppm={zone.reading.k_ppm}
          here={shown(ownCurve(plan, asked.rates, zone, [zone.reading.k_ppm])[0] ?? null, units)}
          zone={zone.letter}
          unit={unitOf('k2o', units)}
        />
        <p className="small ink2">
          Coloured: this plan’s own lines, before credits and caps. Solid: seen in print or second-hand, may set the
          rates. Dashed: from memory, stands beside only. The numbers are those of the table.
        </p>
      </Section>
      <Section title={`K₂O this year, ${unitOf('k2o', units)}`} aside={`zone ${zone.letter}`}>
        <table className="table guides" data-testid="guides">
          <thead>
            <tr>
              <th scope="col">Guide</th>
              <th scope="col" className="num">
                {unitOf('k2o', units)}
              </th>
            </tr>
          </thead>
          <tbody>
            <tr className="guide-plan">
              <td>
                <b>This plan</b>
                <Bar value={zone.k2o_lbPerAc} most={most} own />
              </td>
              <td className="num">
                <b>{zone.k2o_lbPerAc === null ? 'withheld' : figure(zone.k2o_lbPerAc, 'k2o', units)}</b>
              </td>
            </tr>
            {answered.map((row) => (
              <Answered
                key={row.guide.id}
                row={row}
                n={lines.find(({ id }) => id === row.guide.id)?.n ?? null}
                most={most}
                plan={zone.k2o_lbPerAc}
                followed={plan.rates.follows === row.guide.id}
              />
            ))}
          </tbody>
        </table>
      </Section>
      {refused.length > 0 && (
        <Section title="Do not fit this ground" aside={`${refused.length} of ${rows.length}`}>
          <ul className="small ink3 sentences">
            {refused.map(({ guide, answer }) => (
              <li key={guide.id}>
                <b>{guide.name}</b>: {answer.ok ? '' : readable(answer.why)}
              </li>
            ))}
          </ul>
        </Section>
      )}
      <Note severity="note">
        Published guides disagree, openly and by design. None changes a rate unless it is told to; the bulletin in force
        where the field lies comes first. At {figure(zone.reading.k_ppm, 'ppm', units)} ppm of K.
      </Note>
    </>
  );
}

/** Says which guide sets the rates, with the way back; nothing where none does. */
export function FollowsNote({
  follows,
  says,
}: {
  readonly follows: string | null;
  readonly says: string;
}): ReactElement | null {
  if (follows === null) return null;
  return (
    <Note severity="note">
      The rates follow <b>{GUIDES.find(({ id }) => id === follows)?.name ?? follows}</b>: {says}
      <span className="hand-acts">
        <button
          type="button"
          className="btn s"
          data-setting="rates.follows"
          onClick={() => editPart('rates', 'rates by the ledger', { follows: null })}
        >
          Back to the ledger’s own lines
        </button>
      </span>
    </Note>
  );
}

const shown = (k2o_lbPerAc: number | null, units: UnitSystem): number | null =>
  k2o_lbPerAc === null ? null : k2o_lbPerAc * MEASURES.k2o[units].factor;

/** The guides that give a rate somewhere over K, numbered in the order of the list. */
const linesOf = (
  curves: ReturnType<typeof guideCurves>['curves'],
  follows: string | null,
  units: UnitSystem,
): readonly GuideLine[] =>
  curves
    .filter((curve) => curve.k2o_lbPerAc.some((value) => value !== null && value > 0))
    .map((curve, index) => ({
      id: curve.guide.id,
      name: curve.guide.name,
      n: index + 1,
      values: curve.k2o_lbPerAc.map((value) => shown(value, units)),
      beside: !curve.maySetRate,
      followed: curve.guide.id === follows,
    }));

function goalWords({ crop, yieldGoal }: Plan['rates']): string {
  const known = CROPS.find(({ id }) => id === crop);
  return known && yieldGoal !== null
    ? `, ${shortNumber(yieldGoal)} ${known.yieldUnit} of ${known.name.toLowerCase()}`
    : '';
}

const rateOf = ({ answer }: GuideRow): number | null => (answer.ok ? answer.k2o_lbPerAc : null);

function Answered({
  row,
  n,
  most,
  plan,
  followed,
}: {
  /** Its number in the plot; null where it has no line there. */
  readonly n: number | null;
  readonly row: GuideRow;
  readonly most: number;
  readonly followed: boolean;
  readonly plan: number | null;
}): ReactElement | null {
  const { guide, answer } = row;
  const units = useView((view) => view.units);
  if (!answer.ok) return null;
  const doubtful = answer.flag.startsWith('from memory');
  return (
    <tr className={doubtful ? 'guide-doubtful' : undefined}>
      <td>
        {n !== null && <span className="guide-n">{n}</span>}
        <span>{guide.name}</span>
        <span className="small ink3">
          {guide.supersededBy ? ' superseded' : ''}
          {guide.supersededBy && doubtful ? ',' : ''}
          {doubtful ? ' from memory' : ''}
        </span>
        {answer.k2o_lbPerAc !== null && <Bar value={answer.k2o_lbPerAc} most={most} mark={plan} />}
        <p className="small ink2">{readable(answer.how)}</p>
        <details className="guide-more small ink3">
          <summary>Source{answer.cautions.length > 0 ? ' and conditions' : ''}</summary>
          {levels(answer) && <p>{levels(answer)}</p>}
          {answer.cautions.map((sentence) => (
            <p key={sentence}>{readable(sentence)}</p>
          ))}
          <p>
            {guide.source}; {answer.flag}. {readable(guide.validity)}
          </p>
        </details>
        {answer.maySetRate && !followed && (
          <button
            type="button"
            className="btn s"
            onClick={() => editPart('rates', `rates as ${guide.name} says`, { follows: guide.id })}
          >
            Let it set the rates
          </button>
        )}
        {followed && (
          <p className="small">
            <b>It sets this plan’s rates.</b>
          </p>
        )}
      </td>
      <td className="num">{answer.k2o_lbPerAc === null ? 'no rate' : figure(answer.k2o_lbPerAc, 'k2o', units)}</td>
    </tr>
  );
}

function levels({ critical_ppm, noneAbove_ppm, className }: GuideAnswer): string {
  const span =
    critical_ppm &&
    (critical_ppm.least === critical_ppm.most
      ? number(critical_ppm.least)
      : `${number(critical_ppm.least)}–${number(critical_ppm.most)}`);
  return [
    className ? `class ${className}` : '',
    span ? `critical level ${span} ppm` : '',
    noneAbove_ppm === null ? '' : `none above ${number(noneAbove_ppm)} ppm`,
  ]
    .filter((part) => part !== '')
    .join(' · ');
}

/** A figure against the largest of all guides, with a tick where this plan stands. The figure itself is in the next column. */
function Bar({
  value,
  most,
  mark = null,
  own = false,
}: {
  readonly value: number | null;
  readonly most: number;
  readonly mark?: number | null;
  readonly own?: boolean;
}): ReactElement {
  const share = (figure_lb: number): number => (300 * figure_lb) / most;
  return (
    <svg
      className={own ? 'guide-bar own' : 'guide-bar'}
      viewBox="0 0 302 8"
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <line className="guide-track" x1="0" x2="300" y1="4" y2="4" />
      <line className="guide-value" x1="0" x2={share(value ?? 0)} y1="4" y2="4" />
      {mark !== null && <line className="guide-mark" x1={share(mark)} x2={share(mark)} y1="0" y2="8" />}
    </svg>
  );
}
