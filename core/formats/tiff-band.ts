import type { TiffImage } from './tiff-image.ts';
import type { TiffDirectory } from './tiff-tags.ts';

/** What GDAL's tags say of one band. */
export interface BandNotes {
  readonly noData: number | null;
  readonly scale: number;
  readonly offset: number;
  /** Empty where the file gives none. */
  readonly unit: string;
  /** What stands in a block that the file left out. */
  readonly empty: number;
  readonly reading: readonly string[];
}

/**
 * No-data value, scale, offset and unit of a band (from 0), out of the tags GDAL_NODATA (42113) and GDAL_METADATA (42112),
 * and what a colour table means. Source: GDAL's GeoTIFF driver, "Metadata".
 */
export function bandNotes(directory: TiffDirectory, band: number, image: TiffImage): BandNotes {
  const told = directory.text(42113)?.trim() ?? '';
  const noData = told === '' || Number.isNaN(Number(told)) ? null : Number(told);
  const items = itemsOf(directory.text(42112) ?? '', band);
  const figure = (role: string, otherwise: number) => {
    const value = Number(items.get(role) ?? Number.NaN);
    return Number.isFinite(value) ? value : otherwise;
  };
  const scale = figure('scale', 1);
  const offset = figure('offset', 0);
  const unit = items.get('unittype')?.trim() ?? '';
  const description = items.get('description')?.trim() ?? '';
  return {
    noData,
    scale,
    offset,
    unit,
    empty: noData ?? 0,
    reading: [
      ...(description === '' ? [] : [`the band is called "${description.slice(0, 80)}"`]),
      ...(told === '' ? [] : [/^[-+]?nan$/i.test(told) ? 'no-data value: not a number' : `no-data value ${told}`]),
      ...(scale === 1 && offset === 0 ? [] : [`its scale and offset are applied: number x ${scale} + ${offset}`]),
      ...(unit === '' ? [] : [`unit ${unit.slice(0, 20)}`]),
      ...(image.photometric === 3 ? ['its numbers are those of a colour table, not measured values'] : []),
    ],
  };
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&lt;': '<',
  '&gt;': '>',
  '&quot;': '"',
  '&apos;': "'",
  '&amp;': '&',
};

/** `<Item name="SCALE" sample="0" role="scale">0.1</Item>`: the items of one band by their role. */
function itemsOf(xml: string, band: number): ReadonlyMap<string, string> {
  const items = new Map<string, string>();
  for (const [, attributes = '', value = ''] of xml.matchAll(/<Item\b([^<>]{0,400})>([^<]{0,4000})<\/Item>/g)) {
    const role = /\brole="([^"]*)"/.exec(attributes)?.[1];
    const sample = /\bsample="(\d+)"/.exec(attributes)?.[1];
    if (role !== undefined && sample === String(band))
      items.set(
        role,
        value.replace(/&(?:lt|gt|quot|apos|amp);/g, (entity) => ENTITIES[entity] ?? entity),
      );
  }
  return items;
}
