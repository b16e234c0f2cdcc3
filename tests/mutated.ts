import fc from 'fast-check';

/*
 * Good input that was spoilt, by accident or on purpose. `MUTATED=10000 npx vitest run --project 'unit*' mutated` tries
 * so many of each kind; what runs otherwise is a share of it.
 */

/** How many of each kind. */
export const mutatedRuns = (usual: number): { numRuns: number } => ({
  numRuns: Number(process.env.MUTATED ?? usual),
});

const oddText = fc.constantFrom(
  '',
  ' ',
  '\u0000',
  '\ud800',
  '\u202e',
  '"',
  '\\',
  '{',
  '[',
  '__proto__',
  'constructor',
  '<img src=x onerror=alert(1)>',
  '{medicine}',
  '(',
  '+',
  '*',
  '-',
  'a'.repeat(2_000),
  '\u{1F642}',
);
const oddValue: fc.Arbitrary<unknown> = fc.oneof(
  oddText,
  fc.constantFrom(null, true, false, 0, -1, 1e308, 0.5, [], {}, [null], [[]], { '': '' }),
);

type Change =
  | { how: 'replace'; at: number; by: unknown }
  | { how: 'remove'; at: number }
  | { how: 'double'; at: number }
  | { how: 'add'; at: number; key: string; by: unknown }
  | { how: 'swap'; at: number; with: number };
const change: fc.Arbitrary<Change> = fc.oneof(
  fc.record({ how: fc.constant('replace' as const), at: fc.nat(), by: oddValue }),
  fc.record({ how: fc.constant('remove' as const), at: fc.nat() }),
  fc.record({ how: fc.constant('double' as const), at: fc.nat() }),
  fc.record({ how: fc.constant('add' as const), at: fc.nat(), key: oddText, by: oddValue }),
  fc.record({ how: fc.constant('swap' as const), at: fc.nat(), with: fc.nat() }),
);

interface Place {
  of: Record<string, unknown> | unknown[];
  key: string | number;
}
function placesOf(value: unknown, all: Place[] = []): Place[] {
  if (typeof value !== 'object' || value === null) return all;
  for (const key of Object.keys(value)) {
    all.push({ of: value as Place['of'], key: Array.isArray(value) ? Number(key) : key });
    placesOf((value as Record<string, unknown>)[key], all);
  }
  return all;
}
const get = ({ of, key }: Place) => (of as Record<string | number, unknown>)[key];
// As JSON.parse would: a key like "__proto__" is a key.
const set = ({ of, key }: Place, value: unknown) =>
  Object.defineProperty(of, key, { value, enumerable: true, configurable: true, writable: true });

function apply(root: { root: unknown }, change: Change): void {
  // What is put in may be changed by the next one.
  const by = structuredClone(change);
  const places = placesOf(root);
  const place = places[by.at % places.length]!;
  if (by.how === 'replace') set(place, by.by);
  else if (by.how === 'remove') {
    if (Array.isArray(place.of)) place.of.splice(Number(place.key), 1);
    else if (place.of !== root) delete place.of[place.key];
  } else if (by.how === 'double') {
    if (Array.isArray(place.of)) place.of.push(structuredClone(get(place)));
    else set({ of: place.of, key: `${place.key}x` }, structuredClone(get(place)));
  } else if (by.how === 'add') {
    const inside = get(place);
    if (typeof inside === 'object' && inside !== null && !Array.isArray(inside))
      set({ of: inside as Record<string, unknown>, key: by.key }, by.by);
    else if (Array.isArray(inside)) inside.push(by.by);
  } else {
    const other = places[by.with % places.length]!;
    const kept = structuredClone(get(other));
    set(other, structuredClone(get(place)));
    set(place, kept);
  }
}

/** A value of JSON with one to four places changed. */
export const mutatedJson = (good: unknown): fc.Arbitrary<unknown> =>
  fc.array(change, { minLength: 1, maxLength: 4 }).map((changes) => {
    const copy = { root: structuredClone(good) };
    for (const one of changes) apply(copy, one);
    return copy.root;
  });

/** Bytes with some changed, cut off, taken out, put in. */
export const mutatedBytes = (good: Uint8Array): fc.Arbitrary<Uint8Array> =>
  fc
    .array(
      fc.record({
        how: fc.constantFrom('change', 'cut', 'out', 'in'),
        // Half of them where headers are.
        at: fc.oneof(fc.nat(Math.min(64, good.length - 1)), fc.nat(good.length - 1)),
        some: fc.uint8Array({ minLength: 1, maxLength: 8 }),
      }),
      { minLength: 1, maxLength: 4 },
    )
    .map((changes) => {
      let all = [...good];
      for (const { how, at, some } of changes) {
        if (how === 'change') all.splice(at, some.length, ...some);
        else if (how === 'cut') all = all.slice(0, at);
        else if (how === 'out') all.splice(at, some.length);
        else all.splice(at, 0, ...some);
      }
      return new Uint8Array(all);
    });

/** The text of a JSON file, spoilt as a value or as text. */
export const mutatedFile = (good: unknown): fc.Arbitrary<string> => {
  const bytes = new TextEncoder().encode(JSON.stringify(good));
  return fc.oneof(
    { weight: 3, arbitrary: mutatedJson(good).map((value) => JSON.stringify(value) ?? '') },
    { weight: 1, arbitrary: mutatedBytes(bytes).map((some) => new TextDecoder().decode(some)) },
  );
};
