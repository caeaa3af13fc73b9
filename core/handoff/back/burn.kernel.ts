import type { Lattice, MultiPolygon } from '../../geo/types.ts';

/**
 * Which shape lies under the middle of each cell, as its number from 1: the first of them where several do; 0 for none.
 * By even-odd crossings along each row of middles; a middle on an edge goes to the shape east or north of it, so that
 * shapes which share an edge never both have it. Cost: edges + crossings + cells filled. The scan-line fill of Foley et
 * al., Computer Graphics: Principles and Practice, 2nd ed., 3.6.
 */
export function burnMiddles(lattice: Lattice, shapes: readonly MultiPolygon[]): Int32Array {
  const { cols, rows, west_deg, south_deg, dLng_deg, dLat_deg } = lattice;
  const numbers = new Int32Array(cols * rows);
  for (let shape = 0; shape < shapes.length; shape++) {
    for (const polygon of shapes[shape]!) {
      let low = Infinity;
      let high = -Infinity;
      for (const ring of polygon) {
        for (const p of ring) {
          if (p[1] < low) low = p[1];
          if (p[1] > high) high = p[1];
        }
      }
      const first = Math.max(0, Math.ceil((low - south_deg) / dLat_deg - 0.5));
      const last = Math.min(rows - 1, Math.floor((high - south_deg) / dLat_deg - 0.5));
      if (first > last) continue;
      const crossings: number[][] = Array.from({ length: last - first + 1 }, () => []);
      for (const ring of polygon) {
        for (let i = 1; i < ring.length; i++) {
          // Always from the southern end, so that neighbours reckon their common edge alike.
          const up = ring[i - 1]![1] < ring[i]![1];
          const from = up ? ring[i - 1]! : ring[i]!;
          const to = up ? ring[i]! : ring[i - 1]!;
          if (from[1] === to[1]) continue;
          const start = Math.max(first, Math.ceil((from[1] - south_deg) / dLat_deg - 0.5));
          for (let row = start; row <= last; row++) {
            const lat = south_deg + (row + 0.5) * dLat_deg;
            if (lat < from[1]) continue;
            if (lat >= to[1]) break;
            crossings[row - first]!.push(from[0] + ((lat - from[1]) / (to[1] - from[1])) * (to[0] - from[0]));
          }
        }
      }
      for (let row = first; row <= last; row++) {
        const xs = crossings[row - first]!.sort((a, b) => a - b);
        for (let k = 1; k < xs.length; k += 2) {
          const left = Math.max(0, Math.ceil((xs[k - 1]! - west_deg) / dLng_deg - 0.5));
          const right = Math.min(cols - 1, Math.ceil((xs[k]! - west_deg) / dLng_deg - 0.5) - 1);
          for (let cell = row * cols + left; cell <= row * cols + right; cell++) {
            if (numbers[cell] === 0) numbers[cell] = shape + 1;
          }
        }
      }
    }
  }
  return numbers;
}
