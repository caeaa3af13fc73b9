import type { MultiPolygon } from '../../geo/types.ts';
import type { RatesSettings } from '../../rates/settings.ts';
import type { RatesOut } from '../../rates/types.ts';
import type { ZonesOut } from '../../zones/types.ts';
import type { HandoffSettings } from '../settings.ts';
import type { HandoffOut, Proof } from '../types.ts';

/** Everything the printed page is made of. */
export interface SheetInput {
  readonly planName: string;
  /** When it was made, as a person reads it: `2026-04-02 14:41`. The core has no clock. */
  readonly when: string;
  readonly field: {
    readonly boundary: MultiPolygon;
    readonly keepOut: MultiPolygon;
    readonly spreadable: MultiPolygon;
    readonly boundary_ac: number;
    readonly keepOut_ac: number;
    readonly spreadable_ac: number;
    /** What each takes from the field by itself. */
    readonly setbacks: readonly {
      readonly name: string;
      readonly distance_m: number;
      readonly acres: number;
      readonly polygons: MultiPolygon;
    }[];
  };
  readonly zones: ZonesOut;
  readonly rates: RatesOut;
  readonly ratesSettings: RatesSettings;
  readonly settings: HandoffSettings;
  readonly handoff: HandoffOut;
  /** Null before the files were written and read back: the page then says so. */
  readonly proof: Proof | null;
}
