/** What an attribute must be, and in words. */
export interface AttributeRule {
  readonly what: string;
  readonly holds: (text: string) => boolean;
  /** An identifier of the file that this one defines, or that it must find. */
  readonly id?: 'defines' | 'refers';
  readonly optional?: true;
}

export interface ElementRule {
  /** Elements it may stand in. */
  readonly within: readonly string[];
  readonly attributes: Readonly<Record<string, AttributeRule>>;
}

const id = (prefix: string, role: 'defines' | 'refers'): AttributeRule => ({
  what: `an identifier ${prefix}1, ${prefix}2 ... of 4 to 14 characters`,
  holds: (text) => new RegExp(`^${prefix}-?[0-9]+$`).test(text) && text.length >= 4 && text.length <= 14,
  id: role,
});

const whole = (least: number, most: number): AttributeRule => ({
  what: `a whole number from ${least} to ${most}`,
  holds: (text) => /^[+-]?\d+$/.test(text) && Number(text) >= least && Number(text) <= most,
});

/** A plain decimal: XML Schema's knows no exponent. */
const decimal = (least: number, most: number, places: number): AttributeRule => ({
  what: `a number from ${least} to ${most} with at most ${places} decimals`,
  holds: (text) =>
    new RegExp(`^[+-]?(?:\\d+(?:\\.\\d{0,${places}})?|\\.\\d{1,${places}})$`).test(text) &&
    Number(text) >= least &&
    Number(text) <= most,
});

/** A size of a cell: more than nothing. */
const cellSize: AttributeRule = {
  what: 'a number over 0 and up to 1',
  holds: (text) => /^(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(text) && Number(text) > 0 && Number(text) <= 1,
};

const text32: AttributeRule = {
  what: 'a text of at most 32 characters',
  holds: (text) => [...text].length <= 32,
};

const oneOf = (...values: readonly string[]): AttributeRule => ({
  what: `one of ${values.join(', ')}`,
  holds: (text) => values.includes(text),
});

const upTo = (most: number): AttributeRule => oneOf(...Array.from({ length: most }, (_, index) => `${index + 1}`));

const hex4: AttributeRule = { what: 'four hexadecimal digits', holds: (text) => /^[0-9A-Fa-f]{4}$/.test(text) };

const optional = (rule: AttributeRule): AttributeRule => ({ ...rule, optional: true });

const MOST_UNSIGNED = 4_294_967_295;
const int32 = whole(-2_147_483_648, 2_147_483_647);
const code = whole(0, 254);
const area = whole(0, MOST_UNSIGNED - 1);

/**
 * The elements that we write, as the public schemas of ISO 11783-10 (3.3 and 4.3) bound them. `major` 3 knows fewer types. References to kinds of element
 * that are not listed (customers, farms, workers, devices) are judged by their form alone.
 */
export const elementRules = (major: string): Readonly<Record<string, ElementRule>> => ({
  ISO11783_TaskData: {
    within: [],
    attributes: {
      VersionMajor: oneOf('3', '4'),
      VersionMinor: major === '3' ? oneOf('3') : oneOf('0', '1', '2', '3'),
      ManagementSoftwareManufacturer: text32,
      ManagementSoftwareVersion: text32,
      TaskControllerManufacturer: optional(text32),
      TaskControllerVersion: optional(text32),
      DataTransferOrigin: oneOf('1', '2'),
      ...(major === '3' ? {} : { lang: optional(text32) }),
    },
  },
  PDT: {
    within: ['ISO11783_TaskData'],
    attributes: {
      A: id('PDT', 'defines'),
      B: text32,
      C: optional(id('PGP', 'refers')),
      D: optional(id('VPN', 'refers')),
      E: optional(hex4),
      ...(major === '3'
        ? {}
        : { F: optional(upTo(3)), G: optional(int32), H: optional(int32), I: optional(int32), J: optional(int32) }),
    },
  },
  VPN: {
    within: ['ISO11783_TaskData'],
    attributes: {
      A: id('VPN', 'defines'),
      B: int32,
      C: decimal(1e-9, 1e8, 9),
      D: whole(0, 7),
      E: optional(text32),
      F: optional(id('CLD', 'refers')),
    },
  },
  PFD: {
    within: ['ISO11783_TaskData'],
    attributes: {
      A: id('PFD', 'defines'),
      B: optional(text32),
      C: text32,
      D: area,
      E: optional(id('CTR', 'refers')),
      F: optional(id('FRM', 'refers')),
      G: optional(id('CTP', 'refers')),
      H: optional(id('CVT', 'refers')),
      I: optional(id('PFD', 'refers')),
    },
  },
  PLN: {
    within: ['PFD', 'TZN'],
    attributes: {
      A: major === '3' ? upTo(8) : upTo(12),
      B: optional(text32),
      C: optional(area),
      D: optional(code),
      ...(major === '3' ? {} : { E: optional(id('PLN', 'defines')) }),
    },
  },
  LSG: {
    within: ['PLN', 'PFD'],
    attributes: {
      A: upTo(9),
      B: optional(text32),
      C: optional(area),
      D: optional(area),
      E: optional(code),
      ...(major === '3' ? {} : { F: optional(id('LSG', 'defines')) }),
    },
  },
  PNT: {
    within: ['LSG', 'PFD'],
    attributes: {
      A: major === '3' ? upTo(5) : upTo(11),
      B: optional(text32),
      C: decimal(-90, 90, 9),
      D: decimal(-180, 180, 9),
      E: optional(int32),
      F: optional(code),
      ...(major === '3' ? {} : { G: optional(id('PNT', 'defines')) }),
    },
  },
  TSK: {
    within: ['ISO11783_TaskData'],
    attributes: {
      A: id('TSK', 'defines'),
      B: optional(text32),
      C: optional(id('CTR', 'refers')),
      D: optional(id('FRM', 'refers')),
      E: optional(id('PFD', 'refers')),
      F: optional(id('WKR', 'refers')),
      G: major === '3' ? upTo(5) : upTo(6),
      H: optional(code),
      I: optional(code),
      J: optional(code),
    },
  },
  TZN: { within: ['TSK'], attributes: { A: code, B: optional(text32), C: optional(code) } },
  PDV: {
    within: ['TZN'],
    attributes: {
      A: hex4,
      // The schema lets a number be negative; no rate is.
      B: whole(0, 2_147_483_647),
      C: optional(id('PDT', 'refers')),
      D: optional(id('DET', 'refers')),
      E: optional(id('VPN', 'refers')),
      ...(major === '3' ? {} : { F: optional(int32), G: optional(int32) }),
    },
  },
  GRD: {
    within: ['TSK'],
    attributes: {
      A: decimal(-90, 90, 9),
      B: decimal(-180, 180, 9),
      C: cellSize,
      D: cellSize,
      E: whole(1, MOST_UNSIGNED),
      F: whole(1, MOST_UNSIGNED),
      G: { what: 'GRD and five digits', holds: (text) => /^GRD[0-9]{5}$/.test(text), id: 'defines' },
      H: optional(area),
      I: upTo(2),
      J: optional(code),
    },
  },
});

/** Kinds of identifier whose elements are listed above, so that a reference to one must be found. */
export const KNOWN_IDS = /^(?:PDT|VPN|PFD|TSK)/;
