import { type Actor, createActor } from 'xstate';
import {
  type kioskMachine,
  kioskViewOf,
  makeKiosk,
  normalVoice,
  type PersonEvent,
  type Voice,
} from '../../machines';
import { narrowed } from '../../phrasebanks/narrow';
import type { CommonFile } from '../../phrasebanks/schema';
import { spokenAbout } from '../../phrasebanks/spoken';
import { EmbeddedHearing } from '../hearing/embedded/engine';
import { derive } from '../records/derive';
import { interruptedVisit } from '../records/interrupted';
import { openStore } from '../records/open';
import type { VisitFact, VisitStart, VisitStore } from '../records/types';
import { forgetWords } from '../scoring';
import { browserVoice } from '../speaking';
import { clipKey } from '../speaking/clip/key';
import { playClip } from '../speaking/clip/play';
import { withClips } from '../speaking/clip/voice';
import type { Speaking } from '../speaking/types';
import { Ears } from './ears';
import { FilingDesk } from './filing';
import { FirstRunDesk } from './firstRun';
import { tellFollowers } from './follow/channel';
import { type FollowView, followView } from './follow/followView';
import { FollowOn } from './followOn';
import { KeepingDesk } from './keeping';
import { type FullLesson, LessonShelf, loadCommon, offered } from './lessons';
import type { OfflineState } from './offline/keep';
import { practiceModule, practiceStart } from './practice';
import { Recorder } from './recorder';
import { RecordsDesk } from './recordsDesk';
import { ReviewDesk } from './reviewDesk';
import { playCall } from './services/earcon';
import { servicesOf } from './services/services';
import { sound, wakeSound } from './services/sound';
import { setLight } from './shared/light';
import { fitScreen } from './shared/screen';
import { fetchSite, type Site } from './site';
import type { KioskState, Page, StoredVisit } from './state';
import type { StudioParts } from './studio';

/** Of the screens of staff, and of the note. */
const staffLanguage = 'en';

/** ms after which the first screen has surely been drawn. */
const afterStart = 4_000;

/**
 * Wires the house together and owns the one visit that runs. Lives outside React, which may call things
 * twice: there must be one owner of the microphone.
 */
