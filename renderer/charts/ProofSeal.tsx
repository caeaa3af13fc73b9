import './charts.css';
import type { ReactElement } from 'react';

/** Four waves about one circle, a quarter of a lobe apart, as banknotes are engraved. */
const LOBES = 18;
const WAVES = 4;
const POINTS = 240;

function rosette(size: number): string {
  const centre = size / 2;
  return Array.from({ length: WAVES }, (_, wave) =>
    Array.from({ length: POINTS + 1 }, (_, i) => {
      const turn = (i / POINTS) * 2 * Math.PI;
      const radius = size * (0.4 + 0.055 * Math.sin(LOBES * turn + (wave * Math.PI) / 2));
      const x = centre + radius * Math.cos(turn);
      const y = centre + radius * Math.sin(turn);
      return `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`;
    }).join(''),
  ).join('');
}

/**
 * The seal of a plan whose files, read back, equal it. Drawn only then: whoever shows it asks the proof first, and takes it
 * away as soon as anything is stale.
 */
export function ProofSeal({ when, size = 116 }: { readonly when: string; readonly size?: number }): ReactElement {
  const c = size / 2;
  return (
    <svg
      className="plot-seal"
      width={size}
      height={size}
      viewBox={`0 0 ${size} ${size}`}
      role="img"
      aria-label={`Proved ${when}: the files, read back, equal the plan`}
      data-testid="proof-seal"
    >
      <path className="plot-seal-fine" d={rosette(size)} />
      <circle className="plot-seal-edge" cx={c} cy={c} r={size * 0.475} />
      <circle className="plot-seal-rim" cx={c} cy={c} r={size * 0.325} />
      <path
        className="plot-seal-tick"
        d={`M${c - size * 0.085} ${c - size * 0.12}l${size * 0.055} ${size * 0.06}l${size * 0.115} ${-size * 0.125}`}
      />
      <text x={c} y={c + size * 0.075} fontSize={size * 0.105} className="plot-seal-word">
        PROVED
      </text>
      <text x={c} y={c + size * 0.18} fontSize={size * 0.085}>
        {when}
      </text>
    </svg>
  );
}
