import { type Actor, createActor, waitFor } from 'xstate';
import {
  type KioskInput,
  type kioskMachine,
  kioskViewOf,
  makeKiosk,
  normalVoice,
  type PersonEvent,
  type Voice,
} from '../../machines';
import { narrowed } from '../../phrasebanks/narrow';
import { StoreError } from '../records/errors';
import { whyNot } from '../records/rows';
import { visitFactSchema } from '../records/schema';
import type { VisitFact, VisitStart, VisitStore } from '../records/types';
import { forgetWords } from '../scoring';
import type { Speaking } from '../speaking/types';
import type { Ears } from './ears';
import type { FullLesson, LessonShelf } from './lessons';
import { playCall } from './services/earcon';
import { servicesOf } from './services/services';
import type { Site } from './site';

interface House {
  store: () => VisitStore;
  site: () => Pick<Site, 'timings'>;
  lessons: Pick<LessonShelf, 'load'>;
  ears: Pick<Ears, 'begin' | 'take' | 'choose' | 'failed' | 'asksCloud'>;
  voice: Speaking;
  /** Gets the built-in ear ready. */
  prepare: (language: string) => void;
  /** Lets the microphone go, wherever staff may have it. */
  freeMicrophone: () => Promise<void>;
  /** Takes from the screen what is no business of whoever learns. */
  clear: () => void;
  /** What the lesson after this one is about; null: none is to come. */
  next: (start: VisitStart) => Promise<string | null>;
  /** A visit has the screen. */
  onBegun: () => void;
  /** A visit is over, and all of it is stored. */
  onFinished: () => void;
  /** With a sentence for staff: something of a visit cannot be stored. */
  onLost: (sentence: string) => void;
}

/** For a store that does not answer, ms. */
const patience = 5_000;

/** Owns the one visit that runs, and with it the microphone. Rejects with a sentence for staff. */
export class RunningVisit {
  #actor: Actor<typeof kioskMachine> | null = null;
  #lesson: FullLesson | null = null;
  #visit = '';
  #naming: AbortController | null = null;
  #beginning: Promise<void> | null = null;
  /** What was given to the store last. */
  #writing: Promise<void> = Promise.resolve();

  constructor(private readonly house: House) {}

  /** Once, when the store is there. */
  open(timings: KioskInput['timings']): void {
    this.#actor = createActor(makeKiosk(this.#services()), { input: { timings } });
    this.#actor.start();
  }

  /** The machine of the kiosk and its visit. Only after `open`. */
  get actor(): Actor<typeof kioskMachine> {
    if (!this.#actor) throw new Error('The kiosk is not open yet');
    return this.#actor;
  }

  /** null: no visit has the screen. */
  get lesson(): FullLesson | null {
    return this.#lesson;
  }

  /** Of the visit that has the screen. Only while one has. */
  get lessonHere(): FullLesson {
    if (!this.#lesson) throw new Error('No visit runs');
    return this.#lesson;
  }

  get running(): boolean {
    return typeof this.#actor?.getSnapshot().value === 'object';
  }

  /** Nobody is being taught, and no start form is open. */
  get idle(): boolean {
    return this.#actor?.getSnapshot().value === 'idle';
  }

  /** How the visit on the screen speaks. */
  get manner(): Voice {
    return kioskViewOf(this.actor.getSnapshot()).visit ?? normalVoice;
  }

  readonly send: Actor<typeof kioskMachine>['send'] = (event) => this.actor.send(event);

  readonly person = (event: PersonEvent) => this.send({ type: 'PERSON', event });

  readonly begin = (makeStart: () => VisitStart | Promise<VisitStart>, voice?: Voice): Promise<void> =>
    this.#once(async () => this.#run(await makeStart(), [], voice));

  /** Offers to go on with a visit that is not finished. */
  readonly goOn = (visit: string): Promise<void> =>
    this.#once(async () => {
      const store = this.house.store();
      await store.takeUp(visit);
      const facts = (await store.events(visit)).map(({ fact }) => fact);
      const started = facts.find((fact) => fact.type === 'visit-started');
      if (!started)
        throw new Error('The beginning of an interrupted visit could not be read, so it cannot go on.');
      await this.#run(started.start, facts);
    });

