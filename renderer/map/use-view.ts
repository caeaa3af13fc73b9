import { type RefObject, useEffect, useEffectEvent, useRef, useState, useSyncExternalStore } from 'react';
import { type Box, type Camera, fitBox, type Margins } from './camera.ts';
import { readInks } from './inks.ts';
import { FieldView, type ViewEvents } from './view.ts';

/** Nothing on the map moves for longer, and nothing at all where a person asked for less motion. */
const CALM_MS = 180;
export const calm_ms = (): number => (matchMedia('(prefers-reduced-motion: reduce)').matches ? 0 : CALM_MS);

/** Holds the camera outside React, so that letters follow the ground in the very frame in which it moves. */
function makeCameraStore(): {
  readonly subscribe: (listen: () => void) => () => void;
  readonly get: () => Camera | null;
  readonly set: (camera: Camera) => void;
} {
  let camera: Camera | null = null;
  const listeners = new Set<() => void>();
  return {
    subscribe(listen) {
      listeners.add(listen);
      return () => listeners.delete(listen);
    },
    get: () => camera,
    set(next) {
      const same =
        camera?.zoom === next.zoom &&
        camera.width === next.width &&
        camera.height === next.height &&
        camera.centre[0] === next.centre[0] &&
        camera.centre[1] === next.centre[1];
      if (same) return;
      camera = next;
      for (const listen of listeners) listen();
    },
  };
}

/** Calls when the window has come to a screen of another pixel density; gives the way to stop. */
function onRatioChange(changed: () => void): () => void {
  const stop = new AbortController();
  const watch = (): void => {
    // The query holds for one density only, so each change asks for a new one.
    const media = matchMedia(`(resolution: ${devicePixelRatio}dppx)`);
    const next = (): void => {
      changed();
      watch();
    };
    media.addEventListener('change', next, { once: true, signal: stop.signal });
  };
  watch();
  return () => stop.abort();
}

export interface ViewSetup {
  readonly root: RefObject<HTMLElement | null>;
  readonly ground: RefObject<HTMLElement | null>;
  readonly theme: 'light' | 'dark';
  /** Null while there is no field. */
  readonly box: Box | null;
  readonly margins: Margins;
  readonly events: Pick<ViewEvents, 'hover' | 'click' | 'lost'>;
}
export interface HeldView {
  readonly view: FieldView | null;
  readonly camera: Camera | null;
  readonly fitField: (duration_ms: number) => void;
  /** From now on the map stays where a person put it. */
  readonly stay: () => void;
}

/** Makes the map once there is a field, keeps the field in view until a person moves it, and takes all down again. */
export function useView({ root, ground, theme, box, margins, events }: ViewSetup): HeldView {
  const [store] = useState(makeCameraStore);
  const [view, setView] = useState<FieldView | null>(null);
  const moved = useRef(false);
  const camera = useSyncExternalStore(store.subscribe, store.get);
  const hasField = box !== null;

  const onHover = useEffectEvent(events.hover);
  const onClick = useEffectEvent(events.click);
  const onLost = useEffectEvent(events.lost);
  const wanted = useEffectEvent((element: HTMLElement) =>
    box ? fitBox(box, element.clientWidth, element.clientHeight, margins) : null,
  );
  const inksNow = useEffectEvent((element: Element) => readInks(element, theme));

  useEffect(() => {
    const element = ground.current;
    const frame = root.current;
    const start = element && hasField ? wanted(element) : null;
    // Nothing to wait for where nothing is drawn.
    if (frame && !hasField) frame.dataset.mapIdle = 'true';
    if (!element || !frame || !start) return;
    moved.current = false;
    frame.dataset.mapIdle = 'false';
    const made = new FieldView(element, inksNow(frame), start, {
      camera: store.set,
      moved: () => {
        moved.current = true;
      },
      hover: (at) => onHover(at),
      click: (at, px) => onClick(at, px),
      lost: () => onLost(),
      idle: (idle) => {
        frame.dataset.mapIdle = String(idle);
      },
    });
    store.set(made.camera);
    setView(made);
    const watch = new ResizeObserver(() => {
      made.resize();
      const to = moved.current ? null : wanted(element);
      if (to) made.jumpTo(to);
    });
    watch.observe(element);
    const stopRatio = onRatioChange(() => made.resize());
    return () => {
      stopRatio();
      watch.disconnect();
      made.remove();
      setView(null);
    };
  }, [ground, root, hasField, store]);

  // By value: a run of the pipeline hands in the same field as a new object, and that must not bring back a moved map.
  const boxKey = box === null ? '' : [box.west, box.south, box.east, box.north].join(' ');
  const marginKey = [margins.top, margins.bottom, margins.left, margins.right].join(' ');
  const refit = useEffectEvent((evenMoved: boolean) => {
    const element = ground.current;
    const to = element && wanted(element);
    if (!view || !to || (moved.current && !evenMoved)) return;
    moved.current = false;
    view.jumpTo(to);
  });
  useEffect(() => {
    if (view && boxKey !== '') refit(true);
  }, [view, boxKey]);
  useEffect(() => {
    if (view && marginKey !== '') refit(false);
  }, [view, marginKey]);

  useEffect(() => {
    if (view && root.current) view.setInks(readInks(root.current, theme));
  }, [view, root, theme]);

  return {
    view,
    camera,
    fitField(duration_ms) {
      const element = ground.current;
      if (!view || !element || !box) return;
      moved.current = false;
      view.jumpTo(fitBox(box, element.clientWidth, element.clientHeight, margins), duration_ms);
    },
    stay() {
      moved.current = true;
    },
  };
}
