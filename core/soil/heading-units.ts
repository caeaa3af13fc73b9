import { type ToldUnit, unitOfWords } from '../base/parse-value.ts';

const ELEMENTS = 'k|ca|mg|na|k2o|cao|mgo|na2o';
const MASS_UNITS = 'mg|g|ug|\u03bcg|kg|lbs?|mmolc?|cmolc?|meq';
/** `mg K/kg`, `lb K2O per acre`: the element inside its unit. */
const ELEMENT_IN_UNIT = new RegExp(`(?<![a-z0-9])(${MASS_UNITS}) ?(${ELEMENTS}) ?(\\/|per ) ?`);
/** `(ppm K)`, `(K ppm)`, `mg/kg as K2O`. */
const ELEMENT_AFTER_UNIT = new RegExp(`([([{][^)\\]}]*?) (?:as |of )?(${ELEMENTS}) ?(?=[)\\]}])`);
const ELEMENT_BEFORE_UNIT = new RegExp(`([([{]) ?(?:as )?(${ELEMENTS})[ ,]+(?=[^)\\]}]+[)\\]}])`);
const LAST_ELEMENT = new RegExp(`(ppm|\\/ ?(?:kg|l|acre|ac|a|ha|100 ?g)) (?:as |of )?(${ELEMENTS})$`);
const AS_ELEMENT = new RegExp(`\\bas (?=(?:${ELEMENTS})\\b)`, 'g');
const PER_EXPONENT = new RegExp(
  `\\b(${MASS_UNITS})[ \\u00b7.]*(?:(${ELEMENTS})[ \\u00b7.]*)?(kg|l|ha|dm3|100 ?g)\\s*[-\\u2212]1\\b`,
  'g',
);

/** Units spelled one way, and an element that stands in its unit put before the name. */
export function plainUnits(text: string): string {
  let plain = text
    .replace(PER_EXPONENT, (_all, unit: string, element: string | undefined, per: string) =>
      element === undefined ? `${unit}/${per}` : `${unit} ${element}/${per}`,
    )
    .replace(/\bmg ?\/ ?1000 ?g\b/g, 'mg/kg')
    .replace(/\b(m\.?e\.?q?|mg) ?%/g, (_all, unit: string) => (unit === 'mg' ? 'mg/100 g' : 'meq/100 g'))
    .replace(/(?:%|\bpct\b|\bpercent\b) ?(?:of )?(?:the )?(?:cec|tec|bases?|base sat(?:uration)?)\b/g, '% sat')
    .replace(/(?<=(?:%|\bpct\b|\bpercent\b).*) of (?:the )?(?:cec|tec)\b/, ' sat')
    .replace(/(?<=\bph\b.*)\b1 ?: ?[125](?:\.5)?\b|\b[12] ?: ?[125](?:\.5)?\b(?=.*\bph\b)/, ' ');
  const out: string[] = [];
  const take = (pattern: RegExp, put: (match: RegExpExecArray) => string): void => {
    const match = pattern.exec(plain);
    if (!match?.[2] || (pattern !== ELEMENT_IN_UNIT && !isUnitBeside(plain, match))) return;
    out.push(match[2]);
    plain = plain.slice(0, match.index) + put(match) + plain.slice(match.index + match[0].length);
  };
  take(ELEMENT_IN_UNIT, (match) => `${match[1]}/`);
  take(ELEMENT_AFTER_UNIT, (match) => match[1] ?? '');
  take(ELEMENT_BEFORE_UNIT, (match) => match[1] ?? '');
  take(LAST_ELEMENT, (match) => match[1] ?? '');
  return `${out.join(' ')} ${plain}`.replace(AS_ELEMENT, '').trim();
}

/** Whether what is left in the bracket is a unit once the element is out; a bare end is one by its pattern. */
function isUnitBeside(text: string, match: RegExpExecArray): boolean {
  const open = match[1] ?? '';
  if (!/^[([{]/.test(open)) return true;
  const after = text.slice(match.index + match[0].length).split(/[)\]}]/)[0] ?? '';
  return unitOfWords(`${open.slice(1)} ${after}`) !== null;
}

/** Takes the unit out of a header: in brackets, as `%`, or as words at its end or its start, as long as something else is left. */
export function splitUnit(text: string): {
  readonly rest: string;
  readonly unit: ToldUnit | null;
  readonly clash?: string;
} {
  let unit: ToldUnit | null = null;
  const units = new Set<ToldUnit>();
  const open = text.replace(/[([{]([^)\]}]*)[)\]}]/g, (_all, inner: string) => {
    const told = unitOfWords(inner.replace(/[,;]\s*$/, ''));
    if (told === null) return ` ${inner} `;
    unit ??= told;
    units.add(told);
    return ' ';
  });
  const plain = open.replace(/%|\b(pct|percent)\b/g, () => {
    unit ??= '%';
    units.add('%');
    return ' ';
  });
  const words = plain.split(/[\s,;.-]+/).filter((word) => word !== '');
  if (unit !== null) {
    const again = splitWords(words);
    if (again.unit !== null) units.add(again.unit);
    return { rest: again.rest, unit, ...(units.size > 1 ? { clash: [...units].join(' and ') } : {}) };
  }
  return splitWords(words);
}

/** Takes a unit that stands as words at the end or the start. */
function splitWords(words: readonly string[]): { readonly rest: string; readonly unit: ToldUnit | null } {
  for (const fromEnd of [true, false]) {
    for (let count = Math.min(4, words.length - 1); count > 0; count--) {
      const part = fromEnd ? words.slice(-count) : words.slice(0, count);
      const told = unitOfWords(part.join(' '));
      if (told === null) continue;
      const left = fromEnd ? words.slice(0, -count) : words.slice(count);
      return { rest: left.join(' '), unit: told };
    }
  }
  return { rest: words.join(' '), unit: null };
}
