import type { Measures } from './measures.ts';
import type { SheetInput } from './types.ts';

/** A rate that goes where no record lies. */
export interface Beyond {
  /** `Outside every polygon`, `Position lost`. */
  readonly where: string;
  readonly rate_lbPerAc: number;
  /** What ground may get it. */
  readonly ground: string;
}

/** The rates above 0 outside every record and without a position. */
export const beyondOf = ({ settings }: Pick<SheetInput, 'settings'>): readonly Beyond[] =>
  [
    {
      where: 'Outside every polygon',
      rate_lbPerAc: settings.outside_lbPerAc,
      ground: "neighbours' ground, roads and water too",
    },
    {
      where: 'Position lost',
      rate_lbPerAc: settings.noPosition_lbPerAc,
      ground: 'whatever ground the machine is then on',
    },
  ].filter(({ rate_lbPerAc }) => rate_lbPerAc > 0);

export const beyondWords = ({ where, rate_lbPerAc }: Beyond, say: Measures): string =>
  `${where}: ${say.rate(rate_lbPerAc)} ${say.rateUnit}`;
