import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { MUCH_CV_PCT } from '../../core/surfaces/scan.ts';
import { MEASURED_IDS, type MeasuredId } from '../../core/surfaces/settings.ts';
import { type ErrorScan, LAYER_NAMES, type LayerError, type SurfacesOut } from '../../core/surfaces/types.ts';
import { neighboursText, wayOf } from '../../core/surfaces/ways.ts';
import { ErrorPlot } from '../charts/ErrorPlot.tsx';
import { ErrorTable } from '../charts/ErrorTable.tsx';
import { asGood, type ErrorMeasure, errorDecimals } from '../charts/error-plot.ts';
import { editPart } from '../store/document.ts';
import { useDraft } from '../store/draft.ts';
import { layerSpread } from '../store/layer-spread.ts';
import { useSurfacesView } from '../store/surfaces-view.ts';
import { useView } from '../store/view.ts';
import { hasOwnWay, measuredIn, patchWay, SHORT_NAMES, shortWithUnit } from '../store/ways.ts';
import { Select } from '../ui/Fields.tsx';
import { number, shortNumber } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { Section } from '../ui/PanelFrame.tsx';
import { Segments } from '../ui/Segments.tsx';
import { SaturationChoice, SurfaceWays } from './SurfaceWays.tsx';

interface SurfaceErrorProps {
  readonly plan: Plan;
  readonly surfaces: SurfacesOut | null;
  readonly composites: boolean;
  readonly stale: boolean;
}

/** The error of every setting, the setting in use, and how each quantity fares. */
export function SurfaceError({ plan, surfaces, composites, stale }: SurfaceErrorProps): ReactElement {
  const wanted = useSurfacesView((view) => view.quantity);
  const there = measuredIn(surfaces);
  const quantity = there.includes(wanted) ? wanted : (there[0] ?? 'k_ppm');
  const scan = surfaces?.scans[quantity];
  return (
    <>
      {surfaces && scan && (
        <Errors plan={plan} surfaces={surfaces} scan={scan} quantity={quantity} there={there} stale={stale} />
      )}
      <SurfaceWays plan={plan} quantity={quantity} there={there} composites={composites} />
      {scan && scan.cv_pct > MUCH_CV_PCT && <MuchSpread scan={scan} quantity={quantity} />}
      {surfaces && !composites && (
        <div className={stale ? 'stale-figures' : undefined}>
          <Quantities surfaces={surfaces} quantity={quantity} />
        </div>
      )}
      {!composites && <SaturationChoice plan={plan} />}
      {!composites && (
        <p className="small ink3 under">
          Gotway et al. 1996, Soil Sci. Soc. Am. J. 60:1237. Kravchenko and Bullock 1999, Agron. J. 91:393. Inverse
          distance: Shepard 1968.
        </p>
      )}
    </>
  );
}

export function chooseQuantity(quantity: MeasuredId): void {
  useSurfacesView.setState({ quantity });
  useView.setState({ layer: quantity });
}

function Errors(props: {
  readonly plan: Plan;
  readonly surfaces: SurfacesOut;
  readonly scan: ErrorScan;
  readonly quantity: MeasuredId;
  readonly there: readonly MeasuredId[];
  readonly stale: boolean;
}): ReactElement {
  const { plan, surfaces, scan, quantity, there, stale } = props;
  const measure = useSurfacesView((view) => view.measure);
  const asTable = useSurfacesView((view) => view.asTable.has('error'));
  const draft = useDraft((state) => state.draft);
  const way = wayOf(plan.surfaces, quantity);
  const error = surfaces.errors[quantity];
  const take = (power: number, neighbours: number): void => {
    if (power === way.power && neighbours === way.neighbours) return;
    const whose = hasOwnWay(plan.surfaces, quantity) ? `${SHORT_NAMES[quantity]}: ` : '';
    editPart(
      'surfaces',
      `${whose}power ${shortNumber(power)}, ${neighboursText(neighbours)}`,
      patchWay(plan.surfaces, quantity, { power, neighbours }),
    );
  };
  const shown = {
    scan,
    measure,
    unit: shortWithUnit(quantity),
    inUse: {
      power: way.power,
      neighbours: way.neighbours,
      error: stale ? Number.NaN : (error?.[measure] ?? Number.NaN),
    },
    onTake: take,
  };
  return (
    <Section title="Leave-one-out error" aside={`${number(scan.samples)} samples, ${SHORT_NAMES[quantity]}`}>
      <div className="error-head">
        <Select
          spoken="Quantity"
          value={quantity}
          options={there.map((value) => ({ value, label: LAYER_NAMES[value].name }))}
          onCommit={chooseQuantity}
        />
        <Segments
          legend="Kind of error"
          value={measure}
          options={[
            { value: 'rmse', label: 'RMSE', says: 'root of the mean square: large errors count more' },
            { value: 'mae', label: 'MAE', says: 'mean of the sizes' },
          ]}
          onChoose={(chosen: ErrorMeasure) => useSurfacesView.setState({ measure: chosen })}
        />
      </div>
      {asTable ? (
        <ErrorTable {...shown} />
      ) : (
        <ErrorPlot
          {...shown}
          key={quantity}
          meanError={measure === 'rmse' ? (error?.meanRmse ?? null) : null}
          draft={draft && draft.keptIn === null ? wayOf(draft.settings, quantity) : null}
        />
      )}
      <p className="small ink2 under">{verdict(scan, measure, error, quantity)}</p>
    </Section>
  );
}

