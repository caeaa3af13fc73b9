import { useEffect, useState } from 'react';
import { layerValues } from '../../core/layers/layer.ts';
import type { SurfacesOut } from '../../core/surfaces/types.ts';
import type { PaintedLayer } from '../map/painted.ts';
import { isSurface, type MapLayer } from '../map/props.ts';
import { compute } from './index.ts';

/**
 * The layer's picture, painted by the worker. Until a new one has come the one before it stays, as long as the surfaces still hold its layer,
 * so that the map never goes blank between the two.
 */
export function usePainted(layer: MapLayer, surfaces: SurfacesOut | null): PaintedLayer | null {
  const [painted, setPainted] = useState<PaintedLayer | null>(null);
  const asked = isSurface(layer) ? layer : null;
  useEffect(() => {
    if (!surfaces) setPainted(null);
    if (!surfaces || asked === null) return;
    let left = false;
    void compute.call('paint', { layer: asked }).then((outcome) => {
      if (!left && outcome.ok && outcome.response) setPainted(outcome.response);
    });
    return () => {
      left = true;
    };
  }, [asked, surfaces]);
  return painted && surfaces && layerValues(surfaces, painted.layer) ? painted : null;
}
