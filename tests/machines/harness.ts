import { setImmediate as macrotask } from 'node:timers/promises';
import { expect } from 'vitest';
import { type ActorRefFrom, createActor, fromCallback, fromPromise, SimulatedClock } from 'xstate';
import { makeMachines } from '../../machines/make';
import type { Voice } from '../../machines/pace';
import type {
  HelpCall,
  InterpretInput,
  JudgeCardsInput,
  ListenTakes,
  QuestionInput,
  Services,
  SpeakInput,
} from '../../machines/services';
import type {
  Card,
  JudgeInput,
  Meaning,
  PersonEvent,
  Timings,
  TurnRequest,
  VisitScreen,
  VisitView,
} from '../../machines/types';
import { viewOf } from '../../machines/view';
import type { visitMachine } from '../../machines/visit';
import { commandNames } from '../../phrasebanks/commands';
import { narrowed } from '../../phrasebanks/narrow';
import type { EndReason, Heard, HearEvent, Sound } from '../../src/hearing/types';
import type { VisitFact, VisitStart } from '../../src/records/types';
import type { Finding, Label } from '../../src/scoring/types';
import { kioskTimings, lesson, start, timings } from './lesson';

/** Findings in short: a label by concept; 'partial:part' and 'misconception:opposite' name the detail. */
export type Judgement = Record<string, Label | 'partial:part' | 'misconception:opposite'>;

export const heard = (text: string, confidence = 0.9): Heard => ({
  text,
  confidence,
  alternatives: [{ text: 'another reading', confidence: 0.3 }],
  words: text.split(' ').map((word) => ({ word, confidence })),
  engine: 'embedded',
});

export const understand = (text: string): Meaning => {
  if (/cannot breathe/.test(text)) return { kind: 'distress', phrase: text };
  const command = commandNames.find((c) => c === text);
  return command === undefined ? { kind: 'answer' } : { kind: 'command', command };
};

const findings = (concepts: string[], judgement: Judgement): Finding[] =>
  concepts.map((concept) => {
    const [label, detail] = (judgement[concept] ?? 'missed').split(':') as [Label, string?];
    return {
      concept,
      label,
      confidence: 0.9,
      evidence: [],
      reason: 'a fake judge',
      ...(label === 'partial' && detail !== undefined ? { missing: detail } : {}),
      ...(label === 'misconception' && detail !== undefined ? { contradiction: detail } : {}),
    };
  });

/** The world around a visit: voice, ear, judge, store and clock, all of them fakes that can fail. */
export class World {
  clock = new SimulatedClock();
  said: string[] = [];
  earcons: string[] = [];
  earconVolumes: number[] = [];
  calls: HelpCall[] = [];
  stored: VisitFact[] = [];
  judgedWith: JudgeInput[] = [];
  requests: TurnRequest[] = [];
  speaks: SpeakInput[] = [];
  voicesOpen = 0;
  earsOpen = 0;
  /** Broken rules: two ears, or speaking while listening. */
  broken: string[] = [];
  judgement: Judgement = {};
  /** Concepts that hang on a poorly heard word until the speaker has confirmed the text. */
  doubts: string[] = [];
  voice: 'works' | 'fails' | 'hangs' = 'works';
  store: 'works' | 'fails' | 'hangs' = 'works';
  judging: 'works' | 'fails' | 'hangs' = 'works';
  ear: 'works' | 'hangs' | EndReason = 'works';
  /** What the open ear gives when it is told to finish. */
  pending: Heard | null = null;
  hear: ((event: HearEvent) => void) | null = null;
  /** How the microphone does in the next turns; null: the engine gives no levels. */
  sound: Sound | null = null;

