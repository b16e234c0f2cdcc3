import { assign, type DoneActorEvent, enqueueActions, setup } from 'xstate';
import type { VisitFact } from '../../src/records/types';
import { askMachine, eventOf } from '../ask';
import { adjusted, louder, slower } from '../pace';
import type { Place } from '../progress';
import { sayMachine } from '../say';
import * as script from '../script';
import { answerQuestion, type Earcon, type HelpCall, type HomeEvent, record } from '../services';
import { innerOf, type SnapshotOf, silenced } from '../snapshot';
import { adviceOn, mostAdvice } from '../soundCheck';
import { stepMachine } from '../step';
import { type TurnOutput, turnMachine } from '../turn';
import type { PersonEvent, VisitInput } from '../types';
import { asksCloud, type VisitContext, words } from './context';
import { adjustOn } from './voice';

/** What the states of a visit are made of: the machines inside, guards, actions, delays. */
export const visitSetup = setup({
  types: {} as { context: VisitContext; input: VisitInput; events: HomeEvent },
  actors: { say: sayMachine, turn: turnMachine, ask: askMachine, step: stepMachine, answerQuestion, record },
  guards: {
    goesByEar: ({ context }) => context.start.audioOnly && context.mode === 'voice',
    at: ({ context }, place: Place) => context.place === place,
    waiting: ({ context }) => context.queue.length > 0,
    asksCloud: ({ context }) => asksCloud(context),
    /** Who does not mean to speak is not asked before speaking is wanted. */
    asksCloudFirst: ({ context }) => asksCloud(context) && context.start.answers !== 'touch',
    /** An interrupted visit that nobody has gone on with yet. */
    interrupted: ({ context: { past, facts } }) =>
      past.length > 0 && !facts.slice(past.length).some((fact) => fact.type === 'resumed'),
  },
  actions: {
    playEarcon: (_, _params: { name: Earcon }) => {},
    /** The ward is called; the app provides how. */
    callStaff: (_, _params: HelpCall) => {},
    keepInner: assign({ inner: ({ event }) => (event as unknown as { snapshot: SnapshotOf }).snapshot }),
    dropInner: assign({ inner: null, told: [] }),
    hush: assign({ told: [] }),
    /** Changes the voice and has the machine inside say so. */
    adjust: enqueueActions(({ self, context, event, enqueue }) => {
      const adjust = adjustOn(context, event);
      enqueue.assign(adjusted(adjust));
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, adjust);
    }),
    /** The same where the visit says all of it once more itself. */
    adjustHere: assign(({ context, event }) => {
      const adjust = adjustOn(context, event);
      return { ...adjusted(adjust), told: adjust.says };
    }),
    quiet: assign({ inner: ({ context }) => silenced(context.inner) }),
    toInner: enqueueActions(({ self, event, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, event);
    }),
    slower: assign({ rate: ({ context }) => slower(context.rate) }),
    louder: assign({ volume: ({ context }) => louder(context.volume) }),
    go: assign({ place: (_, place: Place) => place }),
    note: assign({
      facts: ({ context }, facts: VisitFact[]) => [...context.facts, ...facts],
      queue: ({ context }, facts: VisitFact[]) => [...context.queue, ...facts],
    }),
    /** What was said acts as the button of the same meaning. */
    obey: enqueueActions(({ event, enqueue }) => {
      const { output } = event as unknown as DoneActorEvent<TurnOutput>;
      if (output.kind !== 'heard') return;
      const { meaning } = output;
      if (meaning.kind === 'distress') enqueue.raise({ type: 'DISTRESS', phrase: meaning.phrase });
      if (meaning.kind === 'command') enqueue.raise({ type: eventOf[meaning.command] } as PersonEvent);
    }),
    /** An engine's first use, or a change, is a fact as soon as both ear and voice are known. */
    noteEngines: enqueueActions(({ context, event, enqueue }) => {
      const ear = event.type === 'ENGINE' ? event.ear : context.ear;
      const voice = event.type === 'VOICE' ? event.voice : context.voice;
      const why = event.type === 'ENGINE' || event.type === 'VOICE' ? event.why : '';
      if (ear === context.ear && voice === context.voice) return;
      const earWhy = event.type === 'ENGINE' ? why : context.earWhy;
      enqueue.assign({ ear, voice, earWhy });
      if (ear === null || voice === null) return;
      const fact: VisitFact = {
        type: 'engine-chosen',
        ear,
        voice,
        why: event.type === 'VOICE' && context.ear === ear && context.voice !== null ? why : earWhy || why,
      };
      enqueue.assign({
        facts: ({ context: c }) => [...c.facts, fact],
        queue: ({ context: c }) => [...c.queue, fact],
      });
    }),
    /** Should the question be asked again by itself, it is asked with what would help. */
    weigh: enqueueActions(({ self, context, event, enqueue }) => {
      if (event.type !== 'SOUND') return;
      const advice = adviceOn(event.sound);
      enqueue.assign({
        sound: event.sound,
        soundBad: ({ context: c }) => c.soundBad + (advice === null ? 0 : 1),
      });
      const inner = innerOf(self);
      if (advice === null || inner === null) return;
      const sentences = context.soundBad < mostAdvice ? script.yesNo(words(context), advice) : null;
      enqueue.sendTo(inner, { type: 'ADVISE', sentences });
    }),
    tellStored: enqueueActions(({ self, enqueue }) => {
      const inner = innerOf(self);
      if (inner !== null) enqueue.sendTo(inner, { type: 'RECORDED' });
    }),
  },
  delays: {
    storeAgain: 3000,
    /** Own choice. */
    callAgain: 20_000,
    storeStuck: ({ context }) => context.timings.engineStuck,
    answerStuck: ({ context }) => context.timings.engineStuck,
  },
});
