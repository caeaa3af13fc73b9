import { type ReactElement, useEffect } from 'react';
import { FILL_SAID } from '../../core/formats/tiff-fill.ts';
import type { OwnRaster, Plan } from '../../core/plan/schema.ts';
import type { SurfacesOut } from '../../core/surfaces/types.ts';
import {
  addRaster,
  changeRaster,
  chooseRasters,
  forgetWaiting,
  learnBands,
  removeRaster,
} from '../commands/rasters.ts';
import { useRasters, type WaitingRaster } from '../store/rasters.ts';
import { useView } from '../store/view.ts';
import { NumberField, Select, TextField } from '../ui/Fields.tsx';
import { counted, quantity } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { ProblemList } from './Problems.tsx';

/** Rasters that a person brought: added, named, shown, removed. */
export function OwnLayers({
  plan,
  surfaces,
}: {
  readonly plan: Plan;
  readonly surfaces: SurfacesOut | null;
}): ReactElement {
  const { reading, waiting } = useRasters();
  return (
    <>
      <div className="own-drop">
        <span>
          Elevation, conductivity, imagery: a GeoTIFF, in any coordinate system that it names. Drop it anywhere in the
          window.
        </span>
        <button type="button" className="btn" disabled={reading !== null} onClick={chooseRasters}>
          Add a raster
        </button>
      </div>
      {reading !== null && (
        <p className="small ink2 under" role="status">
          Reading {reading}
        </p>
      )}
      {waiting.map((one) => (
        <Waiting key={one.file.name} waiting={one} />
      ))}
      <Section
        title={plan.rasters.length === 0 ? 'None yet' : counted(plan.rasters.length, 'layer')}
        aside={plan.rasters.length === 0 ? undefined : 'also in the map’s list, statistics and spot reading'}
      >
        {plan.rasters.map((raster) => (
          <One key={raster.id} raster={raster} plan={plan} surfaces={surfaces} />
        ))}
        {plan.rasters.length === 0 && (
          <p className="small ink2">
            A layer of your own lies beside the soil’s on the map, and can be held against any of them.
          </p>
        )}
      </Section>
    </>
  );
}

function Waiting({ waiting }: { readonly waiting: WaitingRaster }): ReactElement {
  const { file, problems } = waiting;
  return (
    <div className="own-waiting">
      <Section title={`${file.name} was not added`}>
        <ProblemList problems={problems} />
        {problems.some((problem) => /crs|place/.test(problem.code)) && (
          <TextField
            label="EPSG code, or the text of a .prj"
            blank="EPSG:26915"
            wide
            value=""
            onCommit={(text) => void addRaster(file, text.trim())}
          />
        )}
        <button type="button" className="btn s" onClick={() => forgetWaiting(file)}>
          Leave it out
        </button>
      </Section>
    </div>
  );
}

function One({
  raster,
  plan,
  surfaces,
}: {
  readonly raster: OwnRaster;
  readonly plan: Plan;
  readonly surfaces: SurfacesOut | null;
}): ReactElement {
  const { id, file, name, unit, band, crs } = raster;
  const units = useView((view) => view.units);
  const shown = useView((view) => view.layer === `own.${id}`);
  const bands = useRasters((state) => state.bands[file]);
  const made = surfaces?.own.find((layer) => layer.id === `own.${id}`);
  const input = plan.inputs.find((one) => one.path === file);
  const filled = made?.reading
    .find((sentence) => sentence.startsWith(FILL_SAID))
    ?.slice(FILL_SAID.length)
    .split(':')[0];
  useEffect(() => void learnBands(file, crs), [file, crs]);
  return (
    <article className="own-layer" aria-label={name}>
      <div className="own-layer-head">
        <h3>{name}</h3>
        <span className="own-layer-acts">
          <button
            type="button"
            className="btn s"
            aria-pressed={shown}
            disabled={!made}
            onClick={() => useView.setState({ layer: shown ? null : `own.${id}` })}
          >
            {shown ? 'Shown' : 'Show'}
            <span className="unseen"> {name}</span>
          </button>
          <button type="button" className="btn s" onClick={() => removeRaster(id)}>
            Remove<span className="unseen"> {name}</span>
          </button>
        </span>
      </div>
      <p className="small ink3">
        {input?.name ?? file}
        {made ? ` · known on ${quantity(made.known_ac, 'area', units)}` : ''}
      </p>
      <TextField
        label="Name"
        wide
        value={name}
        judge={(text) =>
          text.trim() === '' ? 'A name is needed here.' : text.trim().length > 80 ? 'At most 80 letters.' : null
        }
        onCommit={(text) => changeRaster(id, `layer ${name} is ${text.trim()}`, { name: text.trim() })}
      />
      <div className="two-columns">
        <TextField
          label="Unit"
          value={unit}
          blank="none"
          judge={(text) => (text.trim().length > 20 ? 'At most 20 letters.' : null)}
          onCommit={(text) => changeRaster(id, `unit of ${name}`, { unit: text.trim() })}
        />
        {bands === undefined ? (
          <NumberField
            label="Band"
            setting={`rasters.${id}.band`}
            measure="whole"
            whole
            min={1}
            value={band}
            onCommit={(value) => changeRaster(id, `band ${value} of ${name}`, { band: value })}
          />
        ) : (
          <div className="field">
            <span className="label">Band</span>
            {bands > 1 ? (
              <Select
                spoken={`Band of ${name}`}
                setting={`rasters.${id}.band`}
                value={String(band)}
                options={Array.from({ length: bands }, (_, i) => ({
                  value: String(i + 1),
                  label: `${i + 1} of ${bands}`,
                }))}
                onCommit={(value) => changeRaster(id, `band ${value} of ${name}`, { band: Number(value) })}
              />
            ) : (
              <span>1, the only one</span>
            )}
          </div>
        )}
      </div>
      {(raster.fill !== 'unsaid' || filled) && (
        <div className="field">
          <span className="label">Fill value{filled ? ` ${filled}` : ''}</span>
          <Select
            spoken={`Fill value of ${name}`}
            setting={`rasters.${id}.fill`}
            value={raster.fill}
            options={[
              { value: 'unsaid', label: 'not decided: left out' },
              { value: 'no data', label: 'no data' },
              { value: 'a value', label: 'a value like the others' },
            ]}
            onCommit={(fill) => changeRaster(id, `fill of ${name}: ${fill}`, { fill })}
          />
        </div>
      )}
      {made && made.reading.length > 0 && (
        <details className="small ink2">
          <summary>What was understood of the file</summary>
          <ul className="sentences">
            {made.reading.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </details>
      )}
    </article>
  );
}