  services: Services = {
    speak: fromCallback<{ type: 'none' }, SpeakInput>(({ input, sendBack }) => {
      if (this.earsOpen > 0) this.broken.push(`spoke while listening: ${input.sentences.join(' ')}`);
      this.voicesOpen++;
      if (this.voicesOpen > 1) this.broken.push('two voices');
      this.speaks.push(input);
      const timers: number[] = [];
      const at = (ms: number, act: () => void) => timers.push(this.clock.setTimeout(act, ms) as number);
      if (this.voice === 'fails') {
        at(1, () => sendBack({ type: 'SPOKEN', end: { voice: 'none', reason: 'failed' } }));
      } else if (this.voice === 'works') {
        input.sentences.forEach((sentence, index) => {
          at(index * 100 + 1, () => {
            this.said.push(sentence);
            sendBack({ type: 'SPEAKING', index });
          });
        });
        at(input.sentences.length * 100 + 1, () =>
          sendBack({ type: 'SPOKEN', end: { voice: 'embedded', reason: 'finished' } }),
        );
      }
      return () => {
        this.voicesOpen--;
        for (const t of timers) this.clock.clearTimeout(t);
      };
    }) as Services['speak'],
    listen: fromCallback<ListenTakes, TurnRequest>(({ input, sendBack, receive }) => {
      if (this.voicesOpen > 0) this.broken.push('listened while speaking');
      this.earsOpen++;
      if (this.earsOpen > 1) this.broken.push('two ears');
      this.requests.push(input);
      this.pending = null;
      const hear = (event: HearEvent) => sendBack({ type: 'HEARING', event });
      this.hear = hear;
      const timers: number[] = [];
      const at = (ms: number, act: () => void) => timers.push(this.clock.setTimeout(act, ms) as number);
      if (this.ear === 'works') at(1, () => hear({ type: 'ready' }));
      else if (this.ear !== 'hangs') {
        const reason = this.ear;
        at(1, () => hear({ type: 'end', reason }));
      }
      receive(() => {
        if (this.ear === 'hangs') return;
        at(1, () => {
          if (this.pending !== null) hear({ type: 'final', heard: this.pending });
          if (this.sound !== null) sendBack({ type: 'SOUND', sound: this.sound });
          hear({ type: 'end', reason: this.pending === null ? 'nothing-heard' : 'finished' });
        });
      });
      return () => {
        this.earsOpen--;
        if (this.hear === hear) this.hear = null;
        for (const t of timers) this.clock.clearTimeout(t);
      };
    }) as Services['listen'],
    interpret: fromPromise<Meaning, InterpretInput>(async ({ input }) =>
      understand(input.heard.text),
    ) as Services['interpret'],
    judge: fromPromise<Finding[], JudgeInput>(async ({ input }) => {
      this.judgedWith.push(input);
      if (this.judging === 'hangs') await new Promise(() => {});
      if (this.judging === 'fails') throw new Error('the judge broke');
      return findings(input.concepts, this.judgement).map((finding) =>
        input.heard.alternatives.length > 0 && this.doubts.includes(finding.concept)
          ? { ...finding, label: 'partial', doubtful: true }
          : finding,
      );
    }) as Services['judge'],
    judgeCards: fromPromise<Finding[], JudgeCardsInput>(async ({ input }) =>
      findings(
        input.concepts,
        Object.fromEntries(
          input.cards.map((c) => [
            c.concept,
            c.contradiction === undefined ? 'understood' : 'misconception:opposite',
          ]),
        ),
      ),
    ) as Services['judgeCards'],
    answerQuestion: fromPromise<{ id: string; says: string[] } | null, QuestionInput>(async ({ input }) => {
      const found = lesson.teaching.answers.find((a) => a.asks.includes(input.text));
      return found === undefined ? null : { id: found.id, says: found.says };
    }) as Services['answerQuestion'],
    record: fromPromise<void, VisitFact[]>(async ({ input }) => {
      if (this.store === 'hangs') await new Promise(() => {});
      if (this.store === 'fails') throw new Error('the store is full');
      this.stored.push(...input);
    }) as Services['record'],
    playEarcon: (name, volume) => {
      this.earcons.push(name);
      this.earconVolumes.push(volume);
    },
    callStaff: (call) => this.calls.push(call),
  };

  machines = makeMachines(this.services);

  /** The kiosk around a visit, with nobody at it yet. */
  startKiosk() {
    return createActor(this.machines.kiosk, {
      input: { timings: kioskTimings },
      clock: this.clock,
    }).start();
  }

  /** Lets promises settle. */
  async settle(): Promise<void> {
    await macrotask();
    await macrotask();
  }

  async pass(ms: number, step = 100): Promise<void> {
    for (let left = ms; left > 0; left -= step) {
      this.clock.increment(Math.min(step, left));
      await this.settle();
    }
  }
}

export interface VisitOptions {
  past?: VisitFact[];
  start?: Partial<VisitStart>;
  timings?: Partial<Timings>;
  askCloud?: boolean;
  next?: string;
  voice?: Voice;
}

/** What a test looks at after `await`. */
export type Visited = Pick<VisitHarness, 'world' | 'actor' | 'view' | 'facts'>;

/**
 * A visit that a test drives like a person: each call is a step, and `await` runs them in order.
 * `await visit().starts().hears('shake it', {...}).waits(3000).expects('respond')`
 */
export class VisitHarness {
  world = new World();
  actor: ActorRefFrom<typeof visitMachine>;
  #steps: (() => Promise<void> | void)[] = [];

