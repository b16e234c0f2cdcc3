import { argon2id } from 'hash-wasm';
import { expect, test } from 'vitest';
import { lockWith, newCode, openWith, readCode } from '../../../src/records/seal/secret';

test('Argon2id is that of the reference implementation', async () => {
  // phc-winner-argon2, src/test.c, Argon2id, version 0x13: hashtest(version, 2, 16, 1, "password", "somesalt", ...);
  // the value is from memory.
  const hash = await argon2id({
    password: 'password',
    salt: new TextEncoder().encode('somesalt'),
    memorySize: 65_536,
    iterations: 2,
    parallelism: 1,
    hashLength: 32,
    outputType: 'hex',
  });
  expect(hash).toBe('09316115d5cf24ed5a15a31a3ba326e5cf32edc24702987c02b6566f61913cf7');
});

test('a secret opens what was locked with it, for whom it was locked, and nothing else does', async () => {
  const bytes = new Uint8Array([1, 2, 3]);
  const locked = await lockWith('brass lantern over a quiet harbor', bytes, 'rue');
  // OWASP Password Storage Cheat Sheet, Argon2id: at least 19 MiB, 2 passes, 1 lane.
  expect(locked).toMatchObject({ memoryKiB: 19 * 1024, passes: 2, lanes: 1 });
  expect(locked.salt).toHaveLength(16);
  expect(await openWith('brass lantern over a quiet harbor', locked, 'rue')).toEqual(bytes);
  expect(await openWith('brass lantern over a quiet harbor', locked, 'odo')).toBe(null);
  expect(await openWith('brass lantern over a quiet harbour', locked, 'rue')).toBe(null);
  const dearer = { ...locked, passes: 3 };
  expect(await openWith('brass lantern over a quiet harbor', dearer, 'rue')).toBe(null);
  expect((await lockWith('brass lantern over a quiet harbor', bytes, 'rue')).salt).not.toEqual(locked.salt);
});

test('a code has 26 signs that nobody takes for one another, and is read as people type it', () => {
  const code = newCode();
  expect(code).toMatch(/^([0-9A-HJKMNP-TV-Z]{5}-){5}[0-9A-HJKMNP-TV-Z]$/);
  expect(newCode()).not.toBe(code);
  expect(readCode(' o1i-lA b ')).toBe('0111AB');
});
