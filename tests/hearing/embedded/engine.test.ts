import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { EmbeddedHearing } from '../../../src/hearing/embedded/engine';
import { endOf, listenTo, settle, types } from '../collect';
import { FakeMicrophone, FakeWorker, heardOf } from './fakes';

let workers: FakeWorker[];
let microphone: FakeMicrophone;
let prepareWorker: (worker: FakeWorker) => void;

beforeEach(() => {
  workers = [];
  microphone = new FakeMicrophone();
  prepareWorker = () => {};
});
afterEach(() => {
  vi.useRealTimers();
});

const make = (listed = true) =>
  new EmbeddedHearing({
    microphoneListed: async () => listed,
    modelBase: 'https://kiosk.test/model/',
    modulePhrases: () => ['shake it'],
    createWorker: () => {
      const worker = new FakeWorker();
      prepareWorker(worker);
      workers.push(worker);
      return worker;
    },
    openMicrophone: microphone.open,
  });

test('a turn: ready, levels, what was said so far, what was said, and one end', async () => {
  const turn = listenTo(make());
  await settle();
  expect(types(turn.events)).toEqual(['ready']);
  microphone.speak(1);
  await settle();
  const id = (workers[0]!.got.find((message) => message.type === 'listen') as { turn: number }).turn;
  workers[0]!.send({ type: 'speech-start', turn: id });
  workers[0]!.send({ type: 'interim', turn: id, heard: heardOf('i hold') });
  workers[0]!.send({ type: 'speech-end', turn: id });
  turn.done.abort();
  const events = await turn.over;
  expect(types(events)).toEqual(['ready', 'level', 'speech-start', 'interim', 'speech-end', 'final', 'end']);
  expect(events.find((event) => event.type === 'final')?.heard.text).toBe('i hold my breath');
  expect(endOf(events)).toEqual({ type: 'end', reason: 'finished' });
  expect(microphone.closed).toBe(1);
});

test('the worker is told the phrases of step and module and the rate of the microphone', async () => {
  const turn = listenTo(make());
  await settle();
  expect(workers[0]!.got.find((message) => message.type === 'listen')).toMatchObject({
    phrases: { step: ['hold my breath'], module: ['shake it'] },
    sampleRate: 48000,
  });
  turn.stop.abort();
  await turn.over;
});

test('sound that comes before the worker listens is not lost', async () => {
  const engine = make();
  const turn = listenTo(engine);
  await settle();
  microphone.speak(2);
  turn.done.abort();
  await turn.over;
  const order = workers[0]!.got.map((message) => message.type);
  expect(order.slice(0, 5)).toEqual(['open', 'listen', 'audio', 'audio', 'finish']);
});

test('nothing said before done is nothing heard', async () => {
  prepareWorker = (worker) => {
    worker.hears = undefined;
  };
  const turn = listenTo(make());
  await settle();
  turn.done.abort();
  expect(endOf(await turn.over).reason).toBe('nothing-heard');
});

test('done before the microphone is open ends the turn and leaves no microphone open', async () => {
  microphone.waits = true;
  const turn = listenTo(make());
  await settle();
  turn.done.abort();
  expect(endOf(await turn.over).reason).toBe('nothing-heard');
  microphone.let();
  await settle();
  expect(microphone.opened).toBe(microphone.closed);
});

test('aborting ends with aborted, also before anything began', async () => {
  const turn = listenTo(make());
  await settle();
  turn.stop.abort();
  expect(endOf(await turn.over).reason).toBe('aborted');
  expect(microphone.closed).toBe(1);

  const late = listenTo(make());
  late.stop.abort();
  expect(endOf(await late.over).reason).toBe('aborted');
});

test.each(['denied', 'no-device', 'engine-failed'] as const)(
  'a microphone that says %s ends the turn so',
  async (reason) => {
    microphone.refuses = reason;
    const events = await listenTo(make()).over;
    expect(types(events)).toEqual(['end']);
    expect(endOf(events)).toEqual({ type: 'end', reason, detail: `the microphone: ${reason}` });
  },
);

test('a microphone that is unplugged in the middle ends the turn', async () => {
  const turn = listenTo(make());
  await settle();
  microphone.listener?.lost('The microphone was unplugged.');
  expect(endOf(await turn.over)).toEqual({
    type: 'end',
    reason: 'no-device',
    detail: 'The microphone was unplugged.',
  });
});

test('a model that does not load says so, and the next turn tries again', async () => {
  prepareWorker = (worker) => {
    worker.loads = workers.length === 0 ? 'badly' : 'well';
  };
  const engine = make();
  const end = endOf(await listenTo(engine).over);
  expect(end.reason).toBe('engine-failed');
  expect(end.detail).toContain('model/en-us/mdef');
  expect(workers[0]!.terminated).toBe(true);
  expect(microphone.opened).toBe(0);

  const again = listenTo(engine);
  await settle();
  again.done.abort();
  expect(endOf(await again.over).reason).toBe('finished');
});

