import { encodeUtf8 } from '../base/text.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { windPolygon } from './rings.ts';

export interface GeoJsonFeatureOut {
  readonly polygons: MultiPolygon;
  readonly properties: Readonly<Record<string, string | number | null>>;
}

/**
 * A FeatureCollection as UTF-8 text, one feature a line, with foreign members on top level (RFC 7946, 6.1) before the
 * features. Coordinates as given, WGS84, rings closed by the caller and wound here (3.1.6); one part is a Polygon,
 * several a MultiPolygon, none a null geometry. Same input, same bytes. Throws on a number that JSON cannot hold and on
 * a member that the format has itself.
 */
export function writeGeoJson(
  features: readonly GeoJsonFeatureOut[],
  members: Readonly<Record<string, unknown>>,
): Uint8Array {
  const foreign = Object.entries(members).map(([name, value]) => {
    if (name === 'type' || name === 'features') throw new Error(`writeGeoJson: ${name} is no foreign member`);
    return `${JSON.stringify(name)}: ${json(value)},\n`;
  });
  const lines = features.map(({ polygons, properties }) =>
    json({ type: 'Feature', properties, geometry: geometryOf(polygons) }),
  );
  const list = lines.length === 0 ? '[]' : `[\n${lines.join(',\n')}\n]`;
  return encodeUtf8(`{\n"type": "FeatureCollection",\n${foreign.join('')}"features": ${list}\n}\n`);
}

function geometryOf(polygons: MultiPolygon): unknown {
  const wound = polygons.map(windPolygon);
  if (wound.length === 0) return null;
  return wound.length === 1 ? { type: 'Polygon', coordinates: wound[0] } : { type: 'MultiPolygon', coordinates: wound };
}

const json = (value: unknown): string =>
  JSON.stringify(value, (name, one: unknown) => {
    if (typeof one === 'number' && !Number.isFinite(one)) throw new Error(`writeGeoJson: ${name} is ${one}`);
    return one;
  });
