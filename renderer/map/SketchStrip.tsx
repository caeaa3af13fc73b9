import type { ReactElement } from 'react';
import type { SketchTask } from '../store/sketch.ts';

interface SketchStripProps {
  readonly task: SketchTask;
  /** Whether the drawing library is there and listens. */
  readonly ready: boolean;
  readonly onFinish: () => void;
  readonly onEnd: () => void;
}

const HOW = {
  polygon: 'Click its corners; click the first one, or press Enter, to finish.',
  line: 'Click along the line; click the last place again, or press Enter, to finish.',
  point: 'Click the place.',
  brush: 'Hold and drag over the ground.',
} as const satisfies Record<SketchTask['shape'], string>;

/** What is being drawn, how, and the way out, over the head of the map. */
export function SketchStrip({ task, ready, onFinish, onEnd }: SketchStripProps): ReactElement {
  return (
    <div className="map-sketch" role="status" data-testid="sketch" data-ready={ready}>
      <p>
        <b>{task.says}</b> {HOW[task.shape]}
        <span className="unseen">
          {' '}
          Without a pointer: move the map with the arrow keys, Space puts a corner in its middle.
        </span>
      </p>
      {task.shape !== 'point' && (
        <button type="button" className="btn s" onClick={onFinish}>
          Finish
        </button>
      )}
      <button type="button" className="btn s" onClick={onEnd}>
        {task.again ? 'Put the brush down' : 'Cancel'}
      </button>
    </div>
  );
}
