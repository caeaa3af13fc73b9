import 'maplibre-gl/dist/maplibre-gl.css';
import './map.css';
import { type ReactElement, useState } from 'react';
import { DrawnMap } from './DrawnMap.tsx';
import { MapTable } from './MapTable.tsx';
import type { FieldMapProps } from './props.ts';
import { canDraw } from './view.ts';

/** The map of the field: ground, one layer, zones and samples, with its title, legend, scale and buttons. */
export function FieldMap(props: FieldMapProps): ReactElement {
  const [drawable, setDrawable] = useState(canDraw);
  if (drawable) return <DrawnMap {...props} onLost={() => setDrawable(false)} />;
  return (
    <section className="map map-undrawn" aria-label="Map" data-theme={props.theme} data-testid="field-map">
      <div className="map-caption">
        <h2 className="map-title">The map cannot be drawn here.</h2>
        <p className="map-method">
          It needs WebGL 2, which this machine has switched off, lost or never had. All else works; the table holds what
          the map would show.
        </p>
        <button type="button" className="btn s map-again" onClick={() => setDrawable(canDraw())}>
          Try again
        </button>
      </div>
      <div className="map-as-table">
        <MapTable {...props} />
      </div>
    </section>
  );
}
