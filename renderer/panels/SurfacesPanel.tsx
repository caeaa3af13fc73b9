import type { ReactElement } from 'react';
import type { Plan } from '../../core/plan/schema.ts';
import { LAYER_IDS, LAYER_NAMES, type LayerId, type SurfacesOut } from '../../core/surfaces/types.ts';
import { cancelRun } from '../commands/follow.ts';
import { isFresh } from '../store/derive.ts';
import { editPart, usePlan } from '../store/document.ts';
import { layerSpread } from '../store/layer-spread.ts';
import { useResults } from '../store/results.ts';
import { openPanel, useView } from '../store/view.ts';
import { NumberField } from '../ui/Fields.tsx';
import { figure, number, quantity } from '../ui/format.ts';
import { Note } from '../ui/Note.tsx';
import { PanelFrame, Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';

/** How the surfaces are made, how well the samples predict one another, and what the layers hold. */
export function SurfacesPanel(): ReactElement | null {
  const plan = usePlan();
  const results = useResults();
  if (!plan) return null;
  const { out, work } = results;
  const surfaces = out?.surfaces ?? null;
  const composites = out?.soil?.kind === 'composites';
  const stale = !isFresh(plan, results);
  return (
    <PanelFrame
      panel="surfaces"
      title="Surfaces"
      sentence={
        composites
          ? 'Zone composites: nothing is interpolated across them.'
          : 'How well the samples predict one another.'
      }
      foot={
        <>
          {work !== null && (
            <>
              <span className="small ink2" role="status">
                {work === 'waiting'
                  ? 'Waiting'
                  : `${number((100 * work.done) / Math.max(1, work.total))} % of ${work.stage}`}
              </span>
              <button type="button" className="btn" onClick={cancelRun}>
                Cancel
              </button>
            </>
          )}
          <span className="grow" />
          <button type="button" className="btn main" onClick={() => openPanel('zones')}>
            To zones
          </button>
        </>
      }
    >
      <Settings plan={plan} />
      <div className={stale ? 'stale-figures' : undefined}>
        {surfaces && !composites && <Errors surfaces={surfaces} />}
        {surfaces && <Spreads surfaces={surfaces} />}
        {surfaces && <Far surfaces={surfaces} plan={plan} />}
      </div>
      <ProblemList problems={out?.stages.surfaces.problems ?? []} />
    </PanelFrame>
  );
}

function Settings({ plan }: { readonly plan: Plan }): ReactElement {
  const { power, neighbours, cell_m, far_m } = plan.surfaces;
  const units = useView((view) => view.units);
  return (
    <Section title="Inverse distance" aside="nearer samples count for more">
      <div className="two-columns">
        <NumberField
          label="Power"
          setting="surfaces.power"
          measure="plain"
          min={0.5}
          max={6}
          value={power}
          onCommit={(value) => editPart('surfaces', `power ${value}`, { power: value })}
        />
        <NumberField
          label="Neighbours"
          setting="surfaces.neighbours"
          hint={neighbours === 0 ? '0: all of them' : undefined}
          measure="whole"
          whole
          min={0}
          max={64}
          value={neighbours}
          onCommit={(value) =>
            editPart('surfaces', value === 0 ? 'all neighbours' : `${value} neighbours`, { neighbours: value })
          }
        />
        <NumberField
          label="Cell"
          setting="surfaces.cell_m"
          measure="metres"
          min={1}
          max={100}
          value={cell_m}
          onCommit={(value) => editPart('surfaces', `cell ${value} m`, { cell_m: value })}
        />
        <NumberField
          label="Far beyond"
          setting="surfaces.far_m"
          measure="distance"
          min={10}
          max={2000}
          value={far_m}
          onCommit={(value) =>
            editPart('surfaces', `far beyond ${quantity(value, 'distance', units)}`, { far_m: value })
          }
        />
      </div>
    </Section>
  );
}

function Errors({ surfaces }: { readonly surfaces: SurfacesOut }): ReactElement {
  const measured = LAYER_IDS.filter((id) => surfaces.errors[id] !== undefined);
  const samples = surfaces.errors.k_ppm?.samples;
  return (
    <Section
      title="Leave-one-out error"
      aside={samples === undefined ? undefined : `${number(samples)} samples, each left out once`}
    >
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Measured</th>
            <th scope="col" className="num">
              RMSE
            </th>
            <th scope="col" className="num">
              MAE
            </th>
            <th scope="col" className="num">
              mean alone
            </th>
          </tr>
        </thead>
        <tbody>
          {measured.map((id) => {
            const error = surfaces.errors[id];
            if (!error) return null;
            const decimals = errorDecimals(error.rmse);
            return (
              <tr key={id}>
                <LayerName id={id} />
                <td className="num">{number(error.rmse, decimals)}</td>
                <td className="num">{number(error.mae, decimals)}</td>
                <td className="num ink3">{number(error.meanRmse, decimals)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <p className="small ink2 under">
        {verdict(surfaces)} <i className="ink3">Mean alone: the RMSE of saying the mean of the others everywhere.</i>
      </p>
    </Section>
  );
}

const errorDecimals = (rmse: number): number => (rmse >= 100 ? 0 : rmse >= 1 ? 1 : 2);

function verdict({ errors }: SurfacesOut): string {
  const k = errors.k_ppm;
  if (!k || !(k.meanRmse > 0)) return '';
  const better = 1 - k.rmse / k.meanRmse;
  return better > 0.02
    ? `For K the surface errs ${number(100 * better)} % less than the field mean would.`
    : 'For K the surface is no better than the field mean: the samples hardly predict one another.';
}

const LayerName = ({ id }: { readonly id: LayerId }): ReactElement => (
  <td>
    {LAYER_NAMES[id].name} <span className="small ink3">{LAYER_NAMES[id].unit}</span>
  </td>
);

function Spreads({ surfaces }: { readonly surfaces: SurfacesOut }): ReactElement {
  return (
    <Section title="Over the field" aside="each cell by its ground">
      <table className="table">
        <thead>
          <tr>
            <th scope="col">Layer</th>
            <th scope="col" className="num">
              least
            </th>
            <th scope="col" className="num">
              mean
            </th>
            <th scope="col" className="num">
              most
            </th>
          </tr>
        </thead>
        <tbody>
          {LAYER_IDS.map((id) => {
            const values = surfaces.layers[id];
            if (!values) return null;
            const { least, mean, most } = layerSpread(values, surfaces.grid.cover_m2);
            const { decimals } = LAYER_NAMES[id];
            return (
              <tr key={id}>
                <LayerName id={id} />
                <td className="num ink3">{number(least, decimals)}</td>
                <td className="num">{number(mean, decimals)}</td>
                <td className="num ink3">{number(most, decimals)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Section>
  );
}

function Far({ surfaces, plan }: { readonly surfaces: SurfacesOut; readonly plan: Plan }): ReactElement {
  const units = useView((view) => view.units);
  if (surfaces.far_ac <= 0) return <p className="small ink2 under">No ground is far from a sample.</p>;
  return (
    <Note>
      <b>{quantity(surfaces.far_ac, 'area', units)}</b> lie over {figure(plan.surfaces.far_m, 'distance', units)}{' '}
      {units === 'US' ? 'ft' : 'm'} from any sample, hatched on the map.
    </Note>
  );
}
