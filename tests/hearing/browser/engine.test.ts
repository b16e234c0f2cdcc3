import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { BrowserCloudHearing, BrowserHearing } from '../../../src/hearing/browser/engine';
import { endOf, listenTo, settle, types } from '../collect';
import { FakePhrase, fakeScope } from './fake-recognition';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const finalOf = (events: Awaited<ReturnType<typeof listenTo>['over']>) =>
  events.find((event) => event.type === 'final')?.heard;

describe('is it there?', () => {
  test.each([
    ['available', { ok: true }],
    ['downloadable', { ok: false, reason: 'language-missing' }],
    ['unavailable', { ok: false, reason: 'language-missing' }],
    ['throws', { ok: false, reason: 'engine-failed' }],
    ['never', { ok: false, reason: 'engine-failed' }],
  ])('a browser that answers "%s"', async (answer, expected) => {
    const { scope, Constructor } = fakeScope(answer);
    const asking = new BrowserHearing({ scope }).available('en-US');
    await vi.advanceTimersByTimeAsync(2_500);
    expect(await asking).toMatchObject(expected);
    expect(Constructor.asked).toEqual([{ langs: ['en-US'], processLocally: true }]);
  });

  test('a browser without the API, or with the old one only, is no local recogniser', async () => {
    expect(await new BrowserHearing({ scope: {} }).available('en')).toMatchObject({ ok: false });
    const { scope } = fakeScope();
    const old = { webkitSpeechRecognition: scope.SpeechRecognition! };
    expect(await new BrowserHearing({ scope: old }).available('en')).toMatchObject({ ok: false });
  });
});

test('a turn on the device: hints given, words so far, final, one end', async () => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await settle();
  const session = sessions[0]!;
  expect(session).toMatchObject({
    processLocally: true,
    continuous: true,
    interimResults: true,
    lang: 'en-US',
    started: 1,
  });
  expect(session.phrases).toEqual([new FakePhrase('hold my breath', 3)]);
  session.emit('start');
  session.emit('audiostart');
  session.emit('speechstart');
  session.says([{ text: 'hold my' }]);
  session.emit('speechend');
  turn.done.abort();
  expect(session.stopped).toBe(1);
  session.says([{ text: 'hold my breath', final: true, confidence: 0.7, others: ['old my breath'] }]);
  session.emit('end');
  const events = await turn.over;
  expect(types(events)).toEqual(['ready', 'speech-start', 'interim', 'speech-end', 'final', 'end']);
  expect(finalOf(events)).toMatchObject({
    text: 'hold my breath',
    confidence: expect.closeTo(0.7),
    alternatives: [{ text: 'old my breath' }],
    engine: 'browser-local',
  });
  expect(endOf(events).reason).toBe('finished');
});

test('an engine that takes no notice of processLocally is not started', async () => {
  const { scope, sessions, Constructor } = fakeScope();
  Object.defineProperty(Constructor.prototype, 'processLocally', { get: () => false, set: () => {} });
  const events = await listenTo(new BrowserHearing({ scope })).over;
  expect(endOf(events).reason).toBe('language-missing');
  expect(sessions[0]!.started).toBe(0);
});

test.each([
  ['not-allowed', 'denied'],
  ['audio-capture', 'no-device'],
  ['language-not-supported', 'language-missing'],
  ['network', 'network'],
  ['service-not-allowed', 'engine-failed'],
  ['something-new', 'engine-failed'],
])('the error "%s", sent twice and followed by end, is one end: %s', async (error, reason) => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await settle();
  sessions[0]!.emit('error', { error });
  sessions[0]!.emit('error', { error });
  sessions[0]!.emit('end');
  const end = endOf(await turn.over);
  expect(end.reason).toBe(reason);
  expect(end.detail).toMatch(/\.$|: something-new$/);
  expect(sessions).toHaveLength(1);
});

test('without a pack there is neither start nor end, only the error', async () => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await settle();
  sessions[0]!.emit('error', { error: 'language-not-supported' });
  expect(endOf(await turn.over).reason).toBe('language-missing');
});

test('a session that ends by itself goes on, and keeps what was heard before', async () => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await settle();
  sessions[0]!.emit('start');
  sessions[0]!.says([{ text: 'shake it', final: true }, { text: 'and then' }]);
  sessions[0]!.emit('end');
  await vi.advanceTimersByTimeAsync(100);
  sessions[1]!.emit('start');
  sessions[1]!.emit('error', { error: 'no-speech' });
  sessions[1]!.emit('end');
  await vi.advanceTimersByTimeAsync(100);
  sessions[2]!.emit('start');
  sessions[2]!.says([{ text: 'breathe in', final: true }]);
  turn.done.abort();
  sessions[2]!.emit('end');
  const events = await turn.over;
  expect(finalOf(events)?.text).toBe('shake it and then breathe in');
  expect(types(events).filter((type) => type === 'ready')).toHaveLength(1);
  expect(sessions).toHaveLength(3);
});

