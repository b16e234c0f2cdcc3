import type { Bytes } from '../seal/box';

/*
 * Values as bytes: the length of a JSON text (4 bytes, big-endian), the text, and behind it the arrays of bytes that
 * belong into it. There `{"$bytes": [from, length]}` stands for them, counted from the end of the text. An object
 * that has such a key itself is a list of pairs, `{"$pairs": [[key, value], ...]}`.
 */

const isPlain = (value: object): value is Record<string, unknown> =>
  [Object.prototype, null].includes(Object.getPrototypeOf(value));

const bytesOf = (value: unknown): Uint8Array | null => {
  if (value instanceof ArrayBuffer) return new Uint8Array(value);
  return ArrayBuffer.isView(value) ? new Uint8Array(value.buffer, value.byteOffset, value.byteLength) : null;
};

/** What JSON has no word for, such as a date, becomes its text, and what lies in itself is named so: all can be packed. */
export function pack(value: unknown): Bytes {
  const blobs: Uint8Array[] = [];
  let length = 0;
  const coded = (one: unknown, above: readonly unknown[] = []): unknown => {
    const bytes = bytesOf(one);
    if (bytes) {
      blobs.push(bytes);
      length += bytes.length;
      return { $bytes: [length - bytes.length, bytes.length] };
    }
    if (typeof one === 'object' && one !== null) {
      if (above.includes(one)) return '(itself)';
      const within = [...above, one];
      if (Array.isArray(one) || one instanceof Map || one instanceof Set)
        return [...one].map((inner) => coded(inner, within));
      if (!isPlain(one)) return one instanceof Date ? (one.toJSON() ?? String(one)) : String(one);
      const pairs = Object.entries(one)
        .filter(([, inner]) => inner !== undefined)
        .map(([key, inner]) => [key, coded(inner, within)] as const);
      return pairs.some(([key]) => key.startsWith('$')) ? { $pairs: pairs } : Object.fromEntries(pairs);
    }
    return typeof one === 'bigint' || typeof one === 'symbol' ? String(one) : one;
  };
  const text = new TextEncoder().encode(JSON.stringify(coded(value) ?? null));
  const all = new Uint8Array(4 + text.length + length);
  new DataView(all.buffer).setUint32(0, text.length);
  all.set(text, 4);
  let at = 4 + text.length;
  for (const blob of blobs) {
    all.set(blob, at);
    at += blob.length;
  }
  return all;
}

/** Throws an Error with what is the matter. */
export function unpack(all: Uint8Array): unknown {
  if (all.length < 4) throw new Error('it is too short');
  const length = new DataView(all.buffer, all.byteOffset).getUint32(0);
  if (length > all.length - 4) throw new Error('its text is longer than it is');
  const blobs = all.subarray(4 + length);
  const decoded = (one: unknown): unknown => {
    if (Array.isArray(one)) return one.map(decoded);
    if (typeof one !== 'object' || one === null) return one;
    const entries = Object.entries(one);
    const [key, inner] = entries[0] ?? [];
    if (key === '$bytes') {
      const [from, count] = Array.isArray(inner) ? inner : [];
      if (!whole(from) || !whole(count) || from + count > blobs.length)
        throw new Error('it points to bytes that it does not have');
      return blobs.slice(from, from + count);
    }
    if (key === '$pairs') {
      if (!Array.isArray(inner) || !inner.every((pair) => Array.isArray(pair) && typeof pair[0] === 'string'))
        throw new Error('its pairs are none');
      return Object.fromEntries(inner.map(([name, value]) => [name, decoded(value)]));
    }
    return Object.fromEntries(entries.map(([name, value]) => [name, decoded(value)]));
  };
  let parsed: unknown;
  try {
    parsed = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(all.subarray(4, 4 + length)));
  } catch {
    throw new Error('its text is no JSON');
  }
  return decoded(parsed);
}

const whole = (n: unknown): n is number => Number.isSafeInteger(n) && (n as number) >= 0;