  constructor({
    past = [],
    start: startChanges = {},
    timings: timingChanges = {},
    askCloud = false,
    ...more
  }: VisitOptions = {}) {
    this.actor = createActor(this.world.machines.visit, {
      input: {
        start: { ...start, ...startChanges },
        lesson: { ...lesson, module: narrowed(lesson.module, startChanges.recheck) },
        timings: { ...timings, ...timingChanges },
        past,
        askCloud,
        ...more,
      },
      clock: this.world.clock,
    });
  }

  get view(): VisitView {
    return viewOf(this.actor.getSnapshot());
  }
  get facts(): VisitFact[] {
    return this.actor.getSnapshot().context.facts;
  }

  // A promise-like of itself would be awaited for ever; hence the result hides `then`.
  // biome-ignore lint/suspicious/noThenProperty: this is what makes the harness read like a visit.
  then<A, B>(
    done?: ((value: Visited) => A | PromiseLike<A>) | null,
    failed?: ((reason: unknown) => B | PromiseLike<B>) | null,
  ): PromiseLike<A | B> {
    const run = async () => {
      for (let step = this.#steps.shift(); step !== undefined; step = this.#steps.shift()) await step();
      // biome-ignore lint/suspicious/noThenProperty: see above.
      return Object.create(this, { then: { value: undefined } }) as Visited;
    };
    return run().then(done, failed);
  }

  does(step: () => Promise<void> | void): this {
    this.#steps.push(step);
    return this;
  }

  starts(): this {
    return this.does(async () => {
      this.actor.start();
      await this.world.settle();
    });
  }

  /** Presses a button. */
  presses(type: Exclude<PersonEvent['type'], 'CARDS' | 'TYPE' | 'SHOWN'>): this {
    return this.sends({ type } as PersonEvent);
  }
  sends(event: PersonEvent): this {
    return this.does(async () => {
      this.actor.send(event);
      await this.world.settle();
    });
  }
  types(text: string, judgement: Judgement = {}): this {
    return this.does(() => {
      this.world.judgement = judgement;
    }).sends({ type: 'TYPE', text });
  }
  taps(...chosen: Card[]): this {
    return this.sends({ type: 'CARDS', chosen });
  }

  waits(ms: number): this {
    return this.does(() => this.world.pass(ms));
  }

  /** Waits until the screen is there. */
  reaches(screen: VisitScreen, within = 60_000): this {
    return this.does(async () => {
      for (let t = 0; t < within && this.view.screen !== screen; t += 100) await this.world.pass(100);
      expect(this.view.screen).toBe(screen);
    });
  }

  untilListening(within = 60_000): this {
    return this.does(async () => {
      for (let t = 0; t < within && this.view.listening !== 'waiting'; t += 100) await this.world.pass(100);
      expect(this.view.listening, `at ${this.view.screen}`).toBe('waiting');
    });
  }

  /** Begins to speak, and does not stop. */
  begins(text: string, confidence = 0.9): this {
    return this.untilListening().does(async () => {
      this.world.hear?.({ type: 'speech-start' });
      this.world.hear?.({ type: 'interim', heard: heard(text, confidence) });
      this.world.pending = heard(text, confidence);
      await this.world.settle();
    });
  }

  /** Waits for the ear, speaks, falls silent until the turn is over, and waits for the judgement. */
  hears(text: string, judgement: Judgement = {}, confidence = 0.9): this {
    return this.does(() => {
      this.world.judgement = judgement;
    })
      .begins(text, confidence)
      .does(async () => {
        this.world.hear?.({ type: 'speech-end' });
        for (let t = 0; t < 20_000 && this.world.earsOpen > 0; t += 100) await this.world.pass(100);
        expect(this.world.earsOpen).toBe(0);
        await this.world.pass(10);
        for (let t = 0; t < 20_000 && this.view.screen === 'think'; t += 100) await this.world.pass(100);
      });
  }

  expects(screen: VisitScreen): this {
    return this.does(() => {
      expect(this.view.screen).toBe(screen);
    });
  }

  /** The sentences said since the last look contain this one. */
  expectsSaid(...sentences: string[]): this {
    return this.does(() => {
      for (const sentence of sentences) expect(this.world.said).toContain(sentence);
    });
  }
  expectsNotSaid(...sentences: string[]): this {
    return this.does(() => {
      for (const sentence of sentences) expect(this.world.said).not.toContain(sentence);
    });
  }
  forgetsWhatWasSaid(): this {
    return this.does(() => {
      this.world.said = [];
    });
  }
}

export const visit = (options?: VisitOptions): VisitHarness => new VisitHarness(options);

/** A visit whose sound check is over; the first step begins to be explained. */
export const visitAtFirstStep = (options?: VisitOptions): VisitHarness =>
  visit(options).starts().hears('yes').hears('no').reaches('explain');
