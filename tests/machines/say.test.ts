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

test('another way of speaking acts at once, with a word about it, from the sentence that sounds', async () => {
  const s = saying();
  await s.waits(150);
  await s.send({ type: 'ADJUST', rate: 0.75, volume: 1, says: ['Slower now.'] });
  await s.waits(50);
  expect(s.world.speaks.at(-1)).toMatchObject({
    sentences: ['Slower now.', 'Two.', 'Three.'],
    rate: 0.75,
    volume: 1,
  });
  expect(s.context()).toMatchObject({ leading: 0, index: 1 });
  await s.waits(100);
  expect(s.context()).toMatchObject({ leading: -1, index: 1 });
  expect(s.world.broken).toEqual([]);
});

test('the word about it is not said again', async () => {
  const s = saying();
  await s.waits(150);
  await s.send({ type: 'ADJUST', rate: 0.75, volume: 1, says: ['Slower now.'] });
  await s.send({ type: 'AGAIN' });
  expect(s.world.speaks.at(-1)).toMatchObject({ sentences: ['One.', 'Two.', 'Three.'], rate: 0.75 });
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
