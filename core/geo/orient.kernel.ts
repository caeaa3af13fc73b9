/** Products of differences below this are exact in a double. */
const EXACT = 2 ** 53;

/**
 * Twice the signed area of a, b, c on whole coordinates: positive when c lies left of a -> b, 0 exactly on the line.
 * The sign is exact for coordinates below 2^53: doubles where they suffice, whole numbers of any size otherwise.
 */
export function orient(ax: number, ay: number, bx: number, by: number, cx: number, cy: number): number {
  const left = (bx - ax) * (cy - ay);
  const right = (by - ay) * (cx - ax);
  const det = left - right;
  if (Math.abs(left) + Math.abs(right) < EXACT || Math.abs(det) > 1e-15 * (Math.abs(left) + Math.abs(right)))
    return det;
  return Number(BigInt(bx - ax) * BigInt(cy - ay) - BigInt(by - ay) * BigInt(cx - ax));
}
