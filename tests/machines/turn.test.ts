import { describe, expect, test } from 'vitest';
import { endReasons } from '../../src/hearing/types';
import { alone, request } from './alone';
import { heard } from './harness';

const turn = (input = {}) => alone((m) => m.turn, input);

const pace = (t: ReturnType<typeof turn>) =>
  typeof t.state() === 'object' ? (t.state() as { listening: { pace: string } }).listening.pace : t.state();

/** Past the question and the quiet tail, with an open ear. */
const listening = async (input = {}) => {
  const t = turn(input);
  await t.waits(600);
  expect(pace(t)).toBe('waiting');
  return t;
};

describe('half-duplex', () => {
  test('the ear opens only after the question and a quiet tail', async () => {
    const t = turn();
    await t.waits(110, 10);
    expect(t.state()).toBe('tail');
    expect(t.world.earsOpen).toBe(0);
    await t.waits(280, 10);
    expect(t.world.earsOpen).toBe(0);
    await t.waits(40, 10);
    expect(t.world.earsOpen).toBe(1);
    expect(t.world.earcons).toEqual(['your-turn']);
    expect(t.world.broken).toEqual([]);
  });

  test('again while listening closes the ear before the question is said again', async () => {
    const t = await listening();
    await t.send({ type: 'AGAIN' });
    expect(t.world.earsOpen).toBe(0);
    await t.waits(600);
    expect(t.world.said).toEqual(['Question?', 'Question?']);
    expect(t.world.broken).toEqual([]);
  });

  test('slower while listening says the question again, slower', async () => {
    const t = await listening();
    await t.send({ type: 'ADJUST', rate: 0.75, volume: 1, says: ['Slower now.'] });
    expect(t.world.speaks.at(-1)).toMatchObject({ sentences: ['Slower now.', 'Question?'], rate: 0.75 });
    await t.send({ type: 'AGAIN' });
    expect(t.world.speaks.at(-1)).toMatchObject({ sentences: ['Question?'], rate: 0.75 });
  });

  test('"next" while the question is being said goes to listening', async () => {
    const t = turn();
    await t.waits(50, 10);
    await t.send({ type: 'GO_ON' });
    await t.waits(400);
    expect(pace(t)).toBe('waiting');
  });
});

describe('pauses', () => {
  const speaks = async (t: Awaited<ReturnType<typeof listening>>, text = 'shake it') => {
    t.world.hear?.({ type: 'speech-start' });
    t.world.hear?.({ type: 'interim', heard: heard(text) });
    t.world.pending = heard(text);
    t.world.hear?.({ type: 'speech-end' });
    await t.world.settle();
  };

  test('an open answer: take your time after the long pause, the ear still open, closed after the longer one', async () => {
    const t = await listening();
    await speaks(t);
    await t.waits(2900);
    expect(pace(t)).toBe('pausing');
    await t.waits(200);
    expect(pace(t)).toBe('takeYourTime');
    expect(t.world.earsOpen).toBe(1);
    expect(t.world.said).toEqual(['Question?']);
    await t.waits(2800);
    expect(pace(t)).toBe('takeYourTime');
    await t.waits(400);
    expect(t.output()).toMatchObject({ kind: 'heard', mode: 'voice', heard: { text: 'shake it' } });
  });

  test('speaking on during take your time goes on hearing', async () => {
    const t = await listening();
    await speaks(t);
    await t.waits(4000);
    t.world.hear?.({ type: 'speech-start' });
    await t.world.settle();
    expect(pace(t)).toBe('hearing');
    await t.waits(20_000, 500);
    expect(pace(t)).toBe('hearing');
  });

  test('a short answer ends after the short pause', async () => {
    const t = await listening({ request: { ...request, kind: 'short' } });
    await speaks(t);
    await t.waits(1900);
    expect(t.world.earsOpen).toBe(1);
    await t.waits(300);
    expect(t.output()).toMatchObject({ kind: 'heard' });
  });

  test('an ear that does not tell where speech ends: silence is a lack of new words', async () => {
    const t = await listening();
    t.world.hear?.({ type: 'interim', heard: heard('shake') });
    await t.waits(2500);
    t.world.hear?.({ type: 'interim', heard: heard('shake it') });
    t.world.pending = heard('shake it');
    await t.waits(2500);
    expect(pace(t)).toBe('hearing');
    await t.waits(600);
    expect(pace(t)).toBe('takeYourTime');
    await t.waits(3200);
    expect(t.output()).toMatchObject({ heard: { text: 'shake it' } });
  });

  test('done ends the turn at once', async () => {
    const t = await listening();
    t.world.hear?.({ type: 'speech-start' });
    t.world.pending = heard('shake it');
    await t.send({ type: 'DONE' });
    await t.waits(100);
    expect(t.output()).toMatchObject({ kind: 'heard', heard: { text: 'shake it' } });
  });

  test('nothing said ends in nothing heard, not sooner than the time for it', async () => {
    const t = await listening();
    await t.waits(10_500, 500);
    expect(pace(t)).toBe('waiting');
    await t.waits(1000);
    expect(t.output()).toEqual({ kind: 'nothing-heard' });
  });

  test('the longest turn ends, and what was said counts', async () => {
    const t = await listening();
    t.world.hear?.({ type: 'speech-start' });
    t.world.pending = heard('on and on');
    await t.waits(89_000, 1000);
    expect(pace(t)).toBe('hearing');
    await t.waits(2000);
    expect(t.output()).toMatchObject({ heard: { text: 'on and on' } });
  });
});

