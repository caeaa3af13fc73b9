import type { GroundHistory } from '../../core/soil/history.ts';
import { shortNumber } from '../ui/format.ts';

const MANURE = {
  'not told': '',
  none: 'never manured',
  'in earlier years': 'manured in earlier years',
  'most years': 'manured most years',
} as const satisfies Record<GroundHistory['manure'], string>;

/** What is known of the ground in a line: `manured most years, irrigated, slope 4 %`. Empty where nothing was told. */
export function groundWords(history: GroundHistory): string {
  const told = (value: string): string => (value === 'not told' ? '' : value);
  return [
    MANURE[history.manure],
    told(history.water),
    told(history.texture),
    history.grazed === 'yes' ? 'grazed' : '',
    history.slope_pct === null ? '' : `slope ${shortNumber(history.slope_pct)} %`,
    history.sampledOn === '' ? '' : `sampled ${history.sampledOn}`,
    history.spreading === 'not told' ? '' : `spread in ${history.spreading}`,
  ]
    .filter((part) => part !== '')
    .join(', ');
}
