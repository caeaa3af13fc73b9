import { encodeUtf8 } from '../base/text.ts';
import type { MultiPolygon, Polygon } from '../geo/types.ts';
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
  const parts: Uint8Array[] = [];
  let text = `{\n"type": "FeatureCollection",\n${foreign.join('')}"features": [`;
  const names = new Map<string, string>();
  for (const [i, { polygons, properties }] of features.entries()) {
    text += i === 0 ? '\n' : ',\n';
    text += `{"type":"Feature","properties":${propertiesText(properties, names)},"geometry":${geometryText(polygons)}}`;
    if (text.length > CHUNK_CHARACTERS) {
      parts.push(encodeUtf8(text));
      text = '';
    }
  }
  parts.push(encodeUtf8(`${text}${features.length === 0 ? '' : '\n'}]\n}\n`));
  return joined(parts);
}

/** Text is encoded piece by piece, so that a large file never stands in memory as one string. */
const CHUNK_CHARACTERS = 1_000_000;

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const [first] = parts;
  if (first && parts.length === 1) return first;
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

function propertiesText(properties: GeoJsonFeatureOut['properties'], names: Map<string, string>): string {
  let text = '{';
  for (const name in properties) {
    const value = properties[name] ?? null;
    let key = names.get(name);
    if (key === undefined) {
      key = `${JSON.stringify(name)}:`;
      names.set(name, key);
    }
    text += `${text.length > 1 ? ',' : ''}${key}${typeof value === 'number' ? numberText(value, name) : JSON.stringify(value)}`;
  }
  return `${text}}`;
}

function geometryText(polygons: MultiPolygon): string {
  const [only] = polygons;
  if (!only) return 'null';
  if (polygons.length === 1) return `{"type":"Polygon","coordinates":${polygonText(only)}}`;
  return `{"type":"MultiPolygon","coordinates":[${polygons.map(polygonText).join(',')}]}`;
}

const polygonText = (polygon: Polygon): string => `[${windPolygon(polygon).map(ringText).join(',')}]`;

function ringText(ring: Polygon[number]): string {
  let text = '[';
  for (let i = 0; i < ring.length; i++) {
    const position = ring[i];
    if (!position) continue;
    text += `${i === 0 ? '[' : ',['}${numberText(position[0], 'coordinates')},${numberText(position[1], 'coordinates')}]`;
  }
  return `${text}]`;
}

function numberText(value: number, name: string): string {
  if (!Number.isFinite(value)) throw new Error(`writeGeoJson: ${name} is ${value}`);
  return String(value);
}

const json = (value: unknown): string =>
  JSON.stringify(value, (name, one: unknown) => (typeof one === 'number' ? Number(numberText(one, name)) : one));