describe('engines that misbehave', () => {
  test('hangs on opening: trouble', async () => {
    const t = turn();
    t.world.ear = 'hangs';
    await t.waits(14_000, 500);
    expect(t.output()).toMatchObject({ kind: 'trouble', reason: 'engine-failed' });
    expect(t.world.earsOpen).toBe(0);
  });

  test('hangs on finishing: the words heard so far count', async () => {
    const t = await listening();
    t.world.ear = 'hangs';
    t.world.hear?.({ type: 'interim', heard: heard('shake it') });
    await t.send({ type: 'DONE' });
    await t.waits(3900);
    expect(pace(t)).toBe('closing');
    await t.waits(300);
    expect(t.output()).toMatchObject({ kind: 'heard', heard: { text: 'shake it' } });
  });

  test.each(endReasons.filter((r) => r !== 'finished' && r !== 'nothing-heard'))(
    'ends with %s: trouble that says so',
    async (reason) => {
      const t = await listening();
      t.world.hear?.({ type: 'end', reason, detail: 'because' });
      await t.world.settle();
      expect(t.output()).toEqual({ kind: 'trouble', reason, detail: 'because' });
    },
  );

  test('fails after a final result: the result counts', async () => {
    const t = await listening();
    t.world.hear?.({ type: 'final', heard: heard('shake it') });
    t.world.hear?.({ type: 'end', reason: 'network' });
    await t.world.settle();
    expect(t.output()).toMatchObject({ kind: 'heard', heard: { text: 'shake it' } });
  });

  test('blank text is nothing heard', async () => {
    const t = await listening();
    t.world.hear?.({ type: 'final', heard: heard('  ') });
    t.world.hear?.({ type: 'end', reason: 'finished' });
    await t.world.settle();
    expect(t.output()).toEqual({ kind: 'nothing-heard' });
  });

  test('tells which ear heard it', async () => {
    const t = await listening();
    t.world.pending = heard('shake it');
    await t.send({ type: 'DONE' });
    await t.waits(100);
    expect(t.told).toContainEqual({ type: 'ENGINE', ear: 'embedded', why: 'in use' });
  });
});

test('words of distress end the turn in the middle of a sentence', async () => {
  const t = await listening();
  t.world.hear?.({ type: 'speech-start' });
  t.world.hear?.({ type: 'interim', heard: heard('oh i cannot breathe') });
  await t.world.settle();
  expect(t.output()).toMatchObject({ kind: 'heard', meaning: { kind: 'distress' } });
  expect(t.world.earsOpen).toBe(0);
});

test('typing while the ear is open closes it and takes the same path', async () => {
  const t = await listening();
  await t.send({ type: 'TYPE', text: 'shake it' });
  expect(t.output()).toMatchObject({
    kind: 'heard',
    mode: 'typed',
    heard: { engine: 'typed', confidence: 1 },
  });
  expect(t.world.earsOpen).toBe(0);
});

test('blank typing is no answer', async () => {
  const t = await listening();
  await t.send({ type: 'TYPE', text: '   ' });
  expect(pace(t)).toBe('waiting');
});
