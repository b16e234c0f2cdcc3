import { expect, test } from 'vitest';
import { alone } from './alone';

const saying = (input = {}) => alone((m) => m.say, input);

test('says every sentence, shows which one sounds, and ends', async () => {
  const s = saying();
  await s.waits(150);
  expect(s.context().index).toBe(1);
  await s.waits(200);
  expect(s.world.said).toEqual(['One.', 'Two.', 'Three.']);
  expect(s.actor.getSnapshot().status).toBe('done');
  expect(s.told).toEqual([{ type: 'VOICE', voice: 'embedded', why: 'in use' }]);
});

test('slower acts at once, from the sentence that sounds', async () => {
  const s = saying();
  await s.waits(150);
  await s.send({ type: 'SLOWER' });
  await s.waits(50);
  expect(s.world.speaks.at(-1)).toMatchObject({ sentences: ['Two.', 'Three.'], rate: 0.75 });
  expect(s.context().index).toBe(1);
  expect(s.world.broken).toEqual([]);
});

test('softer acts at once, from the sentence that sounds', async () => {
  const s = saying();
  await s.waits(250);
  await s.send({ type: 'SOFTER' });
  expect(s.world.speaks.at(-1)).toMatchObject({ sentences: ['Three.'], volume: 0.25 });
});

test('louder acts at once, from the sentence that sounds', async () => {
  const s = saying();
  await s.waits(250);
  await s.send({ type: 'LOUDER' });
  expect(s.world.speaks.at(-1)).toMatchObject({ sentences: ['Three.'], volume: 1 });
});

test('again starts from the first sentence', async () => {
  const s = saying();
  await s.waits(250);
  await s.send({ type: 'AGAIN' });
  expect(s.world.speaks.at(-1)?.sentences).toEqual(['One.', 'Two.', 'Three.']);
});

test('nothing to say ends at once and wakes no voice', async () => {
  const s = saying({ sentences: [] });
  expect(s.actor.getSnapshot().status).toBe('done');
  expect(s.world.speaks).toEqual([]);
});

test('a voice that fails leaves the captions standing for as long as reading takes', async () => {
  const s = saying({ sentences: ['one two three four five six seven eight nine ten'] });
  s.world.voice = 'fails';
  await s.send({ type: 'AGAIN' });
  await s.waits(100);
  expect(s.state()).toBe('reading');
  await s.waits(5000);
  expect(s.actor.getSnapshot().status).toBe('active');
  await s.waits(2000);
  expect(s.actor.getSnapshot().status).toBe('done');
  expect(s.told).toContainEqual({ type: 'VOICE', voice: 'none', why: 'failed' });
});

test('a voice that hangs does not hold up the visit for ever', async () => {
  const s = saying();
  s.world.voice = 'hangs';
  await s.send({ type: 'AGAIN' });
  await s.waits(20_000, 1000);
  expect(s.actor.getSnapshot().status).toBe('done');
});
