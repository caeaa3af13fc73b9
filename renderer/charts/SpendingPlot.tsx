import type { ReactElement } from 'react';
import type { SpendingPath } from '../../core/rates/types.ts';
import { number } from '../ui/format.ts';
import { LineFrame, linePath } from './LineFrame.tsx';
import { ticksBetween } from './scales.ts';
import { useWidth } from './use-width.ts';

const HEIGHT = 160;

/** Soil-test K at each year's end by both ways to spend the same dollars. Its table stands below it. */
export function SpendingPlot({ paths }: { readonly paths: readonly SpendingPath[] }): ReactElement {
  const [ref, width] = useWidth<HTMLDivElement>();
  const last = Math.max(1, ...paths.flatMap((path) => path.years.map(({ year }) => year)));
  const ends = paths.map((path) => `${path.key}: ${number(path.years.at(-1)?.k_ppm)} ppm`).join('; ');
  return (
    <div ref={ref} data-testid="spending-plot">
      {width > 0 && (
        <LineFrame
          width={width}
          height={HEIGHT}
          x={last === 1 ? [0, 2] : [1, last]}
          values={paths.flatMap((path) => path.years.map(({ k_ppm }) => k_ppm))}
          xTicks={last === 1 ? [1] : ticksBetween(1, last, Math.min(last, 8)).filter(Number.isInteger)}
          xName="year"
          yName="mean K at the year’s end, ppm"
          spoken={`Mean soil-test K at the end of year ${last}. ${ends}.`}
        >
          {(scale) => {
            const names = paths.map((path) => {
              const middle = path.years[Math.floor((path.years.length - 1) / 2)] ?? path.years[0];
              return middle ? { x: scale.x(middle.year), y: scale.y(middle.k_ppm) } : { x: 0, y: 0 };
            });
            return paths.map((path, index) => {
              const other = names[1 - index];
              const name = names[index];
              const above = !name || !other || name.y <= other.y;
              return (
                <g key={path.key}>
                  <path
                    className={index === 0 ? 'lines-line strong' : 'lines-line dashed'}
                    d={linePath(
                      path.years.map((year) => [year.year, year.k_ppm] as const),
                      scale,
                    )}
                  />
                  {path.years.map((year) => (
                    <circle
                      key={year.year}
                      className="lines-point"
                      cx={scale.x(year.year)}
                      cy={scale.y(year.k_ppm)}
                      r={2.5}
                    />
                  ))}
                  {name && (
                    <text className="lines-name" x={name.x} y={name.y + (above ? -7 : 16)} textAnchor="middle">
                      {path.key}
                    </text>
                  )}
                </g>
              );
            });
          }}
        </LineFrame>
      )}
    </div>
  );
}
