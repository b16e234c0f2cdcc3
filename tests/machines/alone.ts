import { type AnyStateMachine, createActor, fromCallback, type InputFrom } from 'xstate';
import type { TurnRequest } from '../../machines/types';
import { World } from './harness';
import { lesson, start, timings } from './lesson';

export const words = { lesson, start };

export const request: TurnRequest = {
  kind: 'answer',
  language: 'en',
  module: 'spacer',
  step: 'puff',
  concepts: ['puff.shake'],
};

/** One of the inner machines on its own, with a home that only keeps what it is told. */
export const alone = <M extends AnyStateMachine>(
  pick: (machines: World['machines']) => M,
  input: Partial<InputFrom<M>> = {},
) => {
  const world = new World();
  const told: { type: string }[] = [];
  const home = createActor(
    fromCallback<{ type: string }>(({ receive }) => {
      receive((event) => told.push(event));
    }),
    { clock: world.clock },
  ).start();
  const actor = createActor(pick(world.machines) as AnyStateMachine, {
    input: {
      home,
      words,
      timings,
      rate: 1,
      volume: 0.5,
      language: 'en',
      mode: 'voice',
      request,
      say: ['Question?'],
      sentences: ['One.', 'Two.', 'Three.'],
      ...(input as object),
    },
    clock: world.clock,
  }).start();
  return {
    world,
    told,
    actor,
    state: () => actor.getSnapshot().value,
    context: () => actor.getSnapshot().context,
    output: () => actor.getSnapshot().output,
    waits: (ms: number, step = 100) => world.pass(ms, step),
    send: async (event: { type: string; [key: string]: unknown }) => {
      actor.send(event);
      await world.settle();
    },
  };
};
