import './charts.css';
import { type ReactElement, useMemo, useState } from 'react';
import type { UnitSystem } from '../ui/format.ts';
import { BalanceGraph } from './BalanceGraph.tsx';
import { BalanceTable } from './BalanceTable.tsx';
import { type BalanceCells, type BalanceLimits, type BalanceSample, balanceSums } from './balance.ts';
import type { LimitKind } from './Grip.tsx';
import { SampleTable } from './SampleTable.tsx';
import { useWidth } from './use-width.ts';

export interface BalancePlotProps {
  readonly samples: readonly BalanceSample[];
  readonly cells: BalanceCells | null;
  /** `plan.rates` fits. */
  readonly limits: BalanceLimits;
  readonly litSamples: ReadonlySet<string>;
  /** Ids of the samples a person brushed or chose; empty lets go. */
  readonly onBrush: (ids: readonly string[]) => void;
  /** A floor, the range's top or the caution line was moved. Absent, the lines stay where they are. */
  readonly onFloor?: (kind: LimitKind, value: number) => void;
  readonly units: UnitSystem;
  readonly fresh: boolean;
  readonly asTable: boolean;
  readonly height?: number;
}

/** K in ppm across, its share up: what each part of the field is short of, as plot and as table of classes. */
export function BalancePlot(props: BalancePlotProps): ReactElement {
  const { samples, cells, onFloor, fresh } = props;
  const [draft, setDraft] = useState<{ readonly kind: LimitKind; readonly value: number } | null>(null);
  const [box, width] = useWidth<HTMLDivElement>();
  const limits = useMemo(
    () => (draft ? { ...pick(props.limits), [draft.kind]: draft.value } : pick(props.limits)),
    [props.limits, draft],
  );
  const sums = useMemo(() => balanceSums(samples, cells, limits), [samples, cells, limits]);
  return (
    <div ref={box} className={fresh ? 'plot-balance' : 'plot-balance plot-stale'} data-testid="balance-plot">
      {props.asTable ? (
        <SampleTable {...props} limits={limits} />
      ) : (
        width > 0 && (
          <BalanceGraph
            {...props}
            width={width}
            height={props.height ?? 284}
            limits={limits}
            onDraft={onFloor ? setDraft : null}
            onCommit={(kind, value) => {
              if (onFloor && props.limits[kind] !== value) onFloor(kind, value);
              setDraft(null);
            }}
            onCancel={() => setDraft(null)}
          />
        )
      )}
      <BalanceTable sums={sums} limits={limits} lit={props.litSamples} units={props.units} onBrush={props.onBrush} />
    </div>
  );
}

const pick = ({ floor_ppm, floor_pct, rangeTop_pct, caution_pct }: BalanceLimits): BalanceLimits => ({
  floor_ppm,
  floor_pct,
  rangeTop_pct,
  caution_pct,
});
