/** The ellipsoid of WGS84 (NIMA TR8350.2, third edition, table 3.1). */
const A_M = 6378137;
const F = 1 / 298.257223563;
const E2 = F * (2 - F);
const E = Math.sqrt(E2);
const HALF_B2_M2 = (A_M * A_M * (1 - E2)) / 2;

export const RAD_PER_DEG = Math.PI / 180;

/** Metres of one degree of longitude and of latitude, from the radii N cos(lat) and M at `lat_deg`. */
export function metresPerDegree(lat_deg: number): { readonly lng: number; readonly lat: number } {
  const sin = Math.sin(lat_deg * RAD_PER_DEG);
  const w2 = 1 - E2 * sin * sin;
  const n_m = A_M / Math.sqrt(w2);
  const m_m = (n_m * (1 - E2)) / w2;
  return { lng: n_m * Math.cos(lat_deg * RAD_PER_DEG) * RAD_PER_DEG, lat: m_m * RAD_PER_DEG };
}

/**
 * Square metres, per radian of longitude, of the ellipsoid between two parallels; negative when `to` lies south of `from`.
 * The closed form of the authalic integral, b2/2 [sin/(1 - e2 sin2) + atanh(e sin)/e] (Snyder, Map Projections: A Working
 * Manual, USGS PP 1395, eq. 3-12), written as a difference so that near parallels lose no digits.
 */
export function strip_m2PerRad(from_deg: number, to_deg: number): number {
  const from = from_deg * RAD_PER_DEG;
  const to = to_deg * RAD_PER_DEG;
  const s0 = Math.sin(from);
  const s1 = Math.sin(to);
  const ds = 2 * Math.cos((from + to) / 2) * Math.sin((to - from) / 2);
  const ratio = (ds * (1 + E2 * s0 * s1)) / ((1 - E2 * s0 * s0) * (1 - E2 * s1 * s1));
  return HALF_B2_M2 * (ratio + Math.atanh((E * ds) / (1 - E2 * s0 * s1)) / E);
}

/** Nodes and weights on 0..1 of the five-point Gauss-Legendre rule (Abramowitz and Stegun, table 25.4). */
const NODES = [
  [0.5, 0.28444444444444444],
  [0.2307653449471585, 0.23931433524968324],
  [0.7692346550528415, 0.23931433524968324],
  [0.04691007703066802, 0.11846344252809454],
  [0.953089922969332, 0.11846344252809454],
] as const;

/**
 * Mean of `strip_m2PerRad(base, lat)` along an edge that is straight in lng/lat and runs between two latitudes. Times the
 * edge's radians of longitude it is the area between edge and base parallel: exact to rounding for edges of some degrees.
 */
export function meanStrip_m2PerRad(base_deg: number, lat1_deg: number, lat2_deg: number): number {
  if (lat1_deg === lat2_deg) return strip_m2PerRad(base_deg, lat1_deg);
  let sum = 0;
  for (const [t, weight] of NODES) sum += weight * strip_m2PerRad(base_deg, lat1_deg + t * (lat2_deg - lat1_deg));
  return sum;
}
