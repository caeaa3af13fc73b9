import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromBase64, toBase64 } from '../../core/bridge/base64.kernel.ts';
import { decodeMessage, encodeMessage } from '../../core/bridge/codec.ts';

const bytesOf = (text: string) => new Uint8Array(Buffer.from(text));

describe('base64', () => {
  it.each([
    // RFC 4648, section 10.
    ['', ''],
    ['f', 'Zg=='],
    ['fo', 'Zm8='],
    ['foo', 'Zm9v'],
    ['foob', 'Zm9vYg=='],
    ['fooba', 'Zm9vYmE='],
    ['foobar', 'Zm9vYmFy'],
  ])('writes %j as %j and reads it back', (plain, text) => {
    expect(toBase64(bytesOf(plain))).toBe(text);
    expect(fromBase64(text)).toEqual(bytesOf(plain));
  });

  it('agrees with the platform on any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        expect(toBase64(bytes)).toBe(Buffer.from(bytes).toString('base64'));
      }),
    );
  });

  it.each(['A', 'AAA', 'AAA-', 'A A=', '====', 'Zh==', 'Zm9=', '=AAA', 'Zg==Zg==', 'é==='])('refuses %j', (text) => {
    expect(() => fromBase64(text)).toThrow(SyntaxError);
  });
});

describe('messages', () => {
  it('brings any tree of plain values and bytes back as it went in', () => {
    const key = fc.oneof(fc.string(), fc.constantFrom('$bytes', '$plain', '__proto__', 'constructor'));
    const tree = fc.letrec((tie) => ({
      node: fc.oneof(
        { depthSize: 'small' },
        fc.string(),
        fc.boolean(),
        fc.constant(null),
        fc.double({ noNaN: true, noDefaultInfinity: true }).filter((n) => !Object.is(n, -0)),
        fc.uint8Array({ maxLength: 20 }),
        fc.array(tie('node'), { maxLength: 4 }),
        fc.array(fc.tuple(key, tie('node')), { maxLength: 4 }).map((members) => Object.fromEntries(members)),
      ),
    })).node;
    fc.assert(
      fc.property(tree, (value) => {
        expect(decodeMessage(encodeMessage(value))).toEqual(value);
      }),
    );
  });

  it('gives a message no way to change the prototype of an object', () => {
    const back = decodeMessage('{"__proto__":{"owned":true}}');
    expect(Object.getPrototypeOf(back)).toBe(Object.prototype);
    expect(({} as Record<string, unknown>).owned).toBeUndefined();
  });

  it.each([Number.NaN, Number.POSITIVE_INFINITY, 1n, () => 0])('does not carry %s', (value) => {
    expect(() => encodeMessage({ value })).toThrow(TypeError);
  });

  it.each(['{"$bytes":1}', '{"$plain":1}', '{"$bytes":"*"}', '{', ''])('refuses %j', (text) => {
    expect(() => decodeMessage(text)).toThrow(SyntaxError);
  });
});
