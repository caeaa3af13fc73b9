import { BALANCE_CLASSES, type BalanceClass } from '../charts/balance.ts';
import { MARK_KIND, markPath } from '../charts/marks.ts';
import type { Inks } from './inks.ts';
import { ON_GROUND } from './ramps.ts';

/** Small pictures drawn once and handed to the map: patterns that tile, and the samples' marks. */
export interface MapPicture {
  readonly name: string;
  readonly data: ImageData;
  readonly pixelRatio: number;
}
type Pen = CanvasRenderingContext2D;

export type PatternName = 'grass' | 'far' | 'outside' | 'withheld' | 'area';

const HATCH_PX = 6;
const CROSS_PX = 7;
const STIPPLE_PX = 6;
const GRASS_PX = 7;
const AREA_PX = 9;
/** A hatch at 45 degrees repeats after its spacing times the root of 2, across and up. */
const SIDE_PX = {
  grass: GRASS_PX,
  far: HATCH_PX * Math.SQRT2,
  outside: STIPPLE_PX * 2,
  withheld: CROSS_PX * Math.SQRT2,
  area: AREA_PX * Math.SQRT2,
} as const;

/**
 * A pattern for the fraction of the zoom between two whole levels: the map stretches patterns by 2^fraction, so the
 * picture is declared that much smaller and its lines keep their width and distance on the screen.
 */
export function patternPicture(
  name: PatternName,
  fraction: number,
  inks: Pick<Inks, 'keepOut' | 'grass' | 'line'>,
  device: number,
): MapPicture {
  const side = SIDE_PX[name];
  const bitmap = Math.max(8, Math.round(side * device) * 2);
  const data = drawn(bitmap, bitmap / side, (pen) => PATTERNS[name](pen, side, inks));
  return { name: patternImage(name, fraction, inks), data, pixelRatio: (bitmap / side) * 2 ** fraction };
}
export const patternImage = (name: PatternName, fraction: number, inks: Pick<Inks, 'keepOut'>): string =>
  `${name} ${fraction.toFixed(3)} on ${inks.keepOut}`;

const PATTERNS: Record<PatternName, (pen: Pen, side: number, inks: Pick<Inks, 'keepOut' | 'grass' | 'line'>) => void> =
  {
    grass(pen, side, inks) {
      pen.fillStyle = inks.keepOut;
      pen.fillRect(0, 0, side, side);
      pen.strokeStyle = inks.grass;
      pen.lineWidth = 0.8;
      pen.stroke(new Path2D('M1.5 4.2v-2M3 4.2l1 -1.6M5.2 6.8v-2M6.6 6.8l1 -1.6M-.4 6.8l1 -1.6'));
    },
    far(pen, side, inks) {
      pen.globalAlpha = 0.28;
      pen.fillStyle = '#FFFFFF';
      pen.fillRect(0, 0, side, side);
      pen.globalAlpha = 0.75;
      hatch(pen, side, 1, inks.line);
    },
    // Dots, so that it is told from the hatching of far ground where the two lie over one another.
    outside(pen, side, inks) {
      for (const [ink, radius, alpha] of [
        ['#FFFFFF', 1.6, 0.55],
        [inks.line, 0.95, 0.8],
      ] as const) {
        pen.fillStyle = ink;
        pen.globalAlpha = alpha;
        for (const at of [side / 4, (3 * side) / 4]) {
          pen.beginPath();
          pen.arc(at, at, radius, 0, 2 * Math.PI);
          pen.fill();
        }
      }
    },
    // Leans the other way than far ground, thin enough that the surface under it can be read.
    area(pen, side, inks) {
      pen.globalAlpha = 0.45;
      hatch(pen, side, -1, '#FFFFFF', 2.2);
      pen.globalAlpha = 0.6;
      hatch(pen, side, -1, inks.line, 0.8);
    },
    withheld(pen, side, inks) {
      pen.fillStyle = '#FFFFFF';
      pen.fillRect(0, 0, side, side);
      hatch(pen, side, 1, inks.line);
      hatch(pen, side, -1, inks.line);
    },
  };

/** One stroke a tile from corner to corner, and its neighbours' ends in the other two corners. */
function hatch(pen: Pen, side: number, lean: 1 | -1, ink: string, width = 1.1): void {
  pen.strokeStyle = ink;
  pen.lineWidth = width;
  pen.beginPath();
  for (const shift of [-side, 0, side]) {
    pen.moveTo(shift - side, lean === 1 ? 2 * side : -side);
    pen.lineTo(shift + 2 * side, lean === 1 ? -side : 2 * side);
  }
  pen.stroke();
}

const MARK_PX = 20;
const MARK_R = 4.4;

/** The samples' marks: a shape for each balance class, and the cross of what was set aside. */
export function markPictures(device: number): MapPicture[] {
  const ratio = device * 2;
  const side = Math.round(MARK_PX * ratio);
  const mark = (name: string, paint: (pen: Pen) => void): MapPicture => ({
    name,
    pixelRatio: side / MARK_PX,
    data: drawn(side, side / MARK_PX, (pen) => {
      pen.translate(MARK_PX / 2, MARK_PX / 2);
      paint(pen);
    }),
  });
  return [
    ...BALANCE_CLASSES.map((id) => mark(markImage(id), (pen) => paintMark(pen, id))),
    mark(SET_ASIDE_IMAGE, (pen) => cross(pen, 4, ON_GROUND.setAside, 2)),
  ];
}
export const markImage = (id: BalanceClass): string => `mark-${id}`;
export const SET_ASIDE_IMAGE = 'mark-set-aside';

function paintMark(pen: Pen, id: BalanceClass): void {
  const path = new Path2D(markPath(id, MARK_R));
  pen.lineJoin = 'round';
  if (MARK_KIND[id] === 'cross') {
    cross(pen, MARK_R, ON_GROUND.out, 2.2);
    return;
  }
  pen.strokeStyle = '#FFFFFF';
  pen.lineWidth = MARK_KIND[id] === 'ring' ? 3.6 : 2;
  pen.stroke(path);
  if (MARK_KIND[id] === 'ring') {
    pen.fillStyle = '#FFFFFF';
    pen.fill(path);
    pen.strokeStyle = ON_GROUND[id];
    pen.lineWidth = 1.6;
    pen.stroke(path);
  } else {
    pen.fillStyle = ON_GROUND[id];
    pen.fill(path);
  }
}

function cross(pen: Pen, r: number, ink: string, width: number): void {
  const path = new Path2D(`M${-r} ${-r}L${r} ${r}M${r} ${-r}L${-r} ${r}`);
  pen.lineCap = 'round';
  pen.strokeStyle = '#FFFFFF';
  pen.lineWidth = 5;
  pen.stroke(path);
  pen.lineCap = 'butt';
  pen.strokeStyle = ink;
  pen.lineWidth = width;
  pen.stroke(path);
}

function drawn(side: number, scale: number, paint: (pen: Pen) => void): ImageData {
  const canvas = document.createElement('canvas');
  canvas.width = side;
  canvas.height = side;
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  if (!pen) throw new Error('this page has no 2D canvas');
  pen.scale(scale, scale);
  paint(pen);
  return pen.getImageData(0, 0, side, side);
}
