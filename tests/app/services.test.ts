// @vitest-environment happy-dom
import { beforeAll, describe, expect, it, vi } from 'vitest';
import { createActor, createMachine, toPromise } from 'xstate';
import type { ListenSends } from '../../machines/services';
import type { TurnRequest } from '../../machines/types';
import { type FullLesson, loadLesson } from '../../src/app/lessons';
import { servicesOf, type World } from '../../src/app/services/services';
import type { HearEvent, Hearing, HearRequest } from '../../src/hearing/types';
import type { SpeakEnd, Speaking } from '../../src/speaking/types';

let lesson: FullLesson;
beforeAll(async () => {
  lesson = await loadLesson('inhaler-spacer', 'en');
});

function ear(events: HearEvent[]) {
  const requests: HearRequest[] = [];
  const hearing: Hearing = {
    id: 'embedded',
    available: async () => ({ ok: true }),
    prepare: async () => ({ ok: true }),
    async *listen(request) {
      requests.push(request);
      yield* events;
    },
  };
  return { hearing, requests };
}

const silence: Speaking = {
  id: 'none',
  available: async () => true,
  speak: async (): Promise<SpeakEnd> => ({ voice: 'none', reason: 'finished' }),
};

const world = (change: Partial<World> = {}): World => ({
  lesson: () => lesson,
  ear: async () => ({ hearing: ear([]).hearing, why: 'a test' }),
  earFailed: () => {},
  hush: () => {},
  voice: silence,
  store: async () => {},
  callStaff: () => {},
  ...change,
});

const answer: TurnRequest = {
  kind: 'answer',
  language: 'en',
  module: 'inhaler-spacer',
  step: 'puff',
  concepts: ['inhaler-spacer.puff.press'],
};

/** Runs `listen` under a parent and gives what it sent there. */
async function listens(w: World, request: TurnRequest): Promise<ListenSends[]> {
  const sent: ListenSends[] = [];
  const parent = createMachine({
    invoke: { src: servicesOf(w).listen, input: request },
    on: { '*': { actions: ({ event }) => sent.push(event as ListenSends) } },
  });
  const actor = createActor(parent).start();
  await vi.waitFor(() => expect(sent.some((e) => e.type === 'HEARING' && e.event.type === 'end')).toBe(true));
  actor.stop();
  return sent;
}

describe('the services of a visit', () => {
  it('listen for the phrases of the concepts that are asked, and for what may be said at any time', async () => {
    const { hearing, requests } = ear([{ type: 'end', reason: 'finished' }]);
    await listens(world({ ear: async () => ({ hearing, why: 'a test' }) }), answer);
    expect(requests[0]!.phrases).toEqual(
      expect.arrayContaining([
        lesson.judging.concepts['inhaler-spacer.puff.press']!.says,
        lesson.common.commands.again[0],
        lesson.common.distress.phrases[0],
      ]),
    );
    expect(requests[0]!.phrases).not.toContain(lesson.judging.concepts['inhaler-spacer.puff.hold']!.says);
  });

  it('listen for little more than yes and no when that is the question', async () => {
    const { hearing, requests } = ear([{ type: 'end', reason: 'finished' }]);
    await listens(world({ ear: async () => ({ hearing, why: 'a test' }) }), {
      ...answer,
      kind: 'yes-no',
      concepts: [],
    });
    expect(requests[0]!.module).toBe('');
    expect(requests[0]!.phrases).toContain(lesson.common.commands.yes[0]);
  });

  it('take for an answer what answers the question, though it is a command elsewhere', async () => {
    const understood = async (text: string, concepts: string[]) => {
      const heard = { text, confidence: 0.9, alternatives: [], engine: 'embedded' as const };
      const actor = createActor(servicesOf(world()).interpret, {
        input: { heard, kind: 'answer', language: 'en', concepts },
      }).start();
      return toPromise(actor);
    };
    expect(await understood('wait a minute', ['inhaler-spacer.repeat.wait'])).toEqual({ kind: 'answer' });
    expect(await understood('wait a minute', ['inhaler-spacer.puff.seal'])).toEqual({
      kind: 'command',
      command: 'pause',
    });
    expect(await understood('wait a minute', [])).toEqual({ kind: 'command', command: 'pause' });
  });

  it('tell which ear is in use and pass on all that it hears', async () => {
    const heard = { text: 'press it once', confidence: 0.8, alternatives: [], engine: 'embedded' as const };
    const events: HearEvent[] = [
      { type: 'ready' },
      { type: 'final', heard },
      { type: 'end', reason: 'finished' },
    ];
    const { hearing } = ear(events);
    const sent = await listens(world({ ear: async () => ({ hearing, why: 'a test' }) }), answer);
    expect(sent).toEqual([
      { type: 'ENGINE', ear: 'embedded', why: 'a test' },
      ...events.map((event) => ({ type: 'HEARING', event })),
    ]);
  });

  it('weigh the sound of a turn before its end, when the engine gives levels', async () => {
    const level = (dbfs: number): HearEvent => ({ type: 'level', dbfs, peak: dbfs + 12 });
    const events: HearEvent[] = [
      ...Array.from({ length: 12 }, () => level(-30)),
      { type: 'speech-start' },
      ...Array.from({ length: 8 }, () => level(-24)),
      { type: 'end', reason: 'finished' },
    ];
    const { hearing } = ear(events);
    const sent = await listens(world({ ear: async () => ({ hearing, why: '' }) }), answer);
    expect(sent.at(-2)).toMatchObject({ type: 'SOUND', sound: { verdict: 'too-noisy', noise: -30 } });
    expect(sent.at(-1)).toMatchObject({ type: 'HEARING', event: { type: 'end' } });
  });

  it('leave out an ear that failed, but not one that heard nothing', async () => {
    for (const [reason, times] of [
      ['engine-failed', 1],
      ['language-missing', 1],
      ['nothing-heard', 0],
      ['denied', 0],
    ] as const) {
      const { hearing } = ear([{ type: 'end', reason }]);
      const earFailed = vi.fn();
      await listens(world({ ear: async () => ({ hearing, why: '' }), earFailed }), answer);
      expect(earFailed, reason).toHaveBeenCalledTimes(times);
    }
  });

  it('say so when the language is what is missing', async () => {
    const none = { hearing: null, why: 'no model', reason: 'language-missing' as const };
    const sent = await listens(world({ ear: async () => none }), answer);
    expect(sent).toEqual([
      { type: 'HEARING', event: { type: 'end', reason: 'language-missing', detail: 'no model' } },
    ]);
  });

  it('say that there is no ear when there is none', async () => {
    const sent = await listens(world({ ear: async () => ({ hearing: null, why: 'no microphone' }) }), answer);
    expect(sent).toEqual([
      { type: 'HEARING', event: { type: 'end', reason: 'engine-failed', detail: 'no microphone' } },
    ]);
  });

  it('silence whatever else is being said before they speak or listen', async () => {
    const order: string[] = [];
    const w = world({
      hush: () => order.push('hush'),
      ear: async () => {
        order.push('listen');
        return { hearing: null, why: '' };
      },
      voice: {
        ...silence,
        speak: async () => {
          order.push('speak');
          return { voice: 'none', reason: 'finished' };
        },
      },
    });
    await listens(w, answer);
    const input = { sentences: ['One.'], rate: 1, volume: 1, language: 'en' };
    const speaks = createMachine({ invoke: { src: servicesOf(w).speak, input } });
    createActor(speaks).start().stop();
    expect(order).toEqual(['hush', 'listen', 'hush', 'speak']);
  });
});
