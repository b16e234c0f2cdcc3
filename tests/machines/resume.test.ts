import { expect, test } from 'vitest';
import type { VisitFact } from '../../src/records/types';
import { endsByTouch } from './byTouch';
import { type VisitHarness, visit, visitAtFirstStep } from './harness';

/*
 * A crash is simulated at every point of a visit: the facts stored until then are all that is left.
 */

const wholeVisit = () =>
  visitAtFirstStep()
    .hears('first', { 'puff.shake': 'understood', 'puff.slow': 'misconception:opposite' })
    .hears('second', { 'puff.slow': 'understood' })
    .hears('third', { 'puff.seal': 'understood' })
    .reaches('explain')
    .hears('one', {})
    .hears('two', {})
    .hears('three', {})
    .reaches('show-me')
    .sends({ type: 'SHOWN', point: 'shakes', shown: true })
    .sends({ type: 'SHOWN', point: 'seals', shown: false })
    .presses('GO_ON')
    .reaches('summary')
    .hears('no')
    .reaches('ended');

const count = (facts: readonly VisitFact[], type: VisitFact['type'], step: string) =>
  facts.filter((f) => f.type === type && 'step' in f && f.step === step).length;

test('after a crash at any point the visit asks to go on, loses nothing, does nothing twice, and can be finished', async () => {
  const whole = await wholeVisit();
  expect(whole.facts.length).toBeGreaterThan(30);
  for (let cut = 1; cut < whole.facts.length; cut++) {
    const past = whole.facts.slice(0, cut);
    const at = `after ${cut}: ${JSON.stringify(past.at(-1)).slice(0, 80)}`;
    const v: VisitHarness = visit({ past });
    v.actor.start();
    await v.world.settle();
    expect(v.view.screen, at).toBe('resume');
    await endsByTouch(v);
    await v.world.pass(500);
    expect(v.facts.slice(0, cut), at).toEqual(past);
    expect(v.world.stored, at).toEqual(v.facts.slice(cut));
    expect(
      v.facts.filter((f) => f.type === 'visit-started'),
      at,
    ).toHaveLength(1);
    expect(
      v.facts.filter((f) => f.type === 'finished'),
      at,
    ).toHaveLength(1);
    for (const step of ['puff', 'after']) {
      expect(count(v.facts, 'step-started', step), at).toBe(1);
      expect(count(v.facts, 'step-finished', step), at).toBe(1);
      expect(count(v.facts, 'judged', step), at).toBeLessThanOrEqual(3);
      expect(count(v.facts, 'handed-over', step), at).toBeLessThanOrEqual(1);
      const first = v.facts.filter((f) => f.type === 'explained' && f.step === step && f.wording === 'first');
      expect(first.length, at).toBeLessThanOrEqual(1);
    }
    expect(v.world.broken).toEqual([]);
  }
});

const cutAt = async (find: (f: VisitFact) => boolean, after = 1) => {
  const { facts } = await wholeVisit();
  const index = facts.findIndex(find);
  expect(index).toBeGreaterThan(0);
  // Wrapped, because `await` would run a bare harness.
  return {
    v: visit({ past: facts.slice(0, index + after) })
      .starts()
      .presses('GO_ON'),
  };
};

test('in the explanation: it is explained again', async () => {
  await (await cutAt((f) => f.type === 'step-started')).v
    .expects('explain')
    .waits(300)
    .expectsSaid('Teach puff one.');
});

test('after the explanation: the question is asked', async () => {
  await (await cutAt((f) => f.type === 'explained')).v.untilListening().expectsNotSaid('Teach puff one.');
});

test('heard and not yet judged: the stored answer is judged, nobody has to say it again', async () => {
  const v = await (await cutAt((f) => f.type === 'heard')).v.waits(100).expects('respond');
  expect(v.world.judgedWith).toMatchObject([{ heard: { text: 'first' } }]);
  expect(v.world.requests.map((r) => r.kind)).not.toContain('answer');
});

test('judged and not yet taught again: it is taught again, and the next try is the second', async () => {
  const v = await (await cutAt((f) => f.type === 'judged')).v
    .expects('respond')
    .untilListening()
    .expectsSaid('Correct puff.slow.', 'Again one puff.slow.');
  expect(v.view).toMatchObject({ attempt: 2, asked: ['puff.seal', 'puff.slow'] });
  expect(v.facts.filter((f) => f.type === 'retaught')).toHaveLength(1);
});

test('taught again: only the narrower question is asked', async () => {
  const v = await (await cutAt((f) => f.type === 'retaught')).v
    .untilListening()
    .expectsNotSaid('Again one puff.slow.');
  expect(v.view).toMatchObject({ attempt: 2, asked: ['puff.seal', 'puff.slow'] });
});

test('handed over: the step is closed without being handed over again', async () => {
  const v = await (await cutAt((f) => f.type === 'handed-over')).v.reaches('show-me');
  expect(v.facts.filter((f) => f.type === 'handed-over')).toHaveLength(1);
});

test('a finished visit stays finished', async () => {
  const { facts } = await wholeVisit();
  const v = await visit({ past: facts }).starts().expects('ended').presses('GO_ON').expects('ended');
  expect(v.facts).toEqual(facts);
});

test('"no" to going on pauses; going on is then a button away', async () => {
  const { facts } = await wholeVisit();
  const begun = facts.findIndex((f) => f.type === 'step-started') + 1;
  await visit({ past: facts.slice(0, begun) })
    .starts()
    .hears('no')
    .expects('paused')
    .presses('GO_ON')
    .reaches('explain');
});
