import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { clipKey } from '../../../src/speaking/clip/key';

test('the name of a recording is the SHA-256 that Node reckons', async () => {
  const text = 'Inspirez à fond, sans forcer.';
  expect(await clipKey('fr', text)).toBe(createHash('sha256').update(`fr\n${text}`).digest('hex'));
});

test('another language, another word, another sign: another name', async () => {
  const names = await Promise.all([
    clipKey('en', 'Shake it.'),
    clipKey('es', 'Shake it.'),
    clipKey('en', 'Shake it!'),
    clipKey('en', 'Shake it well.'),
  ]);
  expect(new Set(names).size).toBe(4);
});
