import './ledger.css';
import type { ReactElement } from 'react';
import type { ZoneRate } from '../../core/rates/types.ts';
import { figure, type UnitSystem, unitOf } from '../ui/format.ts';

export interface ThreeAnswersProps {
  readonly answers: ZoneRate['answers'];
  readonly units: UnitSystem;
}

/** Always in sight of the three; the sources stand with the plan's cautions. */
const CAUTION = 'Saturation targets are a practice without yield calibration.';

/** What ppm alone asks for, what saturation alone asks for, and what the plan gives: same size, same place. */
export function ThreeAnswers({ answers, units }: ThreeAnswersProps): ReactElement {
  const all = [
    ['ppm alone', answers.ppmAlone, 'no answer'],
    ['saturation alone', answers.saturationAlone, 'no answer'],
    ['this plan', answers.thisPlan, 'withheld'],
  ] as const;
  return (
    <>
      <dl className="ledger-answers" data-testid="three-answers">
        {all.map(([name, rate, none]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              {rate === null ? (
                <span className="ledger-none">{none}</span>
              ) : (
                <>
                  {figure(rate, 'rate', units)} <small>{unitOf('rate', units)}</small>
                </>
              )}
            </dd>
          </div>
        ))}
      </dl>
      <p className="ledger-caution">{CAUTION}</p>
    </>
  );
}