test('events of a session that is over change nothing', async () => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await settle();
  sessions[0]!.says([{ text: 'shake it', final: true }]);
  sessions[0]!.emit('end');
  await vi.advanceTimersByTimeAsync(100);
  sessions[0]!.says([{ text: 'shake it shake it', final: true }]);
  turn.done.abort();
  sessions[1]!.emit('end');
  expect(finalOf(await turn.over)?.text).toBe('shake it');
});

test('hints that are refused, twice, are left out and the turn goes on', async () => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await settle();
  sessions[0]!.emit('error', { error: 'phrases-not-supported' });
  sessions[0]!.emit('error', { error: 'phrases-not-supported' });
  sessions[0]!.emit('end');
  await settle();
  expect(sessions).toHaveLength(2);
  expect(sessions[1]!.phrases).toEqual([]);
  turn.done.abort();
  sessions[1]!.emit('end');
  expect(endOf(await turn.over).reason).toBe('nothing-heard');
});

test('an engine that never starts is given up', async () => {
  const { scope } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await vi.advanceTimersByTimeAsync(9_000);
  expect(endOf(await turn.over)).toMatchObject({
    reason: 'engine-failed',
    detail: "The browser's recogniser did not start.",
  });
});

test('an engine that never ends after stop still gives what it had heard', async () => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  await settle();
  sessions[0]!.emit('start');
  sessions[0]!.says([{ text: 'rinse my mouth' }]);
  turn.done.abort();
  await vi.advanceTimersByTimeAsync(5_000);
  const events = await turn.over;
  expect(finalOf(events)).toMatchObject({ text: 'rinse my mouth', confidence: 0.5 });
  expect(sessions[0]!.aborted).toBe(1);
});

test('an engine that is taken away over and over ends the turn', async () => {
  const { scope, sessions } = fakeScope();
  const turn = listenTo(new BrowserHearing({ scope }));
  for (let i = 0; i < 10; i++) {
    await vi.advanceTimersByTimeAsync(100);
    sessions.at(-1)!.emit('error', { error: 'aborted' });
  }
  expect(endOf(await turn.over).reason).toBe('engine-failed');
});

test('installing is only done when asked, and does not wait for ever', async () => {
  const { scope, Constructor } = fakeScope();
  const hearing = new BrowserHearing({ scope });
  expect(await hearing.install('en-US')).toEqual({ ok: true });
  Constructor.installs = 'never';
  const waiting = hearing.install('en-US');
  await vi.advanceTimersByTimeAsync(301_000);
  expect(await waiting).toMatchObject({ ok: false, reason: 'language-missing' });
});

test.each([
  ['badly', 1, 'could not install'],
  ['throws', 1, 'refused to install its language pack for "en-US": Error: no press'],
  ['never', 30_001, 'no answer within 30 seconds'],
] as const)('an installation that ends %s says what happened', async (how, after, sentence) => {
  const { scope, Constructor } = fakeScope('downloadable');
  Constructor.installs = how;
  const installing = new BrowserHearing({ scope }).install('en-US');
  await vi.advanceTimersByTimeAsync(after);
  expect(await installing).toMatchObject({ ok: false, detail: expect.stringContaining(sentence) });
});

test.each([
  ['downloadable', true],
  ['downloading', false],
  ['available', false],
  ['unavailable', false],
  ['throws', false],
])('a pack of which the browser says "%s" can be installed: %s', async (answer, expected) => {
  const { scope } = fakeScope(answer);
  expect(await new BrowserHearing({ scope }).installable('en-US')).toBe(expected);
});

test('a browser without the API has no pack and no cloud recogniser', async () => {
  expect(await new BrowserHearing({ scope: {} }).installable('en-US')).toBe(false);
  expect(BrowserCloudHearing.isThere({})).toBe(false);
  expect(BrowserCloudHearing.isThere(fakeScope().scope)).toBe(true);
});

test('the cloud recogniser is made only with leave of site and learner, and has its own name', async () => {
  const { scope, sessions } = fakeScope();
  expect(() => new BrowserCloudHearing({ bySite: true, byLearner: false } as never, { scope })).toThrow(
    'leave',
  );
  const cloud = new BrowserCloudHearing({ bySite: true, byLearner: true }, { scope });
  expect(cloud.id).toBe('browser-cloud');
  const turn = listenTo(cloud);
  await settle();
  expect(sessions[0]!.processLocally).toBe(false);
  turn.stop.abort();
  expect(endOf(await turn.over).reason).toBe('aborted');
});
