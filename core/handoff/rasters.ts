import { writeGeoTiff } from '../formats/geotiff-write.ts';
import { cellCentre } from '../geo/lattice.ts';
import type { MultiPolygon } from '../geo/types.ts';
import { LAYER_NAMES, type LayerId, type SurfacesOut } from '../surfaces/types.ts';
import type { ZonesOut } from '../zones/types.ts';
import { rateFactor, roundTo } from './figures.ts';
import { placesOf, recordsAt } from './points.kernel.ts';
import { rateOf } from './sets.ts';
import type { HandoffSettings } from './settings.ts';
import type { ManifestRaster, OutFile, Prescription } from './types.ts';

/** The layers a specialist takes into other mapping software, as rasters of the whole lattice. */
const LAYERS = [
  'k_ppm',
  'kSat_pct',
  'cec_meq',
  'caMgShare_pct',
  'kMg_ratio',
  'k2oNeed_lbPerAc',
] as const satisfies readonly LayerId[];

/** The surfaces as GeoTIFF. */
export function surfaceRasters({ layers, grid }: SurfacesOut): OutFile[] {
  return LAYERS.flatMap((id) => {
    const values = layers[id];
    const { name, unit } = LAYER_NAMES[id];
    const what = [name, unit, 'GeoTIFF'].filter(Boolean).join(', ');
    return values ? [{ path: `surfaces/${id}.tif`, bytes: writeGeoTiff(values, grid.lattice), what }] : [];
  });
}

/** A raster of rates, and what the manifest says of it. */
export interface RateRaster {
  readonly file: OutFile;
  readonly told: ManifestRaster;
}

/**
 * The rates of each pass and product on the field's lattice, in the unit of the files: 32-bit floats, no data outside and where a zone is left out.
 * Zones as they lie give each cell the rate of its zone; cells along the way give each the rate under its middle, no data where that is off the ground.
 */
export function rateRasters(
  prescriptions: readonly Prescription[],
  products: readonly string[],
  { surfaces, zones }: { readonly surfaces: SurfacesOut; readonly zones: ZonesOut },
  { shape, rateUnit }: Pick<HandoffSettings, 'shape' | 'rateUnit'>,
): RateRaster[] {
  const { lattice } = surfaces.grid;
  return prescriptions.flatMap(({ pass, pieces }, index) => {
    const piecesAt =
      shape === 'zones'
        ? byLabel(pieces, zones)
        : recordsAt(
            middles(lattice),
            pieces.map(({ polygons }): MultiPolygon => polygons),
          );
    return products.map((product, at): RateRaster => {
      const rates = pieces.map((piece) => roundTo(rateOf(piece, at) * rateFactor(rateUnit), 3));
      const values = new Float64Array(piecesAt.length);
      let cells = 0;
      let sum = 0;
      for (const [cell, piece] of piecesAt.entries()) {
        const rate = rates[piece];
        values[cell] = rate ?? Number.NaN;
        if (rate === undefined) continue;
        cells++;
        // As the file holds it, in 32 bits.
        sum += Math.fround(rate);
      }
      const path = `surfaces/rate_p${index + 1}${products.length > 1 ? `_m${at + 1}` : ''}.tif`;
      const what = `rate of ${product}, ${pass}, ${rateUnit}, GeoTIFF`;
      return {
        file: { path, bytes: writeGeoTiff(values, lattice), what },
        told: { path, pass, product, cells, sum: roundTo(sum, 3) },
      };
    });
  });
}

/** Number of a piece of the zone under each cell of the label raster, -1 where there is none. */
function byLabel(pieces: Prescription['pieces'], { labels, zones }: ZonesOut): Int32Array {
  const first = new Map<string, number>();
  pieces.forEach(({ zoneKey }, i) => {
    if (!first.has(zoneKey)) first.set(zoneKey, i);
  });
  const ofLabel = new Map(zones.map(({ label, key }) => [label, first.get(key) ?? -1]));
  const pieceOf = new Int32Array(labels.length);
  for (const [cell, label] of labels.entries()) pieceOf[cell] = ofLabel.get(label) ?? -1;
  return pieceOf;
}

function middles(lattice: SurfacesOut['grid']['lattice']) {
  const cells = lattice.cols * lattice.rows;
  const lng = new Float64Array(cells);
  const lat = new Float64Array(cells);
  for (let cell = 0; cell < cells; cell++) {
    const [x, y] = cellCentre(lattice, cell);
    lng[cell] = x;
    lat[cell] = y;
  }
  return placesOf(lng, lat);
}
