import { describe, expect, test } from 'vitest';
import {
  type AnyMachineSnapshot,
  type AnyStateMachine,
  type AnyStateNode,
  createActor,
  fromCallback,
} from 'xstate';
import { getAdjacencyMap } from 'xstate/graph';
import { newStep } from '../../machines/progress';
import { commandNames } from '../../phrasebanks/commands';
import { endReasons, soundVerdicts } from '../../src/hearing/types';
import { heard, World } from './harness';
import { kioskTimings, lesson, start, timings } from './lesson';

/*
 * The machines one by one, as models: what runs inside or beside one is played by the events it can send. From
 * where a machine begins every state is reached by some way, and from each there is a way to its end (for those
 * that never end: back to where they rest).
 */

type Sample = { type: string } & Record<string, unknown>;

const home = createActor(fromCallback(() => {})).start();
const voice = { home, rate: 1, volume: 1 };
const words = { start, lesson };
const request = (kind: string) => ({
  kind,
  language: 'en',
  module: 'spacer',
  step: 'puff',
  concepts: ['puff.shake'],
});
const finding = (concept: string, label: string) => ({
  concept,
  label,
  confidence: 0.9,
  evidence: [],
  reason: '',
});

const meanings = [
  { kind: 'answer' },
  { kind: 'distress', phrase: 'i cannot breathe' },
  ...commandNames.map((command) => ({ kind: 'command', command })),
];
const turns = [
  ...meanings.map((meaning) => ({ kind: 'heard', heard: heard('shake it'), meaning, mode: 'voice' })),
  { kind: 'heard', heard: heard('shake it', 0.3), meaning: { kind: 'answer' }, mode: 'voice' },
  { kind: 'nothing-heard' },
  ...endReasons.map((reason) => ({ kind: 'trouble', reason })),
];
const answers = [
  { kind: 'answer', heard: heard('shake it'), mode: 'voice' },
  { kind: 'answer', heard: heard('shake it', 0.3), mode: 'voice' },
  ...['yes', 'no', 'unclear', 'next', 'cards'].map((kind) => ({ kind })),
];
const judged = ['understood', 'partial', 'missed', 'misconception'].map((label) =>
  ['puff.shake', 'puff.seal', 'puff.slow', 'puff.upright'].map((concept) => finding(concept, label)),
);

/** How what runs inside or beside a machine may end, by its name. */
const outputs: Record<string, unknown[]> = {
  turn: turns,
  ask: answers,
  interpret: meanings,
  judge: judged,
  judgeCards: judged,
  answerQuestion: [null, { id: 'wash', says: ['Answer.'] }],
};

/** All that may come with an event of this type. */
function samplesOf(type: string, snapshot: AnyMachineSnapshot): Sample[] {
  const done = /^xstate\.(done|error)\.actor\.(.*)$/.exec(type);
  if (done) {
    const nodes: { invoke: { id: string; src: unknown }[] }[] = snapshot._nodes;
    const runs = nodes.flatMap(({ invoke }) => invoke).find(({ id }) => id === done[2]);
    if (!runs) return [];
    if (done[1] === 'error') return [{ type, error: new Error('broke') }];
    return (outputs[String(runs.src)] ?? [undefined]).map((output) => ({ type, output }));
  }
  const text = heard('shake it');
  const own: Record<string, Sample[]> = {
    // Raised again as `ear.…`, which are sent themselves.
    HEARING: [],
    ADJUST: [{ type, rate: 1, volume: 1, says: [] }],
    ADVISE: [
      { type, sentences: ['Closer.'] },
      { type, sentences: null },
    ],
    SPEAKING: [{ type, index: 0 }],
    SPOKEN: ['finished', 'failed'].map((reason) => ({ type, end: { voice: 'none', reason } })),
    SOUND: soundVerdicts.map((verdict) => ({ type, sound: { verdict, speech: -30, noise: -40 } })),
    ENGINE: [{ type, ear: 'embedded', voice: 'none', why: '' }],
    TYPE: [{ type, text: 'shake it' }],
    CARDS: [{ type, chosen: [{ concept: 'puff.shake', text: 'shake it' }] }],
    SHOWN: [{ type, point: 'shakes', shown: true }],
    FACTS: start.steps.map((step) => ({ type, facts: [{ type: 'step-finished', step }] })),
    DISTRESS: [{ type, phrase: 'i cannot breathe' }],
    'ear.final': [{ type, heard: text }],
    'ear.interim': [{ type, heard: text }],
    'ear.level': [{ type, dbfs: -30 }],
    'ear.end': endReasons.map((reason) => ({ type, reason })),
    START: [{ type, visit }],
    PERSON: ['GO_ON', 'HELP', 'STOP'].map((press) => ({ type, event: { type: press } })),
    // What runs inside is played by its end; but the kiosk looks at the visit.
    'xstate.snapshot.inner':
      snapshot.machine.id === 'kiosk' ? insides.map((inside) => ({ type, snapshot: inside })) : [],
    'xstate.snapshot.say': [],
    'xstate.snapshot.turn': [],
  };
  return own[type] ?? [{ type }];
}

