import { type ReactElement, useId } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import type { SoilOut, SoilSeries } from '../../core/soil/types.ts';
import { editPart } from '../store/document.ts';
import { counted, number } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** Which tests count where a file holds several years or depths; nothing where there is only one. */
export function SeriesChooser({ plan, soil }: { readonly plan: Plan; readonly soil: SoilOut }): ReactElement | null {
  const name = useId();
  const { series } = soil;
  if (series.length < 2) return null;
  const { year, depthTold } = plan.soil;
  const isTold = (one: SoilSeries): boolean =>
    (year === null || one.year === year) && (depthTold === null || one.depthTold === depthTold);
  // What was chosen stands at once, before the file is read anew.
  const told = year === null && depthTold === null ? undefined : series.find(isTold);
  const chosen = told ?? series.find((one) => one.used);
  return (
    <Section title="Several tests in one file" aside={counted(series.length, 'test')}>
      <fieldset className="series" data-setting="soil.year" tabIndex={-1}>
        <legend className="unseen">Which test counts</legend>
        {series.map((one) => (
          <label className="choice" key={seriesName(one)}>
            <input type="radio" name={name} checked={one === chosen} onChange={() => chooseSeries(one)} />
            <span>
              {seriesName(one)}
              <span className="ink3"> · {counted(one.rows, 'row')}</span>
            </span>
          </label>
        ))}
      </fieldset>
      <p className="small ink3">
        {year === null && depthTold === null
          ? 'The latest and shallowest counts until another is chosen.'
          : 'Chosen by hand. '}
        {(year !== null || depthTold !== null) && (
          <button
            type="button"
            className="btn link s"
            onClick={() => editPart('soil', 'the latest test counts', { year: null, depthTold: null })}
          >
            Back to the latest
          </button>
        )}
      </p>
    </Section>
  );
}

/** `2025, 0-6 in`. */
export function seriesName({ year, depthTold, depth_in }: SoilSeries): string {
  const depth = depthTold ?? `${number(depth_in, Number.isInteger(depth_in) ? 0 : 1)} in`;
  return `${year === null ? 'No year told' : String(year)}, ${depth.replace(/(\d)-(?=\d)/g, '$1–')}`;
}

const chooseSeries = (one: SoilSeries): void =>
  editPart('soil', `test of ${seriesName(one)}`, { year: one.year, depthTold: one.depthTold });
