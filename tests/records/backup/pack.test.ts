import fc from 'fast-check';
import { expect, test } from 'vitest';
import { pack, unpack } from '../../../src/records/backup/pack';

const bytes = fc.uint8Array().map((all) => new Uint8Array(all));
const { value } = fc.letrec<{ value: unknown }>((tie) => ({
  value: fc.oneof(
    { depthSize: 'small' },
    fc.string({ unit: 'binary' }),
    fc.double({ noNaN: true, noDefaultInfinity: true }).map((n) => (Object.is(n, -0) ? 0 : n)),
    fc.boolean(),
    fc.constant(null),
    bytes,
    fc.array(tie('value'), { maxLength: 4 }),
    fc.dictionary(fc.oneof(fc.string(), fc.constantFrom('$bytes', '$pairs', '$', 'toString')), tie('value'), {
      maxKeys: 4,
      noNullPrototype: true,
    }),
  ),
}));

test('what is packed comes out as it was, arrays of bytes and odd keys too', () => {
  fc.assert(
    fc.property(value, (one) => {
      expect(unpack(pack(one))).toEqual(one);
    }),
  );
});

test('nothing that is unpacked changes what objects are', () => {
  const text = new TextEncoder().encode('{"__proto__": {"admin": true}}');
  const one = unpack(new Uint8Array([0, 0, 0, text.length, ...text])) as { admin?: boolean };
  expect(one.admin).toBe(undefined);
  expect(({} as { admin?: boolean }).admin).toBe(undefined);
});

test('any bytes are unpacked or refused with a reason', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 60 }), (all) => {
      try {
        unpack(all);
      } catch (error) {
        expect((error as Error).message).toMatch(/^it|^its/);
      }
    }),
  );
});

test.each([
  ['{"$bytes": [0, 9]}', /bytes that it does not have/],
  ['{"$bytes": [-1, 1]}', /bytes that it does not have/],
  ['{"$bytes": 5}', /bytes that it does not have/],
  ['{"$pairs": [1]}', /its pairs are none/],
  ['{', /no JSON/],
])('%s is refused', (json, why) => {
  const text = new TextEncoder().encode(json);
  expect(() => unpack(new Uint8Array([0, 0, 0, text.length, ...text]))).toThrow(why);
});