export class Kiosk {
  #state: KioskState = {
    page: { at: 'opening' },
    idle: null,
    site: null,
    outbox: null,
    notices: [],
  };
  #actor: Actor<typeof kioskMachine> | null = null;
  #lesson: FullLesson | null = null;
  #visit = '';
  readonly #listeners = new Set<() => void>();
  readonly #lessons = new LessonShelf();
  #store: VisitStore | null = null;
  readonly #voice: Speaking = withClips(
    {
      find: (language, sentence) => this.#clip(language, sentence),
      unplayable: (_language, sentence, why) =>
        this.#notice(
          `The recording of “${sentence}” cannot be played (${why}), so the computer voice said it. Record it again or delete it.`,
        ),
    },
    playClip,
    browserVoice(() => sound().destination),
  );
  readonly #embedded = new EmbeddedHearing({
    modulePhrases: (module, language) => {
      const lesson = this.#lessons.loaded(module, language);
      return lesson ? spokenAbout(lesson.judging, lesson.teaching) : [];
    },
  });
  readonly #ears = new Ears(this.#embedded);
  #naming: AbortController | null = null;
  readonly #recorder = new Recorder(
    () => ['recordings', 'first-run'].includes(this.#state.page.at) && !this.#visiting,
  );

  /** For the screen on which staff record sentences. */
  readonly studioParts: StudioParts = {
    store: () => this.#openStore,
    recorder: this.#recorder,
    voice: this.#voice,
  };

  /** For the screens on which staff see to the filing of visits. */
  readonly filing = new FilingDesk({
    store: () => this.#openStore,
    read: (visit) => this.#read(visit),
    show: (visit) => this.records.review(visit),
    room: () => this.records.room,
    onChange: (outbox) => this.#set({ outbox }),
    onTrouble: (sentence) => this.#notice(sentence),
  });

  /** For the screen on which staff review a visit. */
  readonly reviewing = new ReviewDesk({
    store: () => this.#openStore,
    read: (visit) => this.#read(visit),
    room: () => this.records.room,
    page: () => this.#state.page,
    turn: (page) => this.#page(page),
    wake: () => this.filing.wake(),
  });

  /** For what comes after a visit: its re-check, and the next lesson of its sitting. */
  readonly followOn = new FollowOn({
    read: (visit) => this.#read(visit),
    load: (module, language) => this.#lessons.load(module, language),
    run: (start, voice) => this.#run(start, [], voice),
    voice: () => kioskViewOf(this.actor.getSnapshot()).visit ?? normalVoice,
    page: () => this.#state.page,
    turn: (page) => this.#page(page),
    review: (visit) => this.records.review(visit),
    opened: (again, work) => this.records.opened(again, work),
    room: () => this.records.room,
    attempt: (work) => this.#try(work),
  });

  /** For the screens on which staff see to how long and where visits are kept. */
  readonly keeping = new KeepingDesk({
    store: () => this.#openStore,
    room: () => this.records.fetchRoom(),
    idle: () => this.resting(),
    onChange: (keeping) => this.#set({ keeping }),
    onTrouble: (sentence) => this.#notice(sentence),
    turn: (page) => this.#page(page),
    opened: (again, work) => this.records.opened(again, work),
    gone: (visit) => this.#gone(visit),
  });

  /** For the set-up of a new kiosk. */
  readonly firstRun = new FirstRunDesk({
    store: () => this.#openStore,
    site: () => this.#site,
    sealing: () => this.records.sealing.state,
    room: () => this.records.fetchRoom(),
    turn: (page) => this.#page(page),
    attempt: (work) => this.#try(work),
    leave: () => this.idle(),
    onChange: (isNew) => this.#set({ isNew }),
  });

  /** For the screens on which staff read the records. */
  readonly records: RecordsDesk = new RecordsDesk({
    store: () => this.#openStore,
    site: () => this.#site,
    read: (visit) => this.#read(visit),
    filing: this.filing,
    followOn: this.followOn,
    page: () => this.#state.page,
    turn: (page) => this.#page(page),
    set: (change) => this.#set(change),
    attempt: (work) => this.#try(work),
    quietly: (work, otherwise) => this.#quietly(work, otherwise),
  });

  readonly subscribe = (listener: () => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly state = () => this.#state;

  /** Nobody is in a visit, and nobody of the staff at work. */
  readonly resting = () => this.#state.page.at === 'kiosk' && this.#actor?.getSnapshot().value === 'idle';

  readonly tell = (news: { offline: OfflineState }) => this.#set(news);

  /** Reads the settings, opens the store, and offers to go on with a visit that was interrupted. */
  async open(): Promise<void> {
    const { site, given, problems } = await fetchSite();
    this.#set({ site, settings: { given, problems }, notices: problems });
    setLight(site.light);
    if (site.screen) fitScreen(site.screen.widthMm);
    this.#ears.allowCloud(site.cloudHearing);
    this.#store = await openStore({
      onTrouble: (trouble) => this.#notice(trouble.message),
      onKeyLeft: (sentence) => this.#notice(sentence),
      onSetAside: (found) =>
        this.#notice(`A stored entry could not be read and was set aside: ${found.where}, ${found.why}`),
    });
    this.#actor = createActor(makeKiosk(this.#services()), { input: { timings: site.timings } });
    this.#actor.start();
    // A window that only reads is no kiosk to be followed.
    if (this.#store.mode !== 'read-only') tellFollowers(() => this.#followed(), this.#changes);
    await this.speakIdle(site.language);
    // A site may have named a language that is not there; the reason is among the notices.
    if (!this.#state.idle) await this.speakIdle('en');
    const interrupted = await this.#quietly(interruptedVisit(this.#store), null);
    if (interrupted) await this.goOn(interrupted);
    else await this.firstRun.offer();
    this.#page({ at: 'kiosk' });
    setTimeout(
      () =>
        void this.records.fetchRoom().then(
          (room) => room.prepare(),
          () => {},
        ),
      afterStart,
    );
    await this.filing.open(site);
    await this.keeping.open(site);
  }

  /** The machine of the kiosk and its visit. Only after `open`. */
  get actor(): Actor<typeof kioskMachine> {
    if (!this.#actor) throw new Error('The kiosk is not open yet');
    return this.#actor;
  }

  get lesson(): FullLesson {
    if (!this.#lesson) throw new Error('No visit runs');
    return this.#lesson;
  }

  /** What is written now is gone when the page closes. */
  get inMemory(): boolean {
    return this.#store?.mode === 'memory';
  }

  /** Whatever a person does on a visit's screen. */
  readonly person = (event: PersonEvent) => {
    wakeSound();
    this.actor.send({ type: 'PERSON', event });
  };

  /** Says what a thing on the screen is called, where nothing else is said and nothing listens. Resolves then. */
  readonly name = async (text: string): Promise<void> => {
    this.#hush();
    const { screen, visit } = kioskViewOf(this.actor.getSnapshot());
    if (screen !== 'visit' || !visit || visit.speaking >= 0 || visit.listening !== 'off') return;
    this.#naming = new AbortController();
    const { rate, volume } = visit;
    const { language } = this.lesson.common;
    await this.#voice.speak({ language, sentences: [text], rate, volume }, this.#naming.signal);
  };

  /** The reason of what was broken off holds on to whoever broke it off: it is not kept. */
  #hush(): void {
    this.#naming?.abort();
    this.#naming = null;
  }

  /** Any touch or key, wherever. */
  readonly present = () => this.#actor?.send({ type: 'PRESENT' });

  readonly idle = () => {
    this.actor.send({ type: 'CANCEL' });
    this.#page({ at: 'kiosk' });
    this.records.close('left');
  };

  readonly openStart = () =>
    this.#try(async () => {
      const lessons = await this.#lessons.all();
      this.actor.send({ type: 'STAFF' });
      this.#page({ at: 'start', lessons, sealing: this.records.sealing.state });
    });

  /** Sets the language of the idle screen and of the practice visit. One that cannot be had changes nothing. */
  readonly speakIdle = (language: string) =>
    this.#try(async () => {
      const languages = offered()
        .filter(({ module }) => module === practiceModule)
        .map((offer) => offer.language);
      this.#set({ idle: { common: await loadCommon(language), languages } });
      // Ear and voice load while the kiosk waits, so that the first sentence comes at once.
      void this.#voice.available(language);
      void this.#embedded.prepare(language, new AbortController().signal);
    });

  readonly practice = () => {
    wakeSound();
    return this.#try(async () => {
      await this.#run(
        practiceStart(this.#site, await this.#lessons.load(practiceModule, this.#idle.language)),
        [],
      );
    });
  };

  readonly begin = (start: VisitStart) => {
    wakeSound();
    return this.#try(() => this.#run(start, []));
  };

  readonly openRecordings = () => {
    wakeSound();
    return this.#try(async () => this.#page({ at: 'recordings', lessons: await this.#lessons.all() }));
  };

  /** As staff do from the list of visits. */
  readonly goOnFromList = (visit: string) =>
    this.records.opened(
      () => this.goOnFromList(visit),
      async () => {
        await this.records.room?.note('went-on', visit);
        await this.goOn(visit);
      },
    );

  /** Offers to go on with a visit that is not finished. */
  readonly goOn = (visit: string) =>
    this.#try(async () => {
      await this.#store?.takeUp(visit);
      const events = (await this.#store?.events(visit)) ?? [];
      const facts = events.map(({ fact }) => fact);
      const started = facts.find((fact) => fact.type === 'visit-started');
      if (!started)
        throw new Error('The beginning of an interrupted visit could not be read, so it cannot go on.');
      await this.#run(started.start, facts);
    });

  /** A call for help on the covered screen of a parked visit, which goes on for it. The ward is called at once. */
  readonly helpWhenParked = async (): Promise<void> => {
    wakeSound();
    await this.goOn(this.#visit);
    if (this.actor.getSnapshot().matches('visiting')) this.person({ type: 'HELP' });
    else playCall();
  };

  /** One visit as it stands in the store. */
  async stored(visit: string): Promise<StoredVisit | null> {
    const stored = await this.#read(visit);
    if (!stored) this.#notice('The beginning of this visit could not be read, so it cannot be shown.');
    return stored;
  }

  /** Takes the visit off the screen. What it wrote stays in the store. */
  readonly close = () => {
    this.actor.send({ type: 'WIPE' });
    this.#store?.putDown();
    setLight(this.#site.light);
    this.#lesson = null;
    forgetWords();
    this.#page({ at: 'kiosk' });
    void this.speakIdle(this.#site.language);
  };

  /** A visit was erased. If it was on the screen, ended or parked, it leaves it. */
  #gone(visit: string): Promise<void> {
    this.filing.wake();
    if (visit === this.#visit) {
      for (const type of ['WIPE', 'STAFF', 'CANCEL'] as const) this.actor.send({ type });
      this.#store?.putDown();
      forgetWords();
    }
    return this.records.list();
  }

  /** Which ear and which voice a language would get here, for the start form. */
  readonly ears = async (language: string): Promise<string> => {
    const ear = await this.#ears.tell(language);
    return (await this.#voice.available(language))
      ? ear
      : `${ear} Cannot speak this language here; shows captions.`;
  };

  /** The language pack of the browser, for the start form. */
  readonly pack = {
    offered: (language: string) => this.#ears.packOffered(language),
    install: (language: string) => this.#ears.installPack(language),
  };

  async #run(start: VisitStart, past: VisitFact[], voice?: Voice): Promise<void> {
    await this.#recorder.stop();
    // Whoever learns gets the screen now.
    this.records.close('a visit began');
    const whole = await this.#lessons.load(start.module, start.language);
    const lesson = { ...whole, module: narrowed(whole.module, start.recheck) };
    const next = await this.#quietly(this.followOn.device(start), null);
    this.#lesson = lesson;
    this.#visit = start.visit;
    this.#ears.begin(past);
    void this.#embedded.prepare(start.language, new AbortController().signal);
    const askCloud = await this.#ears.asksCloud(start.language);
    // One that has ended may still be on the screen.
    if (this.#visiting) this.actor.send({ type: 'WIPE' });
    if (this.actor.getSnapshot().value === 'idle') this.actor.send({ type: 'STAFF' });
    const { timings } = this.#site;
    const more = { ...(next ? { next } : {}), ...(voice ? { voice } : {}) };
    this.actor.send({ type: 'START', visit: { start, lesson, timings, past, askCloud, ...more } });
    this.#page({ at: 'kiosk' });
  }

  async #read(visit: string): Promise<StoredVisit | null> {
    const events = (await this.#store?.events(visit)) ?? [];
    const started = events.find(({ fact }) => fact.type === 'visit-started')?.fact;
    if (started?.type !== 'visit-started') return null;
    const { module, language } = started.start;
    const lesson = await this.#lessons.load(module, language);
    const record = derive(events, lesson);
    if (language === staffLanguage) return { record, lesson };
    // A module may be there in this language alone.
    const own = await this.#lessons.load(module, staffLanguage).catch(() => null);
    return { record, lesson, ...(own ? { chart: { record: derive(events, own), lesson: own } } : {}) };
  }

  #services() {
    return servicesOf({
      lesson: () => this.lesson,
      // A visit and a recording never have the microphone at the same time.
      ear: async (language) => {
        await this.#recorder.stop();
        return this.#ears.choose(language);
      },
      earFailed: (hearing) => this.#ears.failed(hearing),
      voice: this.#voice,
      hush: () => this.#hush(),
      store: async (facts) => {
        await this.#store?.append(this.#visit, facts);
        this.#ears.take(facts);
        if (facts.some(({ type }) => type === 'finished')) this.filing.wake();
      },
      callStaff: playCall,
    });
  }

  /** What following windows show. */
  #followed(): FollowView | null {
    const common = this.#lesson?.common ?? this.#state.idle?.common;
    return common ? followView(kioskViewOf(this.actor.getSnapshot()), common) : null;
  }

  readonly #changes = (listener: () => void) => {
    const { unsubscribe } = this.actor.subscribe(listener);
    return unsubscribe;
  };

  /** The staff's recording of a sentence. A store that cannot be read leaves the voice, and is told. */
  async #clip(language: string, sentence: string): Promise<Blob | null> {
    const clip = await this.#quietly(
      clipKey(language, sentence).then((key) => this.#openStore.clip(key)),
      null,
    );
    return clip && new Blob([clip.wav], { type: 'audio/wav' });
  }

  get #idle(): CommonFile {
    if (!this.#state.idle) throw new Error('The kiosk is not open yet');
    return this.#state.idle.common;
  }

  get #openStore(): VisitStore {
    if (!this.#store) throw new Error('The kiosk is not open yet');
    return this.#store;
  }

  get #visiting(): boolean {
    const state = this.#actor?.getSnapshot().value;
    return typeof state === 'object';
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

  #page(page: Page): void {
    this.#set({ page });
  }

  #set(change: Partial<KioskState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}