test('a model that loads for ever is given up', async () => {
  vi.useFakeTimers();
  prepareWorker = (worker) => {
    worker.loads = 'never';
  };
  const turn = listenTo(make());
  await vi.advanceTimersByTimeAsync(61_000);
  expect(endOf(await turn.over)).toMatchObject({
    reason: 'engine-failed',
    detail: 'The recogniser took too long to load.',
  });
});

test('a worker that crashes ends the turn and is replaced', async () => {
  const engine = make();
  const turn = listenTo(engine);
  await settle();
  workers[0]!.crash('memory access out of bounds');
  expect(endOf(await turn.over)).toMatchObject({
    reason: 'engine-failed',
    detail: 'The recogniser crashed: memory access out of bounds',
  });
  expect(microphone.closed).toBe(1);
  const again = listenTo(engine);
  await settle();
  again.done.abort();
  expect(endOf(await again.over).reason).toBe('finished');
  expect(workers).toHaveLength(2);
});

test.each([
  ['with sound', false],
  ['when done', true],
])('a worker that hangs %s is noticed', async (_, whenDone) => {
  vi.useFakeTimers();
  const turn = listenTo(make());
  await vi.advanceTimersByTimeAsync(10);
  workers[0]!.hangs = true;
  const talking = setInterval(() => microphone.speak(1), 500);
  if (whenDone) turn.done.abort();
  await vi.advanceTimersByTimeAsync(20_000);
  clearInterval(talking);
  expect(endOf(await turn.over)).toMatchObject({
    reason: 'engine-failed',
    detail: 'The recogniser stopped answering.',
  });
  expect(workers[0]!.terminated).toBe(true);
});

test('a microphone that opens and gives nothing is noticed', async () => {
  vi.useFakeTimers();
  const turn = listenTo(make());
  await vi.advanceTimersByTimeAsync(6_000);
  expect(endOf(await turn.over)).toMatchObject({
    reason: 'no-device',
    detail: 'The microphone is open but gives no sound.',
  });
  expect(microphone.closed).toBe(1);
});

test('a reader that leaves early leaves no microphone open', async () => {
  const stream = make().listen(
    { language: 'en', module: 'm', step: 's', phrases: [], done: new AbortController().signal },
    new AbortController().signal,
  );
  for await (const event of stream) if (event.type === 'ready') break;
  expect(microphone.closed).toBe(1);
});

test('a newer turn takes over from an older one', async () => {
  const engine = make();
  const first = listenTo(engine);
  await settle();
  const second = listenTo(engine);
  await settle();
  expect(endOf(await first.over).reason).toBe('aborted');
  second.done.abort();
  expect(endOf(await second.over).reason).toBe('finished');
  expect(microphone.opened).toBe(microphone.closed);
  expect(workers).toHaveLength(1);
});

test('what a finished turn still sends is not heard in the next one', async () => {
  const engine = make();
  const first = listenTo(engine);
  await settle();
  first.stop.abort();
  await first.over;
  const second = listenTo(engine);
  await settle();
  workers[0]!.send({ type: 'finished', turn: 1, heard: heardOf('old words') });
  second.done.abort();
  expect((await second.over).find((event) => event.type === 'final')?.heard.text).toBe('i hold my breath');
});

test('a language without a model is missing, and nothing is loaded', async () => {
  const engine = make();
  expect(await engine.available('fi')).toMatchObject({ ok: false, reason: 'language-missing' });
  expect(endOf(await listenTo(engine, { language: 'fi' }).over).reason).toBe('language-missing');
  expect(workers).toHaveLength(0);
});

test('preparing loads once, and the turn after it needs no other worker', async () => {
  const engine = make();
  const signal = new AbortController().signal;
  const both = await Promise.all([engine.prepare('en', signal), engine.prepare('en-US', signal)]);
  expect(both).toEqual([{ ok: true }, { ok: true }]);
  const turn = listenTo(engine);
  await settle();
  turn.stop.abort();
  await turn.over;
  expect(workers).toHaveLength(1);
});

test('where no microphone is listed, why it does not open is told without a model being loaded', async () => {
  microphone.refuses = 'no-device';
  const events = await listenTo(make(false)).over;
  expect(endOf(events)).toEqual({ type: 'end', reason: 'no-device', detail: 'the microphone: no-device' });
  expect(types(events)).toEqual(['end']);
  expect(workers).toEqual([]);
});

test('one that opens although it is not listed is listened to', async () => {
  const turn = listenTo(make(false));
  await settle();
  expect(types(turn.events)).toEqual(['ready']);
  expect([microphone.opened, microphone.closed]).toEqual([2, 1]);
  turn.stop.abort();
  await turn.over;
  expect(microphone.closed).toBe(2);
});

test('stopped while it asks for an unlisted microphone, it loads nothing', async () => {
  microphone.waits = true;
  const turn = listenTo(make(false));
  await settle();
  turn.stop.abort();
  microphone.let();
  expect(endOf(await turn.over)).toMatchObject({ reason: 'aborted' });
  expect(workers).toEqual([]);
});

test('a model that is loaded stays of use: the microphone is not asked for twice', async () => {
  const hearing = make(false);
  await hearing.prepare('en', new AbortController().signal);
  const turn = listenTo(hearing);
  await settle();
  expect(microphone.opened).toBe(1);
  turn.stop.abort();
  await turn.over;
});
