import { delaware } from './delaware.ts';
import { illinois } from './illinois.ts';
import { iowa } from './iowa.ts';
import { kansas } from './kansas.ts';
import { minnesota } from './minnesota.ts';
import { missouri } from './missouri.ts';
import { nebraska } from './nebraska.ts';
import { newJersey } from './new-jersey.ts';
import { northDakota } from './north-dakota.ts';
import { southCarolina } from './south-carolina.ts';
import { southDakota } from './south-dakota.ts';
import { triState1995 } from './tri-state-1995.ts';
import { triState2020 } from './tri-state-2020.ts';
import type { Guide } from './types.ts';

/** Every published recommendation, in the order in which they are shown. They disagree, and none is picked here. */
export const GUIDES: readonly Guide[] = [
  triState2020,
  triState1995,
  iowa,
  northDakota,
  nebraska,
  missouri,
  southDakota,
  kansas,
  minnesota,
  illinois,
  delaware,
  newJersey,
  southCarolina,
];

/** The guide of an id; null for an id that is not in the list. */
export const guideOf = (id: string): Guide | null => GUIDES.find((guide) => guide.id === id) ?? null;
