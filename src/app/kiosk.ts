import { type Actor, createActor } from 'xstate';
import { makeVisit, type visitMachine } from '../../machines';
import { EmbeddedHearing } from '../hearing/embedded/engine';
import type { Hearing } from '../hearing/types';
import { derive, type VisitRecord } from '../records/derive';
import { openStore } from '../records/open';
import type { VisitFact, VisitHeader, VisitStart, VisitStore } from '../records/types';
import { phrasesFor } from '../scoring';
import { browserVoice } from '../speaking';
import type { Speaking } from '../speaking/types';
import { type FullLesson, loadLesson, offered } from './lessons';
import { practiceStart } from './practice';
import { servicesOf } from './services/services';
import { wakeSound } from './services/sound';
import { fetchSite, type Site } from './site';

export interface RunningVisit {
  actor: Actor<typeof visitMachine>;
  lesson: FullLesson;
}

export interface StoredVisit {
  record: VisitRecord;
  lesson: FullLesson;
}

export type Place =
  | { at: 'opening' }
  | { at: 'idle' }
  | { at: 'start'; lessons: FullLesson[] }
  | { at: 'visit'; visit: RunningVisit }
  | { at: 'visits'; visits: VisitHeader[] }
  | { at: 'review'; stored: StoredVisit };

export interface KioskState {
  place: Place;
  site: Site | null;
  /** For staff: what does not work as it should. */
  notices: string[];
}

/**
 * Wires the house together and owns the one visit that runs. Lives outside React, which may call things
 * twice: there must be one owner of the microphone.
 */
export class Kiosk {
  #state: KioskState = { place: { at: 'opening' }, site: null, notices: [] };
  readonly #listeners = new Set<() => void>();
  readonly #lessons = new Map<string, FullLesson>();
  #store: VisitStore | null = null;
  readonly #voice: Speaking = browserVoice();
  readonly #embedded: Hearing = new EmbeddedHearing({
    modulePhrases: (module, language) => {
      const lesson = this.#lessons.get(`${module} ${language}`);
      return lesson ? phrasesFor(lesson.judging, Object.keys(lesson.judging.concepts)) : [];
    },
  });

  readonly subscribe = (listener: () => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly state = () => this.#state;

  /** Reads the settings, opens the store, and offers to go on with a visit that was interrupted. */
  async open(): Promise<void> {
    const { site, problems } = await fetchSite();
    this.#set({ site, notices: problems });
    this.#store = await openStore({
      onTrouble: (trouble) => this.#notice(trouble.message),
      onSetAside: (found) =>
        this.#notice(`A stored entry could not be read and was set aside: ${found.where}, ${found.why}`),
    });
    const [interrupted] =
      this.#store.mode === 'disk' ? await this.#quietly(this.#store.openVisits(), []) : [];
    if (interrupted && (await this.#resume(interrupted.visit))) return;
    this.idle();
  }

  readonly idle = () => this.#go({ at: 'idle' });

  readonly openStart = () =>
    this.#try(async () => {
      const offers = offered();
      const lessons = await Promise.all(offers.map(({ module, language }) => this.#lesson(module, language)));
      this.#go({ at: 'start', lessons });
    });

  readonly practice = () => {
    wakeSound();
    return this.#try(async () => {
      const lesson = await this.#lesson('inhaler-spacer', 'en');
      const { id, version, steps } = lesson.module;
      this.#run(practiceStart(this.#site, { id, version, steps: steps.map((step) => step.id) }), lesson, []);
    });
  };

  readonly begin = (start: VisitStart) => {
    wakeSound();
    return this.#try(async () => this.#run(start, await this.#lesson(start.module, start.language), []));
  };

  readonly openVisits = () =>
    this.#try(async () => this.#go({ at: 'visits', visits: (await this.#store?.list()) ?? [] }));

  readonly review = (visit: string) =>
    this.#try(async () => {
      const stored = await this.stored(visit);
      if (stored) this.#go({ at: 'review', stored });
    });

  /** One visit as it stands in the store. */
  async stored(visit: string): Promise<StoredVisit | null> {
    const events = (await this.#store?.events(visit)) ?? [];
    const started = events.find(({ fact }) => fact.type === 'visit-started')?.fact;
    if (started?.type !== 'visit-started') {
      this.#notice('The beginning of this visit could not be read, so it cannot be shown.');
      return null;
    }
    const lesson = await this.#lesson(started.start.module, started.start.language);
    return { record: derive(events, lesson), lesson };
  }

  /** Ends the visit on screen. What it wrote stays in the store. */
  readonly close = () => {
    const { place } = this.#state;
    if (place.at === 'visit') place.visit.actor.stop();
    this.idle();
  };

  /** Which ear and which voice a language would get here, for the start form. */
  readonly ears = async (language: string): Promise<string> => {
    const { hearing, why } = await this.#ear(language);
    const ear = hearing
      ? `Hears by ${hearing.id === 'embedded' ? 'the built-in recogniser' : 'the browser, on this device'}.`
      : `Cannot hear this language here (${why}); answers are given by touch.`;
    const speaks = (await this.#voice.available(language))
      ? ''
      : ' Cannot speak this language here; shows captions.';
    return `${ear}${speaks}`;
  };

  async #resume(visit: string): Promise<boolean> {
    const events = await this.#quietly(this.#store!.events(visit), []);
    const facts = events.map(({ fact }) => fact);
    const started = facts.find((fact) => fact.type === 'visit-started');
    if (!started) return false;
    try {
      this.#run(started.start, await this.#lesson(started.start.module, started.start.language), facts);
      return true;
    } catch (error) {
      this.#notice(`An interrupted visit cannot go on: ${(error as Error).message}`);
      return false;
    }
  }

  #run(start: VisitStart, lesson: FullLesson, past: VisitFact[]): void {
    const store = this.#store;
    const services = servicesOf({
      lesson,
      ear: (language) => this.#ear(language),
      voice: this.#voice,
      store: async (facts) => store?.append(start.visit, facts),
      callStaff: () => {},
    });
    const actor = createActor(makeVisit(services), {
      input: { start, lesson, timings: this.#site.timings, past },
    });
    // The model loads while we speak.
    void this.#embedded.prepare(start.language, new AbortController().signal);
    this.#go({ at: 'visit', visit: { actor, lesson } });
    actor.start();
  }

  async #ear(language: string): Promise<{ hearing: Hearing | null; why: string }> {
    const there = await this.#embedded.available(language);
    return there.ok
      ? { hearing: this.#embedded, why: 'built in' }
      : { hearing: null, why: there.detail ?? there.reason };
  }

  async #lesson(module: string, language: string): Promise<FullLesson> {
    const key = `${module} ${language}`;
    const lesson = this.#lessons.get(key) ?? (await loadLesson(module, language));
    this.#lessons.set(key, lesson);
    return lesson;
  }

  get #site(): Site {
    if (!this.#state.site) throw new Error('The kiosk is not open yet');
    return this.#state.site;
  }

  async #try(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      this.#notice((error as Error).message);
    }
  }

  async #quietly<T>(work: Promise<T>, otherwise: T): Promise<T> {
    return work.catch((error: unknown) => {
      this.#notice((error as Error).message);
      return otherwise;
    });
  }

  #notice(text: string): void {
    if (!this.#state.notices.includes(text)) this.#set({ notices: [...this.#state.notices, text] });
  }

  #go(place: Place): void {
    this.#set({ place });
  }

  #set(change: Partial<KioskState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}
