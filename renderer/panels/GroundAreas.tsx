import { type ReactElement, useEffect, useMemo, useRef, useState } from 'react';
import { toAcres } from '../../core/base/units.ts';
import { area_m2 } from '../../core/geo/area.ts';
import { intersection } from '../../core/geo/clip.ts';
import type { Plan } from '../../core/plan/schema.ts';
import type { HistoryArea } from '../../core/soil/history.ts';
import {
  addZoneGround,
  chooseAreaFile,
  drawArea,
  dropArea,
  putLast,
  renameArea,
  setAreaHistory,
  showArea,
} from '../commands/ground.ts';
import { useGround } from '../store/ground.ts';
import { useResults } from '../store/results.ts';
import { endSketch, useSketch } from '../store/sketch.ts';
import { useView } from '../store/view.ts';
import { Select, TextField } from '../ui/Fields.tsx';
import { counted, quantity } from '../ui/format.ts';
import { Section } from '../ui/PanelFrame.tsx';
import { GroundFields, historyWords } from './GroundFields.tsx';
import { ProblemList } from './Problems.tsx';

/** Areas whose history is another than the field's: drawn, read from a file, or the ground of a zone. */
export function GroundAreas({ plan }: { readonly plan: Plan }): ReactElement {
  const { problems, reading } = useGround();
  const drawing = useSketch((state) => state.task !== null);
  const { areas } = plan.ground;
  useEffect(
    () => () => {
      endSketch();
      useGround.setState({ problems: [] });
    },
    [],
  );
  return (
    <Section
      title="Areas with a history of their own"
      aside={areas.length === 0 ? 'none' : counted(areas.length, 'area')}
    >
      {areas.length > 0 && (
        <ul className="areas" data-testid="areas">
          {areas.map((area, index) => (
            <Area key={area.id} plan={plan} area={area} last={index === areas.length - 1} />
          ))}
        </ul>
      )}
      <ProblemList problems={problems} />
      <div className="area-acts">
        <button
          type="button"
          className="btn s"
          data-setting="ground.areas"
          aria-pressed={drawing}
          onClick={drawing ? endSketch : drawArea}
        >
          {drawing ? 'Cancel the drawing' : 'Draw an area'}
        </button>
        <button type="button" className="btn s" disabled={reading} onClick={chooseAreaFile}>
          {reading ? 'Reading the file' : 'From a file'}
        </button>
        <ZoneGround />
      </div>
      <p className="small ink3 under">
        What an area leaves untold is as the field’s.
        {areas.length > 1 && ' Where areas overlap, the later one in the list counts.'}
      </p>
    </Section>
  );
}

/** The ground of a zone as it is now: later changes of the zones leave the area as it was. */
function ZoneGround(): ReactElement | null {
  const zones = useResults((results) => results.out?.zones?.zones);
  const [key, setKey] = useState('');
  if (!zones || zones.length === 0) return null;
  return (
    <Select
      spoken="The ground of a zone"
      className="zone-ground"
      value={key}
      options={[
        { value: '', label: 'The ground of zone …' },
        ...zones.map((zone) => ({ value: zone.key, label: `Zone ${zone.letter}` })),
      ]}
      onCommit={(chosen) => {
        setKey('');
        const zone = zones.find((one) => one.key === chosen);
        if (zone) addZoneGround(zone, `Ground of zone ${zone.letter}`);
      }}
    />
  );
}

function Area(props: { readonly plan: Plan; readonly area: HistoryArea; readonly last: boolean }): ReactElement {
  const { plan, area, last } = props;
  const open = useGround((state) => state.open) === area.id;
  const fresh = useGround((state) => state.fresh) === area.id;
  const item = useRef<HTMLLIElement>(null);
  useEffect(() => {
    if (!fresh) return;
    useGround.setState({ fresh: null });
    item.current?.scrollIntoView({ block: 'nearest' });
    item.current?.querySelector('input')?.select();
  }, [fresh]);
  const field = useResults((results) => results.out?.field?.boundary);
  const units = useView((view) => view.units);
  const acres = useMemo(
    () => toAcres(area_m2(field ? intersection(area.polygons, field) : area.polygons)),
    [area.polygons, field],
  );
  const words = historyWords(area.history);
  return (
    <li className={open ? 'area open' : 'area'} ref={item}>
      <button
        type="button"
        className="area-head"
        aria-expanded={open}
        onClick={() => useGround.setState({ open: open ? null : area.id })}
      >
        <b>{area.name}</b>
        <span className="ink2">{words === '' ? 'nothing told yet' : words}</span>
        <span className="area-acres">{quantity(acres, 'areaFine', units)}</span>
      </button>
      {open && (
        <div className="area-body">
          <TextField
            label="Name"
            value={area.name}
            judge={(text) =>
              text.trim() === '' ? 'An area needs a name.' : text.trim().length > 80 ? 'At most 80 letters.' : null
            }
            onCommit={(text) => renameArea(area, text.trim())}
          />
          <GroundFields
            history={area.history}
            common={plan.ground.history}
            setting={`ground.areas.${area.id}`}
            onChange={(label, patch) => setAreaHistory(area, label, patch)}
          />
          <div className="area-acts">
            <button type="button" className="btn s" onClick={() => showArea(area)}>
              Show it
            </button>
            {!last && (
              <button type="button" className="btn s" onClick={() => putLast(area)}>
                Counts where areas overlap
              </button>
            )}
            <button type="button" className="btn s" onClick={() => dropArea(area)}>
              Take it out
            </button>
          </div>
        </div>
      )}
    </li>
  );
}