interface Model {
  machine: AnyStateMachine;
  inputs: unknown[];
  /** What besides the value tells two situations apart. */
  // biome-ignore lint/suspicious/noExplicitAny: each machine has its own context
  tells?: (context: any) => unknown;
  /** Where it rests, for one that never ends. */
  rests?: string;
}

const { machines } = new World();
const visit = { start, lesson, timings, past: [], askCloud: true };
const inside = createActor(machines.visit, { input: visit }).getSnapshot();
/** A visit that is silent, by voice and by cards, with all of it stored and not. */
const insides = ['voice', 'cards'].flatMap((mode) =>
  [[], inside.context.queue].map((queue) => ({ ...inside, context: { ...inside.context, mode, queue } })),
);
const kinds = ['answer', 'short', 'yes-no', 'question'];
const models: Record<string, Model> = {
  say: {
    machine: machines.say,
    inputs: [{ ...voice, sentences: ['One.', 'Two.'], lead: [], language: 'en' }],
  },
  turn: {
    machine: machines.turn,
    inputs: kinds.map((kind) => ({ ...voice, timings, request: request(kind), say: ['What do you do?'] })),
    tells: ({ heard, interim, edges }) => [heard !== null, interim !== null, edges],
  },
  ask: {
    machine: machines.ask,
    inputs: kinds.flatMap((kind) =>
      ['voice', 'cards'].map((mode) => ({
        ...voice,
        words,
        timings,
        request: request(kind),
        say: ['What do you do?'],
        mode,
      })),
    ),
    tells: ({ misses, unclear, advice, reason }) => [
      Math.min(misses, 3),
      Math.min(unclear, 3),
      advice !== null,
      reason !== null,
    ],
  },
  step: {
    machine: machines.step,
    inputs: ['voice', 'cards'].map((mode) => ({
      ...voice,
      words,
      timings,
      mode,
      progress: newStep(lesson, 'puff'),
    })),
    tells: ({ progress: { stage, attempt, asked, findings }, mode, wording }) => [
      stage,
      attempt,
      asked.length,
      findings.map(({ label }: { label: string }) => label),
      mode,
      wording,
    ],
  },
  visit: {
    machine: machines.visit,
    inputs: [
      visit,
      { ...visit, start: { ...start, audioOnly: true } },
      { ...visit, past: [{ type: 'visit-started', start }] },
    ],
    tells: ({ place, mode, step, facts, help, queue }) => [
      place,
      mode,
      step,
      new Set(facts.filter(of('step-finished')).map((fact: { step: string }) => fact.step)).size,
      facts.some(of('cloud-asked')),
      facts.some(of('finished')),
      help !== null,
      queue.length > 0,
    ],
    rests: 'visit.flow.ended.saying',
  },
  kiosk: {
    machine: machines.kiosk,
    inputs: [{ timings: kioskTimings }],
    tells: ({ inner }) => inner && [inner.context.mode, inner.context.queue.length > 0],
    rests: 'kiosk.idle',
  },
};

const of = (type: string) => (fact: { type: string }) => fact.type === type;

const leaves = (machine: AnyStateMachine): string[] =>
  [...(machine as unknown as { idMap: Map<string, AnyStateNode> }).idMap.values()]
    // A state that is left at once is never a place to be.
    .filter((node) => node.type === 'atomic' && !node.always?.length)
    .map((node) => node.id)
    .sort();

const value = (snapshot: AnyMachineSnapshot) => JSON.stringify(snapshot.value);

describe.each(Object.entries(models))('%s', (_, { machine, inputs, tells = () => [], rests }) => {
  const key = (snapshot: AnyMachineSnapshot) =>
    `${value(snapshot)} ${JSON.stringify(tells(snapshot.context))}`;
  const walked = inputs.flatMap((input) =>
    Object.values(
      getAdjacencyMap(machine, {
        input,
        events: (snapshot) => machine.events.flatMap((type) => samplesOf(type, snapshot)) as never,
        serializeState: key as never,
        limit: 50_000,
      }),
    ),
  );

  test('comes into every state', () => {
    const reached = new Set(walked.flatMap(({ state }) => state._nodes.map(({ id }: { id: string }) => id)));
    expect(leaves(machine).filter((id) => !reached.has(id))).toEqual([]);
  });
  test('comes from every state to where it ends', () => {
    const onwards = new Map<string, string[]>();
    const ends = new Set<string>();
    for (const { state, transitions } of walked) {
      const from = key(state);
      if (state.status === 'done' || state._nodes.some(({ id }: { id: string }) => id === rests))
        ends.add(from);
      onwards.set(
        from,
        Object.values(transitions as Record<string, { state: AnyMachineSnapshot }>).map((next) =>
          key(next.state),
        ),
      );
    }
    for (let before = 0; before < ends.size; ) {
      before = ends.size;
      for (const [from, to] of onwards) if (to.some((next) => ends.has(next))) ends.add(from);
    }
    expect([...onwards.keys()].filter((from) => !ends.has(from))).toEqual([]);
  });
});
