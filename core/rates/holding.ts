import type { GroundHistory } from '../soil/history.ts';
import type { HoldingClass } from './settings.ts';
import { figure, known, typed } from './text.ts';
import type { LedgerLine } from './types.ts';

/**
 * The holding class of some ground: that with the lowest limit above its CEC, else the one for all the rest. Where CEC is not
 * known, the class of the lightest ground, so that no cap is passed unseen. Where no class fits, one without caps.
 */
export function holdingClassOf(cec_meq: number, classes: readonly HoldingClass[]): HoldingClass {
  const limited = classes.flatMap((one) => (one.under_meq === null ? [] : [{ one, under: one.under_meq }]));
  limited.sort((a, b) => a.under - b.under);
  const rest = classes.find((one) => one.under_meq === null);
  const fits = limited.find(({ under }) => Number.isNaN(cec_meq) || cec_meq < under)?.one ?? rest;
  return (
    fits ?? { name: 'not classed', under_meq: null, perYear_lbK2OPerAc: null, perPass_lbK2OPerAc: null, light: false }
  );
}

/** Ground whose texture makes it light whatever its CEC. */
export const isSand = (texture: GroundHistory['texture']): boolean => texture === 'sand or loamy sand';

/**
 * The class whose caps hold on some ground: by CEC, but sand and loamy sand are light whatever the CEC says (the lightest class that
 * is called light; organic matter lifts a sand's CEC and holds K no tighter); a sandy loam goes by its CEC. Where the ground is irrigated, the irrigated caps stand
 * in place of the others, as far as the class tells any. Source: ours; the caps are common practice, no source.
 */
export function heldBy(
  cec_meq: number,
  history: Pick<GroundHistory, 'texture' | 'water'>,
  classes: readonly HoldingClass[],
): HoldingClass {
  const byCec = holdingClassOf(cec_meq, classes);
  const light = holdingClassOf(
    Number.NaN,
    classes.filter((one) => one.light),
  );
  const held = isSand(history.texture) && !byCec.light && light.light ? light : byCec;
  if (history.water !== 'irrigated') return held;
  const { irrigatedPerYear_lbK2OPerAc: year, irrigatedPerPass_lbK2OPerAc: pass } = held;
  return {
    ...held,
    perYear_lbK2OPerAc: year === undefined ? held.perYear_lbK2OPerAc : year,
    perPass_lbK2OPerAc: pass === undefined ? held.perPass_lbK2OPerAc : pass,
  };
}

/** What the ground is that the caps hold for, in words: class, and what of its history plays a part. */
export function heldText(
  holding: HoldingClass,
  cec_meq: number,
  history: Pick<GroundHistory, 'texture' | 'water'>,
): string {
  const sand = isSand(history.texture) && holding.light;
  const is = sand ? `${holding.name} ground by its texture, ${history.texture}` : holdingText(holding, cec_meq);
  if (history.water !== 'irrigated') return is;
  const told = holding.irrigatedPerYear_lbK2OPerAc !== undefined || holding.irrigatedPerPass_lbK2OPerAc !== undefined;
  return `${is}, irrigated${told ? '' : ' (no other caps are told for it)'}`;
}

/** The class in words: `light ground (CEC under 8)`. */
export const holdingText = (holding: HoldingClass, cec_meq: number): string =>
  Number.isNaN(cec_meq)
    ? `CEC is not known, so the caps of ${holding.name} ground hold`
    : `${holding.name} ground${holding.under_meq === null ? '' : ` (CEC under ${typed(holding.under_meq)})`}`;

/** lb K2O/ac beyond the year's cap; 0 where there is none. NaN passes on. */
export const overYear_lbK2OPerAc = (asked_lbK2OPerAc: number, holding: HoldingClass): number =>
  Number.isNaN(asked_lbK2OPerAc)
    ? Number.NaN
    : holding.perYear_lbK2OPerAc === null
      ? 0
      : Math.max(0, asked_lbK2OPerAc - holding.perYear_lbK2OPerAc);

/** Line 9: the cap a year, in K2O, on ground in the words handed in. What it takes off is undone this year. */
export function capLine(asked_lbK2OPerAc: number, holding: HoldingClass, ground: string): LedgerLine {
  const over = overYear_lbK2OPerAc(asked_lbK2OPerAc, holding);
  const how = [ground];
  if (holding.perYear_lbK2OPerAc === null) how.push('no cap a year');
  else {
    how.push(`at most ${typed(holding.perYear_lbK2OPerAc)} lb K2O a year`);
    if (Number.isFinite(over)) how.push(over > 0 ? `${figure(over, 1)} left undone` : 'not reached');
  }
  return {
    n: 9,
    key: 'cap',
    label: 'Cap a year',
    how: how.join('; '),
    unit: 'lb K2O/ac',
    working: holding.perYear_lbK2OPerAc,
    // 0 - over, since -0 is not 0 in a file
    carried: known(0 - over),
    source: 'common practice, no source',
  };
}
