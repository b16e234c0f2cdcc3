import { assign } from 'xstate';
import type { Heard } from '../../src/hearing/types';
import { said, typed } from './context';
import { turnSetup } from './setup';

/** Words of distress count at once, in the middle of a sentence. */
export const watch = turnSetup.createStateConfig({
  initial: 'idle',
  on: { 'ear.interim': '.checking' },
  states: {
    idle: {},
    checking: {
      invoke: {
        src: 'interpret',
        input: ({ context, event }) => ({
          heard: event.type === 'ear.interim' ? event.heard : (context.interim ?? typed('')),
          kind: context.request.kind,
          language: context.request.language,
          concepts: context.request.concepts,
        }),
        onDone: [
          {
            guard: ({ context, event }) => event.output.kind === 'distress' && said(context.interim),
            target: '#turn.over',
            actions: assign({
              output: ({ context, event }) => ({
                kind: 'heard',
                heard: context.interim as Heard,
                meaning: event.output,
                mode: 'voice',
              }),
            }),
          },
          { target: 'idle' },
        ],
        onError: 'idle',
      },
    },
  },
});
