import { type KeyboardEvent, type PointerEvent, type ReactElement, useId, useMemo, useRef, useState } from 'react';
import { number, shortNumber } from '../ui/format.ts';
import type { BalancePlotProps } from './BalancePlot.tsx';
import { Grip, type LimitKind } from './Grip.tsx';
import { freeTicks, plotFrame, rays, specks } from './plot-frame.ts';
import { SampleDot } from './SampleDot.tsx';
import { inOrder } from './SampleTable.tsx';

interface GraphProps extends BalancePlotProps {
  readonly width: number;
  readonly height: number;
  readonly onDraft: ((draft: { readonly kind: LimitKind; readonly value: number }) => void) | null;
  readonly onCommit: (kind: LimitKind, value: number) => void;
  readonly onCancel: () => void;
}
type Place = readonly [number, number];

const LEAST_BRUSH_PX = 4;

/** The plot itself. A drag over it brushes the samples inside; the samples are one stop of the Tab key, arrows go along them. */
export function BalanceGraph(props: GraphProps): ReactElement {
  const { width, height, samples, cells, limits, litSamples, onBrush } = props;
  const id = useId();
  const svg = useRef<SVGSVGElement>(null);
  const from = useRef<Place | null>(null);
  const [brush, setBrush] = useState<{ readonly box: Place[]; readonly ids: readonly string[] } | null>(null);
  const [active, setActive] = useState(0);
  // The axes stay while a line is dragged: only what is known and the plan's own lines set them.
  const frame = useMemo(
    () => plotFrame(width, height, samples, cells, props.limits),
    [width, height, samples, cells, props.limits],
  );
  const lines = rays(frame, limits);
  const dust = useMemo(() => specks(frame, cells), [frame, cells]);
  const shown = useMemo(
    () => inOrder(samples).filter((s) => Number.isFinite(s.k_ppm) && Number.isFinite(s.kSat_pct)),
    [samples],
  );
  const { left, top, x, y } = frame;
  const right = left + frame.width;
  const bottom = top + frame.height;

  const placeOf = (clientX: number, clientY: number): Place => {
    const rect = svg.current?.getBoundingClientRect();
    return rect ? [clientX - rect.left, clientY - rect.top] : [0, 0];
  };
  const clamped = ([px, py]: Place): Place => [
    Math.max(left, Math.min(right, px)),
    Math.max(top, Math.min(bottom, py)),
  ];
  const inBox = ([a, b]: readonly Place[]): string[] =>
    a && b
      ? shown
          .filter(({ k_ppm, kSat_pct }) => between(x(k_ppm), a[0], b[0]) && between(y(kSat_pct), a[1], b[1]))
          .map((sample) => sample.id)
      : [];
  const onPointerDown = (event: PointerEvent<SVGRectElement>): void => {
    if (event.button !== 0) return;
    from.current = clamped(placeOf(event.clientX, event.clientY));
    event.currentTarget.setPointerCapture(event.pointerId);
  };
  const onPointerMove = (event: PointerEvent): void => {
    if (!from.current) return;
    const box = [from.current, clamped(placeOf(event.clientX, event.clientY))];
    const ids = inBox(box);
    if (ids.join(' ') !== brush?.ids.join(' ')) onBrush(ids);
    setBrush({ box, ids });
  };
  const onPointerUp = (event: PointerEvent): void => {
    const start = from.current;
    from.current = null;
    if (!start) return;
    const end = clamped(placeOf(event.clientX, event.clientY));
    if (Math.hypot(end[0] - start[0], end[1] - start[1]) >= LEAST_BRUSH_PX) return;
    setBrush(null);
    const hit = shown.findLast((s) => Math.hypot(x(s.k_ppm) - end[0], y(s.kSat_pct) - end[1]) <= 7);
    onBrush(hit ? [hit.id] : []);
  };
  const letGo = (): void => {
    from.current = null;
    setBrush(null);
    onBrush([]);
  };
  const onSampleKey = (event: KeyboardEvent): void => {
    const last = shown.length - 1;
    const sample = shown[active];
    const moves: Record<string, number> = {
      ArrowRight: Math.min(last, active + 1),
      ArrowDown: Math.min(last, active + 1),
      ArrowLeft: Math.max(0, active - 1),
      ArrowUp: Math.max(0, active - 1),
      Home: 0,
      End: last,
    };
    const to = moves[event.key];
    if (to !== undefined) setActive(to);
    else if ((event.key === 'Enter' || event.key === ' ') && sample)
      onBrush(
        litSamples.has(sample.id) ? [...litSamples].filter((one) => one !== sample.id) : [...litSamples, sample.id],
      );
    else if (event.key === 'Escape' && litSamples.size > 0) letGo();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  // The box stays for as long as what it caught is what is chosen.
  const box = brush && sameIds(brush.ids, litSamples) ? brush.box : null;
  const pctLines = [limits.floor_pct, limits.rangeTop_pct, limits.caution_pct];
  const roomPct = (13 / frame.height) * frame.most_pct;
  const roomPpm = (26 / frame.width) * frame.most_ppm;
  const grips = gripsOf(props, frame, placeOf);
  const drawn = shown[active];
  return (
    // biome-ignore lint/a11y/useSemanticElements: a drawing cannot be a fieldset
    <svg
      ref={svg}
      className="plot"
      width={width}
      height={height}
      role="group"
      aria-label="Balance plot: K in ppm across, K saturation in percent up"
    >
      <defs>
        <pattern id={`${id}-caution`} width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path className="plot-hatch" d="M0 0V5" />
        </pattern>
        <clipPath id={`${id}-clip`}>
          <rect x={left} y={top} width={frame.width} height={frame.height} />
        </clipPath>
      </defs>
      <rect className="plot-ground" x={left} y={top} width={frame.width} height={frame.height} />
      {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: nothing in it takes the focus */}
      <g clipPath={`url(#${id}-clip)`} aria-hidden="true">
        <rect
          className="plot-range"
          x={x(limits.floor_ppm)}
          y={y(limits.rangeTop_pct)}
          width={Math.max(0, right - x(limits.floor_ppm))}
          height={Math.max(0, y(limits.floor_pct) - y(limits.rangeTop_pct))}
        />
        <rect
          x={left}
          y={top}
          width={frame.width}
          height={Math.max(0, y(limits.caution_pct) - top)}
          fill={`url(#${id}-caution)`}
        />
        {lines.map((ray) => (
          <path key={ray.cec_meq} className="plot-ray" d={`M${x(0)} ${y(0)}L${ray.to[0]} ${ray.to[1]}`} />
        ))}
        <path className="plot-specks" d={dust} />
        {lines.map((ray) => (
          <text
            key={ray.cec_meq}
            className="plot-tick plot-haloed"
            x={ray.label[0]}
            y={ray.label[1]}
            textAnchor="middle"
          >
            CEC {ray.cec_meq}
          </text>
        ))}
      </g>
      {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: nothing in it takes the focus */}
      <g aria-hidden="true">
        <path className="plot-axis" d={`M${left} ${top}V${bottom}H${right}`} />
        {freeTicks(frame.most_ppm, 6, [limits.floor_ppm], roomPpm).map((tick) => (
          <g key={tick}>
            <path className="plot-axis" d={`M${x(tick)} ${bottom}v4`} />
            <text className="plot-tick" x={x(tick)} y={bottom + 16} textAnchor="middle">
              {number(tick)}
            </text>
          </g>
        ))}
        {freeTicks(frame.most_pct, 8, pctLines, roomPct).map((tick) => (
          <g key={tick}>
            <path className="plot-axis" d={`M${left} ${y(tick)}h-4`} />
            <text className="plot-tick" x={left - 7} y={y(tick) + 4} textAnchor="end">
              {shortNumber(tick, 1)}
            </text>
          </g>
        ))}
        <path
          className="plot-floor"
          d={`M${x(limits.floor_ppm)} ${top}V${bottom}M${left} ${y(limits.floor_pct)}H${right}`}
        />
        <path
          className="plot-range-line"
          d={`M${left} ${y(limits.rangeTop_pct)}H${right}M${left} ${y(limits.caution_pct)}H${right}`}
        />
        <text x={right} y={height - 4} textAnchor="end">
          K, ppm →
        </text>
        <text x={0} y={12}>
          ↑ K saturation, %
        </text>
      </g>
      <rect
        className="plot-catch"
        x={left}
        y={top}
        width={frame.width}
        height={frame.height}
        onPointerDown={onPointerDown}
        onPointerMove={onPointerMove}
        onPointerUp={onPointerUp}
        onPointerCancel={letGo}
        data-testid="plot-ground"
      />
      <g
        className="plot-samples"
        role="listbox"
        aria-multiselectable="true"
        aria-label="Samples, by K"
        aria-activedescendant={drawn ? `${id}-s${active}` : undefined}
        tabIndex={drawn ? 0 : -1}
        onKeyDown={onSampleKey}
        data-testid="plot-samples"
      >
        {shown.map((sample, i) => (
          <SampleDot
            key={sample.id}
            id={`${id}-s${i}`}
            sample={sample}
            at={[x(sample.k_ppm), y(sample.kSat_pct)]}
            limits={limits}
            lit={litSamples.has(sample.id)}
            active={i === active}
          />
        ))}
      </g>
      {box?.[0] && box[1] && (
        <rect
          className="plot-brush"
          x={Math.min(box[0][0], box[1][0])}
          y={Math.min(box[0][1], box[1][1])}
          width={Math.abs(box[0][0] - box[1][0])}
          height={Math.abs(box[0][1] - box[1][1])}
        />
      )}
      {grips}
    </svg>
  );
}

/** Grips where lines may be moved, plain plates where not: the value stands at the axis either way. */
function gripsOf(
  props: GraphProps,
  frame: ReturnType<typeof plotFrame>,
  placeOf: (clientX: number, clientY: number) => Place,
): ReactElement[] {
  const { limits, onDraft } = props;
  const spans = {
    floor_ppm: [1, Math.floor(frame.most_ppm)],
    floor_pct: [0.1, limits.rangeTop_pct - 0.1],
    rangeTop_pct: [limits.floor_pct + 0.1, Math.max(limits.caution_pct, limits.floor_pct + 0.1)],
    caution_pct: [limits.rangeTop_pct, Math.floor(frame.most_pct)],
  } as const satisfies Record<LimitKind, readonly [number, number]>;
  return (['floor_ppm', 'floor_pct', 'rangeTop_pct', 'caution_pct'] as const).map((kind) => {
    const across = kind === 'floor_ppm';
    const at: Place = across
      ? [frame.x(limits[kind]), frame.top + frame.height + 12]
      : [frame.left - 17, frame.y(limits[kind])];
    if (!onDraft) {
      return (
        <g key={kind} className="plot-plate" transform={`translate(${at[0]} ${at[1]})`}>
          <rect x={across ? -17 : -15} y={-8} width={across ? 34 : 30} height={16} rx={2} />
          <text y={4}>{shortNumber(limits[kind], 1)}</text>
        </g>
      );
    }
    return (
      <Grip
        key={kind}
        kind={kind}
        value={limits[kind]}
        at={at}
        valueAt={(clientX, clientY) => {
          const [px, py] = placeOf(clientX, clientY);
          return across ? frame.k(px) : frame.sat(py);
        }}
        least={spans[kind][0]}
        most={spans[kind][1]}
        onDraft={(value) => onDraft({ kind, value })}
        onCommit={(value) => props.onCommit(kind, value)}
        onCancel={props.onCancel}
      />
    );
  });
}

const between = (value: number, a: number, b: number): boolean => value >= Math.min(a, b) && value <= Math.max(a, b);
const sameIds = (ids: readonly string[], lit: ReadonlySet<string>): boolean =>
  ids.length === lit.size && ids.every((id) => lit.has(id));
