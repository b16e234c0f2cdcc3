import { describe, expect, test } from 'vitest';
import { kioskViewOf } from '../../machines/kiosk';
import { normalVoice } from '../../machines/pace';
import { World } from './harness';
import { lesson, start, timings } from './lesson';

const kiosk = () => {
  const world = new World();
  const actor = world.startKiosk();
  return {
    world,
    actor,
    view: () => kioskViewOf(actor.getSnapshot()),
    press: (type: 'GO_ON' | 'PAUSE' | 'HELP' | 'USE_CARDS' | 'SLOWER' | 'LOUDER') =>
      actor.send({ type: 'PERSON', event: { type } }),
    begin: async (audioOnly = false) => {
      actor.send({ type: 'STAFF' });
      actor.send({ type: 'START', visit: { start: { ...start, audioOnly }, lesson, timings, past: [] } });
      await world.settle();
    },
  };
};

/** A visit that waits, silent and with a closed ear. */
const waiting = async (audioOnly = false) => {
  const k = kiosk();
  await k.begin(audioOnly);
  k.press('PAUSE');
  await k.world.pass(audioOnly ? 20_000 : 1000);
  expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'paused', listening: 'off' } });
  return k;
};

test('idle, then the start form, then the visit', async () => {
  const k = kiosk();
  expect(k.view().screen).toBe('idle');
  k.actor.send({ type: 'STAFF' });
  expect(k.view().screen).toBe('start');
  k.actor.send({ type: 'CANCEL' });
  expect(k.view().screen).toBe('idle');
  await k.begin();
  expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'sound-check' } });
});

test('wiping leaves nothing of the visit', async () => {
  const k = await waiting();
  k.actor.send({ type: 'WIPE' });
  expect(k.view()).toEqual({ screen: 'idle', captions: [], visit: null });
  expect(JSON.stringify(k.actor.getSnapshot().context)).not.toContain('Practice');
});

describe('how fast and how loud the kiosk speaks', () => {
  test('holds for the whole visit, also for "are you still there?"', async () => {
    const k = await waiting();
    k.press('SLOWER');
    k.press('LOUDER');
    expect(k.view().visit).toMatchObject({ rate: 0.75, volume: 1 });
    await k.world.pass(60_500, 500);
    expect(k.view().screen).toBe('still-there');
    expect(k.world.speaks.at(-1)).toMatchObject({ sentences: ['stillThere'], rate: 0.75, volume: 1 });
  });

  test('is the usual again for the next learner', async () => {
    const k = await waiting();
    k.press('SLOWER');
    k.press('LOUDER');
    k.actor.send({ type: 'WIPE' });
    k.world.speaks = [];
    await k.begin();
    await k.world.pass(1000);
    expect(k.view().visit).toMatchObject(normalVoice);
    expect(k.world.speaks.length).toBeGreaterThan(0);
    expect(
      k.world.speaks.every(({ rate, volume }) => rate === normalVoice.rate && volume === normalVoice.volume),
    ).toBe(true);
  });
});

