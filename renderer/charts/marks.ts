import type { BalanceClass } from './balance.ts';

/** Outline of a balance class's shape about 0, 0 as SVG path data: one shape a class, so colour never tells alone. */
export function markPath(id: BalanceClass, r: number): string {
  const n = (value: number): string => value.toFixed(2);
  const circle = (c: number): string => `M${n(-c)} 0A${n(c)} ${n(c)} 0 1 1 ${n(c)} 0A${n(c)} ${n(c)} 0 1 1 ${n(-c)} 0Z`;
  switch (id) {
    case 'both':
      return circle(r);
    case 'pounds':
      return `M0 ${n(-r * 1.15)}L${n(r * 1.1)} ${n(r * 0.8)}H${n(-r * 1.1)}Z`;
    case 'share':
      return `M0 ${n(-r * 1.25)}L${n(r * 1.25)} 0L0 ${n(r * 1.25)}L${n(-r * 1.25)} 0Z`;
    case 'enough':
      return circle(r * 0.72);
    case 'rich':
      return `M${n(-r * 0.9)} ${n(-r * 0.9)}H${n(r * 0.9)}V${n(r * 0.9)}H${n(-r * 0.9)}Z`;
    case 'out':
      return `M${n(-r)} ${n(-r)}L${n(r)} ${n(r)}M${n(r)} ${n(-r)}L${n(-r)} ${n(r)}`;
  }
}

/** How the shape is drawn: filled, as a ring, or as a cross of two strokes. */
export const MARK_KIND = {
  both: 'filled',
  pounds: 'filled',
  share: 'filled',
  enough: 'ring',
  rich: 'filled',
  out: 'cross',
} as const satisfies Record<BalanceClass, 'filled' | 'ring' | 'cross'>;
