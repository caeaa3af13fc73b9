import type { ReactElement } from 'react';

export interface ToolsProps {
  readonly onCloser: () => void;
  readonly onFarther: () => void;
  readonly onWhole: () => void;
  /** Null where there are none to show. */
  readonly samples: boolean | null;
  readonly onSamples: (show: boolean) => void;
  readonly zones: boolean | null;
  readonly onZones: (show: boolean) => void;
  readonly doubt: boolean | null;
  readonly onDoubt: (show: boolean) => void;
  readonly table: boolean;
  readonly onTable: (show: boolean) => void;
}

const ICONS = {
  closer: 'M8 3v10M3 8h10',
  farther: 'M3 8h10',
  whole: 'M3 6V3h3M10 3h3v3M13 10v3h-3M6 13H3v-3',
  samples: 'M4.2 4.2h.01M11.8 4.2h.01M8 8h.01M4.2 11.8h.01M11.8 11.8h.01',
  zones: 'M2.5 2.5h11v11h-11zM9 2.5c-2.6 3 2.2 4.6-.4 11M2.5 7.2c2 1.4 3.6 1 5.6.6',
  doubt: 'M2.5 2.5h11v11h-11zM5.5 5.5l5 1.5-1.5 4.2-4-1zM4.6 4.2h.01M11.6 4.8h.01M12 12h.01M4.2 11.8h.01',
  table: 'M2.5 3.5h11v9h-11zM2.5 6.5h11M2.5 9.5h11M6.5 3.5v9',
} as const;

/** The map's own buttons: icons with names, since a name for each would cover the field. */
export function Tools(props: ToolsProps): ReactElement {
  return (
    <div className="map-tools" role="toolbar" aria-label="Map" aria-orientation="vertical">
      <Tool name="Closer" icon="closer" onPress={props.onCloser} />
      <Tool name="Farther" icon="farther" onPress={props.onFarther} />
      <Tool name="Whole field" icon="whole" onPress={props.onWhole} />
      {props.samples !== null && (
        <Tool name="Samples" icon="samples" pressed={props.samples} onPress={() => props.onSamples(!props.samples)} />
      )}
      {props.zones !== null && (
        <Tool name="Zone outlines" icon="zones" pressed={props.zones} onPress={() => props.onZones(!props.zones)} />
      )}
      {props.doubt !== null && (
        <Tool
          name="Ground outside the samples"
          icon="doubt"
          pressed={props.doubt}
          onPress={() => props.onDoubt(!props.doubt)}
        />
      )}
      <Tool name="Map as table" icon="table" pressed={props.table} onPress={() => props.onTable(!props.table)} />
    </div>
  );
}

interface ToolProps {
  readonly name: string;
  readonly icon: keyof typeof ICONS;
  readonly pressed?: boolean;
  readonly onPress: () => void;
}

function Tool({ name, icon, pressed, onPress }: ToolProps): ReactElement {
  return (
    <button
      type="button"
      aria-label={name}
      aria-pressed={pressed}
      data-name={name}
      data-testid={`map-${icon}`}
      onClick={onPress}
    >
      <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
        <path d={ICONS[icon]} className={icon === 'samples' ? 'map-dots' : undefined} />
      </svg>
    </button>
  );
}
