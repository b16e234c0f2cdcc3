import { describe, expect, test } from 'vitest';
import { type AnyStateNode, createActor, type StateValue } from 'xstate';
import { kioskViewOf } from '../../machines/kiosk';
import { viewOf } from '../../machines/view';
import { VisitHarness, visitAtFirstStep, World } from './harness';
import { lesson, start, timings } from './lesson';

/** The states without states inside, as paths from the top; those that are left at once are not for anybody to see. */
const places = (node: AnyStateNode, path: string[] = []): string[][] => {
  const inside = Object.entries(node.states);
  if (inside.length > 0) return inside.flatMap(([name, child]) => places(child, [...path, name]));
  const passed = node.always?.some(({ guard }) => guard === undefined) ?? false;
  return node.type === 'final' || passed ? [] : [path];
};

const nested = ([name = '', ...rest]: string[]): StateValue =>
  rest.length === 0 ? name : { [name]: nested(rest) };

const { flow } = new World().machines.visit.root.states;

describe('a call for help, from every state of a visit', () => {
  test.each(places(flow!).map((path) => [path.join(' '), path] as const))('%s', async (_, path) => {
    const world = new World();
    const machine = world.machines.visit;
    const input = { start, lesson, timings, past: [] };
    const { context } = createActor(machine, { input }).getSnapshot();
    const value = { store: 'idle', flow: nested(path) };
    const actor = createActor(machine, {
      input,
      snapshot: machine.resolveState({ value, context: { ...context, place: 'teaching', step: 'puff' } }),
      clock: world.clock,
    }).start();
    actor.send({ type: 'HELP' });
    await world.settle();
    expect(viewOf(actor.getSnapshot())).toMatchObject({ screen: 'help', help: 'learner' });
    expect(world.calls).toEqual([{ by: 'learner', text: '' }]);
    expect(actor.getSnapshot().context.facts.at(-1)).toEqual({
      type: 'help-called',
      by: 'learner',
      text: '',
    });
    await world.pass(200);
    expect(world.said).toContain('helpComing');
    actor.stop();
  });
});

describe('a call for help, from every state of the kiosk around a visit', () => {
  const { visiting } = new World().machines.kiosk.root.states;
  test.each(places(visiting!).map((path) => [path.join(' '), path] as const))('%s', async (_, path) => {
    const world = new World();
    const actor = world.startKiosk();
    actor.send({ type: 'STAFF' });
    actor.send({ type: 'START', visit: { start, lesson, timings, past: [] } });
    await world.settle();
    // Asked without listening: only of who answers by touch.
    if (path.includes('saying')) actor.send({ type: 'PERSON', event: { type: 'USE_CARDS' } });
    actor.send({ type: 'PERSON', event: { type: 'PAUSE' } });
    const matches = () => actor.getSnapshot().matches({ visiting: nested(path) } as never);
    for (let t = 0; t < 300_000 && !matches(); t += 500) await world.pass(500, 500);
    expect(matches()).toBe(true);
    actor.send({ type: 'PERSON', event: { type: 'HELP' } });
    await world.settle();
    expect(kioskViewOf(actor.getSnapshot())).toMatchObject({ screen: 'visit', visit: { screen: 'help' } });
    expect(world.calls).toHaveLength(1);
  });
});

test('help is said as loud as can be, whatever the learner chose', async () => {
  const v = await visitAtFirstStep().presses('SOFTER').presses('SOFTER').presses('HELP').waits(10);
  expect(v.view.volume).toBe(0.125);
  expect(v.world.speaks.at(-1)).toMatchObject({ sentences: ['helpComing'], volume: 1 });
});

test('a call that nobody answers is made again and again, and written down once', async () => {
  const v = await visitAtFirstStep().presses('HELP').waits(65_000);
  expect(v.world.calls.length).toBeGreaterThanOrEqual(4);
  expect(v.world.said.filter((sentence) => sentence === 'helpComing')).toHaveLength(v.world.calls.length);
  expect(v.facts.filter(({ type }) => type === 'help-called')).toHaveLength(1);
  const calls = v.world.calls.length;
  v.actor.send({ type: 'HELP_OVER' });
  await v.world.pass(60_000, 500);
  expect(v.world.calls).toHaveLength(calls);
});

/* 49 CFR 27.71 (k)(5)(ii)(B), as quoted on corada.com: the volume goes back to the default after every use. */
test('a new visit begins with the usual voice, whatever the last one ended with', async () => {
  const loud = await visitAtFirstStep().presses('LOUDER').presses('SLOWER').presses('SLOWER');
  expect(loud.view).toMatchObject({ volume: 1, rate: 0.6 });
  const next = new VisitHarness();
  next.actor.start();
  expect(next.view).toMatchObject({ volume: 0.5, rate: 1 });
});

/* ADA Standards 707.5.1, as quoted on corada.com: speech can be repeated or interrupted. */
test('what is said can be repeated and cut short', async () => {
  const v = await visitAtFirstStep().waits(150).forgetsWhatWasSaid().presses('AGAIN').waits(150);
  expect(v.world.said[0]).toBe('stepCount 1 2');
  v.actor.send({ type: 'GO_ON' });
  await v.world.settle();
  expect(v.view.screen).toBe('ask');
  expect(v.world.broken).toEqual([]);
});

test('"help is here", pressed again, goes on at once', async () => {
  const v = await visitAtFirstStep().presses('HELP').waits(10).presses('HELP_OVER').expects('help');
  v.actor.send({ type: 'HELP_OVER' });
  await v.world.settle();
  expect(v.view.screen).toBe('explain');
});