  /** The one that was last on the screen. */
  readonly goOnWithLast = () => this.goOn(this.#visit);

  /** Says what a thing on the screen is called, where nothing else is said and nothing listens. Resolves then. */
  readonly name = async (text: string): Promise<void> => {
    this.#hush();
    const { screen, visit } = kioskViewOf(this.actor.getSnapshot());
    if (screen !== 'visit' || !visit || visit.speaking >= 0 || visit.listening !== 'off') return;
    this.#naming = new AbortController();
    const { rate, volume } = visit;
    const { language } = this.lessonHere.common;
    await this.house.voice.speak({ language, sentences: [text], rate, volume }, this.#naming.signal);
  };

  /** The reason of what was broken off holds on to whoever broke it off: it is not kept. */
  #hush(): void {
    this.#naming?.abort();
    this.#naming = null;
  }

  /** Resolves when all of the visit is stored, or cannot be. Whoever waits for a store that hangs is let go in the end. */
  readonly settled = async (visit: string): Promise<void> => {
    if (visit !== this.#visit) return;
    const settled = waitFor(
      this.actor,
      (now) => {
        const view = kioskViewOf(now).visit;
        return view?.storing === view?.unsaved;
      },
      { timeout: patience },
    );
    await settled.catch(() => {});
  };

  /** Takes the visit off the screen. What it wrote stays in the store. */
  readonly close = () => {
    this.#leave();
    this.#forget();
  };

  /** What it has not written yet is written all the same, before anything else is. */
  #leave(): void {
    const { queue = [], inFlight = 0 } = this.actor.getSnapshot().context.inner?.context ?? {};
    this.send({ type: 'WIPE' });
    const left = queue.slice(inFlight);
    const writes = [
      ...(inFlight > 0 ? [this.#writing] : []),
      ...(left.length > 0 ? [this.#write(left)] : []),
    ];
    Promise.all(writes).catch((error: unknown) =>
      this.house.onLost(`The end of the last visit could not be saved. ${(error as Error).message}`),
    );
  }

  /** A visit was erased. If it was on the screen, ended or parked, it leaves it. @returns whether it was */
  erased(visit: string): boolean {
    if (visit !== this.#visit) return false;
    for (const type of ['WIPE', 'STAFF', 'CANCEL'] as const) this.send({ type });
    this.#forget();
    return true;
  }

  #forget(): void {
    this.house.store().putDown();
    this.#lesson = null;
    forgetWords();
  }

  /** A second press while a visit begins is the same one: two would write into one log. */
  #once(work: () => Promise<void>): Promise<void> {
    this.#beginning ??= work().finally(() => {
      this.#beginning = null;
    });
    return this.#beginning;
  }

  async #run(start: VisitStart, past: VisitFact[], voice?: Voice): Promise<void> {
    await this.house.freeMicrophone();
    // Whoever learns gets the screen now.
    this.house.clear();
    const { lessons, ears, prepare } = this.house;
    const whole = await lessons.load(start.module, start.language);
    const lesson = { ...whole, module: narrowed(whole.module, start.recheck) };
    const next = await this.house.next(start);
    prepare(start.language);
    const askCloud = await ears.asksCloud(start.language);
    // One that has ended may still be on the screen. From here on at once: what it writes goes into its own log.
    if (this.running) this.#leave();
    this.#lesson = lesson;
    this.#visit = start.visit;
    ears.begin(past);
    if (this.idle) this.send({ type: 'STAFF' });
    const { timings } = this.house.site();
    const more = { ...(next ? { next } : {}), ...(voice ? { voice } : {}) };
    this.send({ type: 'START', visit: { start, lesson, timings, past, askCloud, ...more } });
    this.house.onBegun();
  }

  async #write(facts: VisitFact[]): Promise<void> {
    const visit = this.#visit;
    await this.#append(visit, facts);
    // Leave that was given in a visit which has left the screen meanwhile is none for the next one.
    if (visit === this.#visit) this.house.ears.take(facts);
    if (facts.some(({ type }) => type === 'finished')) this.house.onFinished();
  }

  /** An entry that fits no log is told, and keeps none of the others out of it. */
  async #append(visit: string, facts: VisitFact[]): Promise<void> {
    const store = this.house.store();
    try {
      await store.append(visit, facts);
    } catch (error) {
      if (!(error instanceof StoreError && error.code === 'invalid')) throw error;
      const misfits = new Map<VisitFact, string>();
      for (const fact of facts) {
        const read = visitFactSchema.safeParse(fact);
        if (!read.success) misfits.set(fact, `${fact.type}: ${whyNot(read.error)}`);
      }
      // Without its beginning there is no log for the others either.
      if (misfits.size === 0 || [...misfits.keys()].some(({ type }) => type === 'visit-started')) throw error;
      for (const why of misfits.values())
        this.house.onLost(new StoreError('invalid', `visit ${visit}, ${why}`).message);
      const fits = facts.filter((fact) => !misfits.has(fact));
      await store.append(visit, fits);
    }
  }

  #services() {
    return servicesOf({
      lesson: () => this.lessonHere,
      // A visit and a recording never have the microphone at the same time.
      ear: async (language) => {
        await this.house.freeMicrophone();
        return this.house.ears.choose(language);
      },
      earFailed: (hearing) => this.house.ears.failed(hearing),
      voice: this.house.voice,
      hush: () => this.#hush(),
      store: (facts) => {
        this.#writing = this.#write(facts);
        return this.#writing;
      },
      callStaff: playCall,
    });
  }
}
