import { afterAll, expect } from 'vitest';

/*
 * Test files that share one world leave it as they found it: else whoever comes next is tested in another one.
 */

// By value: what Node makes of its own only when it is first asked for is made here. What is made anew each time that
// one looks is left out, and so is what nobody can set: some of that prints a warning for whoever looks.
const standing = (): Map<string, unknown> =>
  new Map(
    Object.entries(Object.getOwnPropertyDescriptors(globalThis))
      .filter(([, { get, set }]) => !get || set)
      .map(([key]) => [key, Reflect.get(globalThis, key)] as const)
      .filter(([key, value]) => Object.is(value, Reflect.get(globalThis, key))),
  );

/** Where there is one from the start, a disk is put in anew by each test that needs one. */
const disk = 'indexedDB';

const before = standing();

afterAll(() => {
  const after = standing();
  const changed = [...new Set([...before.keys(), ...after.keys()])].filter(
    // Two underscores: a library's own, under a name that nobody else asks for.
    (key) =>
      !(key === disk && before.has(disk)) &&
      !key.startsWith('__') &&
      !Object.is(before.get(key), after.get(key)),
  );
  expect(changed.join(' '), 'left changed for the files that follow: see `changes` in vitest.config.ts').toBe(
    '',
  );
  if (typeof document === 'undefined') return;
  expect([document.body.innerHTML, localStorage.length, sessionStorage.length], 'left on the page').toEqual([
    '',
    0,
    0,
  ]);
});
