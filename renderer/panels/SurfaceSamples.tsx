import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { LAYER_NAMES, type SampleResidual, type SurfacesOut } from '../../core/surfaces/types.ts';
import { ResidualPlot } from '../charts/ResidualPlot.tsx';
import { ResidualTable } from '../charts/ResidualTable.tsx';
import { useSurfacesView } from '../store/surfaces-view.ts';
import { flyTo, openPanel, useView } from '../store/view.ts';
import { measuredIn, shortWithUnit } from '../store/ways.ts';
import { Select } from '../ui/Fields.tsx';
import { counted, figure, quantity as inUnits, number, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { chooseQuantity } from './SurfaceError.tsx';

/** The samples against what the others say of them, and how closely the field was sampled. */
export function SurfaceSamples({
  plan,
  surfaces,
}: {
  readonly plan: Plan;
  readonly surfaces: SurfacesOut;
}): ReactElement {
  return (
    <>
      <Residuals surfaces={surfaces} />
      <Density plan={plan} surfaces={surfaces} />
    </>
  );
}

function Residuals({ surfaces }: { readonly surfaces: SurfacesOut }): ReactElement | null {
  const wanted = useSurfacesView((view) => view.quantity);
  const asTable = useSurfacesView((view) => view.asTable.has('samples'));
  const litSamples = useView((view) => view.litSamples);
  const there = measuredIn(surfaces);
  const quantity = there.includes(wanted) ? wanted : there[0];
  const residuals = quantity === undefined ? undefined : surfaces.residuals[quantity];
  if (quantity === undefined || !residuals) return null;
  const outliers = residuals.filter((one) => one.outlier);
  const shown = {
    residuals,
    unit: shortWithUnit(quantity),
    decimals: LAYER_NAMES[quantity].decimals,
    litSamples,
    onChoose: (one: SampleResidual | null) =>
      useView.setState({
        litSamples: new Set(one ? [one.id] : []),
        selectedRow: one ? { file: one.file, row: one.row } : null,
      }),
  };
  const [id] = litSamples.size === 1 ? litSamples : [];
  const lit = residuals.find((one) => one.id === id);
  return (
    <Section
      title="Measured and predicted"
      aside={
        outliers.length === 0 ? 'no outlier' : `${counted(outliers.length, 'outlier')} of ${number(residuals.length)}`
      }
    >
      <div className="error-head">
        <Select
          spoken="Quantity"
          value={quantity}
          options={there.map((value) => ({ value, label: LAYER_NAMES[value].name }))}
          onCommit={chooseQuantity}
        />
      </div>
      {asTable ? <ResidualTable {...shown} /> : <ResidualPlot {...shown} key={quantity} />}
      <div className="lit-sample" role="status">
        {lit ? (
          <>
            <span>
              Sample <b>{lit.id}</b>: measured {number(lit.measured, shown.decimals)}, predicted{' '}
              {number(lit.predicted, shown.decimals)} {LAYER_NAMES[quantity].unit}
              {lit.outlier ? ', an outlier' : ''}
            </span>
            <button type="button" className="btn s" onClick={() => openPanel('soil', 'table')}>
              Row {number(lit.row)} in Soil
            </button>
          </>
        ) : (
          <span className="ink3">Choose a sample to light it on the map.</span>
        )}
      </div>
      <p className="small ink2 under">
        <b>Squares are outliers:</b> far from what their neighbours say of them. That may be a slip of the lab, or a
        place that is truly different; look before setting one aside.
      </p>
    </Section>
  );
}

/** Acres a sample that variable-rate work usually keeps to: common practice. */
const USUAL_AC = 2.5;

function Density({ plan, surfaces }: { readonly plan: Plan; readonly surfaces: SurfacesOut }): ReactElement {
  const units = useView((view) => view.units);
  const { density } = surfaces;
  const { acresPerSample, farthest } = density;
  const said =
    acresPerSample > USUAL_AC * 1.1
      ? 'coarser than usual'
      : acresPerSample < USUAL_AC * 0.9
        ? 'closer than usual'
        : 'about as usual';
  return (
    <Section title="How closely it was sampled" aside={`${counted(density.samples, 'sample')}, ${said}`}>
      <DensityLine acres={acresPerSample} units={units} />
      <table className="table density">
        <tbody>
          <tr>
            <th scope="row">{units === 'US' ? 'Acres' : 'Hectares'} a sample</th>
            <td className="ink3">common practice: {figure(USUAL_AC, 'area', units)}</td>
            <td className="num">{figure(acresPerSample, 'areaFine', units)}</td>
          </tr>
          {farthest && (
            <tr>
              <th scope="row">Farthest spot</th>
              <td>
                <button type="button" className="btn link s" onClick={() => flyTo(farthest.at)}>
                  Show it
                </button>
              </td>
              <td className="num">{inUnits(farthest.distance_m, 'distance', units)}</td>
            </tr>
          )}
          <tr>
            <th scope="row">Far from any sample</th>
            <td className="ink3">over {inUnits(plan.surfaces.far_m, 'distance', units)}; hatched</td>
            <td className="num">{inUnits(surfaces.far_ac, 'area', units)}</td>
          </tr>
          <tr>
            <th scope="row">Outside the samples</th>
            <td className="ink3">beyond their hull; dotted</td>
            <td className="num">{inUnits(surfaces.outsideHull_ac, 'area', units)}</td>
          </tr>
        </tbody>
      </table>
    </Section>
  );
}

const MOST_AC = 10;

/** Acres a sample on a line, closer to the left; the usual density is marked. The table beneath has the figures. */
function DensityLine({ acres, units }: { readonly acres: number; readonly units: 'US' | 'metric' }): ReactElement {
  // By the square root, as the distance between samples goes.
  const x = (value: number): number => 8 + 324 * Math.sqrt(Math.min(MOST_AC, value) / MOST_AC);
  return (
    <svg className="plot density-line" viewBox="0 0 340 44" aria-hidden="true">
      <path className="plot-axis" d="M8 24H332" />
      {[0.5, 1, 2.5, 5, 10].map((value) => (
        <g key={value}>
          <path
            className={value === USUAL_AC ? 'plot-mark-line' : 'plot-axis'}
            d={`M${x(value)} ${value === USUAL_AC ? 14 : 20}V28`}
          />
          <text className="plot-tick" x={x(value)} y={40} textAnchor="middle">
            {figure(value, 'area', units, 1)}
          </text>
        </g>
      ))}
      <g className="plot-in-use">
        <circle cx={x(acres)} cy={24} r={6} />
        <text x={Math.max(16, Math.min(324, x(acres)))} y={10} textAnchor="middle">
          {figure(acres, 'areaFine', units)} {unitOf('area', units)}
        </text>
      </g>
    </svg>
  );
}