describe('nobody there', () => {
  test('asks by sight and sound, covers the screen, then parks the visit with nothing lost', async () => {
    const k = await waiting();
    k.world.said = [];
    await k.world.pass(60_500, 500);
    expect(k.view()).toMatchObject({ screen: 'still-there', captions: ['stillThere'] });
    expect(k.world.said).toContain('stillThere');
    // At least 30 s, and the time that it takes to ask.
    await k.world.pass(30_000, 500);
    expect(k.view().screen).toBe('still-there');
    await k.world.pass(1500, 500);
    expect(k.view()).toMatchObject({ screen: 'hidden', visit: null });
    await k.world.pass(121_000, 1000);
    expect(k.view()).toEqual({ screen: 'parked', captions: ['parked'], visit: null });
    expect(k.world.earsOpen + k.world.voicesOpen).toBe(0);
    expect(k.world.stored.at(-1)).toMatchObject({ type: 'paused' });
    expect(k.world.broken).toEqual([]);
    k.actor.send({ type: 'START', visit: { start, lesson, timings, past: k.world.stored } });
    await k.world.settle();
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'resume' } });
  });

  test('any sign extends the time, as often as wanted', async () => {
    const k = await waiting();
    for (let i = 0; i < 12; i++) {
      await k.world.pass(61_000, 1000);
      expect(k.view().screen).toBe('still-there');
      k.actor.send({ type: 'PRESENT' });
      expect(k.view().screen).toBe('visit');
    }
  });

  test('a word is a sign, and a cry for help is heard as one', async () => {
    const k = await waiting();
    await k.world.pass(61_500, 500);
    k.world.pending = { text: 'i am here', confidence: 0.9, alternatives: [], engine: 'embedded' };
    k.world.hear?.({ type: 'speech-start' });
    k.world.hear?.({ type: 'speech-end' });
    await k.world.pass(2500);
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'paused' } });
    await k.world.pass(61_500, 500);
    k.world.hear?.({
      type: 'interim',
      heard: { text: 'i cannot breathe', confidence: 0.9, alternatives: [], engine: 'embedded' },
    });
    await k.world.settle();
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'help', help: 'distress' } });
    expect(k.world.broken).toEqual([]);
  });

  test('an answer is heard until the time is over, not only at first', async () => {
    const k = await waiting();
    await k.world.pass(61_500, 500);
    expect(k.world.said.filter((s) => s === 'stillThere')).toHaveLength(1);
    for (let t = 0; t < 25_000 && k.world.said.filter((s) => s === 'stillThere').length < 2; t += 500)
      await k.world.pass(500, 500);
    await k.world.pass(1000);
    expect(k.view().screen).toBe('still-there');
    k.world.pending = { text: 'yes', confidence: 0.9, alternatives: [], engine: 'embedded' };
    k.world.hear?.({ type: 'speech-start' });
    k.world.hear?.({ type: 'speech-end' });
    await k.world.pass(2500);
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'paused' } });
  });

  test('who goes by ear is told where the visit stands, after an answer and after the cover', async () => {
    const k = await waiting(true);
    await k.world.pass(61_500, 500);
    expect(k.view().screen).toBe('still-there');
    k.world.said = [];
    k.actor.send({ type: 'PRESENT' });
    await k.world.pass(500);
    expect(k.world.said).toEqual(['paused', 'canSayPaused']);
    await k.world.pass(200_000, 1000);
    expect(k.view().screen).toBe('hidden');
    k.world.said = [];
    k.actor.send({ type: 'PRESENT' });
    await k.world.pass(500);
    expect(k.world.said).toEqual(['paused', 'canSayPaused']);
    expect(k.world.broken).toEqual([]);
  });

  test('what can be asked for at any time can be asked for here', async () => {
    const k = await waiting();
    await k.world.pass(61_500, 500);
    k.world.said = [];
    k.world.pending = { text: 'where', confidence: 0.9, alternatives: [], engine: 'embedded' };
    k.world.hear?.({ type: 'speech-start' });
    k.world.hear?.({ type: 'speech-end' });
    await k.world.pass(2500);
    expect(k.world.said).toEqual(['whereStart 2', 'paused']);
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'paused' } });
  });

  test('the first touch wakes and does no more, unless it calls for help', async () => {
    const k = await waiting();
    await k.world.pass(61_000, 1000);
    k.press('GO_ON');
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'paused' } });
    await k.world.pass(61_000, 1000);
    k.press('HELP');
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'help' } });
  });

  test('help on its way is never covered', async () => {
    const k = await waiting();
    k.press('HELP');
    await k.world.pass(600_000, 5000);
    expect(k.view()).toMatchObject({ screen: 'visit', visit: { screen: 'help' } });
  });

  test('a visit that cannot be stored is covered but not let go', async () => {
    const k = await waiting();
    k.world.store = 'fails';
    k.press('GO_ON');
    k.press('PAUSE');
    await k.world.pass(400_000, 1000);
    expect(k.view().screen).toBe('hidden');
    k.world.store = 'works';
    await k.world.pass(130_000, 1000);
    expect(k.view().screen).toBe('parked');
  });
});