const MuchSpread = ({ scan, quantity }: { readonly scan: ErrorScan; readonly quantity: MeasuredId }): ReactElement => (
  <Note severity="caution">
    <b>
      {SHORT_NAMES[quantity]} varies by {number(scan.cv_pct)} % about its mean (CV).
    </b>{' '}
    Over 25 % a power of 2 or 4 can be far off (Gotway et al. 1996), and no rule fixes it beforehand (Kravchenko and
    Bullock 1999): go by the error.
  </Note>
);

const AS_GOOD = 0.02;

function verdict(scan: ErrorScan, measure: ErrorMeasure, error: LayerError | undefined, quantity: MeasuredId): string {
  const good = asGood(scan, measure, AS_GOOD);
  const choice =
    good > 1
      ? `${good} of ${scan.entries.length} settings come within 2 % of the lowest.`
      : 'No other setting comes within 2 % of the lowest.';
  if (!error || !(error.meanRmse > 0)) return choice;
  const better = 1 - error.rmse / error.meanRmse;
  const against =
    better > 0.02
      ? `${SHORT_NAMES[quantity]} errs ${number(100 * better)} % less than by the field mean.`
      : `${SHORT_NAMES[quantity]} errs no less than by the field mean: its samples hardly predict one another.`;
  return `${against} ${choice}`;
}

function Quantities({
  surfaces,
  quantity,
}: {
  readonly surfaces: SurfacesOut;
  readonly quantity: MeasuredId;
}): ReactElement {
  const measure = useSurfacesView((view) => view.measure);
  const derived = surfaces.scans.kSat_pct === undefined ? surfaces.layers.kSat_pct : undefined;
  return (
    <Section title="Every quantity">
      <table className="table quantities">
        <thead>
          <tr>
            <th scope="col">Measured</th>
            <th scope="col" className="num">
              mean
            </th>
            <th scope="col" className="num">
              CV, %
            </th>
            <th scope="col" className="num">
              {measure === 'rmse' ? 'RMSE' : 'MAE'}
            </th>
            <th scope="col" className="num">
              mean alone
            </th>
          </tr>
        </thead>
        <tbody>
          {MEASURED_IDS.map((id) => {
            const [error, scan] = [surfaces.errors[id], surfaces.scans[id]];
            if (!error || !scan) return null;
            return (
              <tr key={id} className={id === quantity ? 'chosen' : undefined}>
                <th scope="row">
                  <button
                    type="button"
                    className="pick"
                    aria-pressed={id === quantity}
                    onClick={() => chooseQuantity(id)}
                  >
                    <span>
                      {SHORT_NAMES[id]} <span className="small ink3">{LAYER_NAMES[id].unit}</span>
                    </span>
                  </button>
                </th>
                <td className="num">{number(scan.mean, LAYER_NAMES[id].decimals)}</td>
                <td className="num ink3">{number(scan.cv_pct)}</td>
                <td className="num">{number(error[measure], errorDecimals(error.rmse))}</td>
                <td className="num ink3">{number(error.meanRmse, errorDecimals(error.rmse))}</td>
              </tr>
            );
          })}
          {derived && (
            <tr>
              <th scope="row">
                K saturation <span className="small ink3">%</span>
              </th>
              <td className="num">{number(layerSpread(derived, surfaces.grid.cover_m2).mean, 1)}</td>
              <td className="num ink3" colSpan={3}>
                derived, not interpolated
              </td>
            </tr>
          )}
        </tbody>
      </table>
      <p className="small ink3 under">Mean alone: the RMSE of saying the mean of the others everywhere.</p>
    </Section>
  );
}
