import type { ReactElement } from 'react';
import { layerName, layersOf } from '../../core/layers/layer.ts';
import type { AnyLayerId, SurfacesOut } from '../../core/surfaces/types.ts';
import { LayerHistogram } from '../charts/LayerHistogram.tsx';
import { PairPlot } from '../charts/PairPlot.tsx';
import { PairTable } from '../charts/PairTable.tsx';
import { useAsked } from '../compute/use-asked.ts';
import { nameWithUnit } from '../map/layer-of.ts';
import { useSurfacesView } from '../store/surfaces-view.ts';
import { useView } from '../store/view.ts';
import { Select } from '../ui/Fields.tsx';
import { figure, number, unitOf } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';

/** What the layer on the map holds over the ground to be spread, and how any two layers go together. */
export function SurfaceStatistics({ surfaces }: { readonly surfaces: SurfacesOut }): ReactElement {
  const layers = layersOf(surfaces);
  const options = layers.map((value) => ({ value, label: layerName(surfaces, value).name }));
  return (
    <>
      <OneLayer surfaces={surfaces} options={options} />
      <TwoLayers surfaces={surfaces} options={options} />
    </>
  );
}

interface PartProps {
  readonly surfaces: SurfacesOut;
  readonly options: readonly { readonly value: AnyLayerId; readonly label: string }[];
}

function OneLayer({ surfaces, options }: PartProps): ReactElement {
  const units = useView((view) => view.units);
  const asTable = useSurfacesView((view) => view.asTable.has('statistics'));
  const onMap = useView((view) => view.layer);
  const layer = options.find(({ value }) => value === onMap)?.value ?? options[0]?.value ?? 'k_ppm';
  const answer = useAsked('statistics', { layer }, surfaces);
  const words = layerName(surfaces, layer);
  const { decimals } = words;
  const stats = answer?.stats;
  const rows = stats
    ? ([
        ['least', stats.min],
        ['5 % of the ground is under', stats.p5],
        ['20 % is under', stats.p20],
        ['half is under: median', stats.median],
        ['mean', stats.mean],
        ['80 % is under', stats.p80],
        ['95 % is under', stats.p95],
        ['most', stats.max],
      ] as const)
    : [];
  return (
    <Section title="Over the ground to be spread" aside="each cell by its ground">
      <div className="error-head">
        <Select
          spoken="Layer on the map"
          value={layer}
          options={options}
          onCommit={(chosen) => useView.setState({ layer: chosen })}
        />
        {stats && (
          <span className="small ink2">
            {figure(stats.known_ac, 'area', units)} {unitOf('area', units)} known
          </span>
        )}
      </div>
      {answer && stats ? (
        <>
          <LayerHistogram
            histogram={answer.histogram}
            name={nameWithUnit(words)}
            median={stats.median}
            mean={stats.mean}
            units={units}
            asTable={asTable}
          />
          <table className="table stats">
            <caption className="unseen">{nameWithUnit(words)} over the ground to be spread</caption>
            <tbody>
              {rows.map(([what, value]) => (
                <tr key={what}>
                  <th scope="row">{what}</th>
                  <td className="num">{number(value, decimals)}</td>
                </tr>
              ))}
              <tr>
                <th scope="row">standard deviation, CV</th>
                <td className="num">
                  {number(stats.sd, Math.max(1, decimals))} <span className="ink3">· {number(stats.cv_pct)} %</span>
                </td>
              </tr>
            </tbody>
          </table>
        </>
      ) : (
        <p className="small ink3">Counting the cells.</p>
      )}
    </Section>
  );
}

function TwoLayers({ surfaces, options }: PartProps): ReactElement {
  const units = useView((view) => view.units);
  const asTable = useSurfacesView((view) => view.asTable.has('statistics'));
  const pair = useSurfacesView((view) => view.pair);
  const chosen = (at: 0 | 1): AnyLayerId =>
    options.find(({ value }) => value === pair[at])?.value ??
    options[Math.min(at, options.length - 1)]?.value ??
    'k_ppm';
  const [a, b] = [chosen(0), chosen(1)];
  const answer = useAsked('correlation', { a, b }, surfaces);
  const [across, up] = [layerName(surfaces, a), layerName(surfaces, b)];
  const set = (at: 0 | 1, value: AnyLayerId): void =>
    useSurfacesView.setState({ pair: at === 0 ? [value, b] : [a, value] });
  return (
    <Section title="Two layers against one another" aside="cell by cell">
      <div className="pair-head">
        <Select spoken="Layer across" value={a} options={options} onCommit={(value) => set(0, value)} />
        <span className="ink3">and</span>
        <Select spoken="Layer up" value={b} options={options} onCommit={(value) => set(1, value)} />
      </div>
      {answer ? (
        <>
          <dl className="pair-figures" data-testid="correlation">
            <div>
              <dt>Pearson</dt>
              <dd>{number(answer.correlation.pearson, 2)}</dd>
            </div>
            <div>
              <dt>Spearman</dt>
              <dd>{number(answer.correlation.spearman, 2)}</dd>
            </div>
            <div>
              <dt>cells with both</dt>
              <dd>{number(answer.correlation.n)}</dd>
            </div>
          </dl>
          {asTable ? (
            <PairTable pair={answer} across={across} up={up} units={units} />
          ) : (
            <PairPlot pair={answer} across={across} up={up} />
          )}
          <p className="small ink2 under">
            Cells of a surface are not independent of each other: the figures describe this field, they prove nothing.
          </p>
        </>
      ) : (
        <p className="small ink3">Comparing the cells.</p>
      )}
    </Section>
  );
}
