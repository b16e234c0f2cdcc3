import { kioskViewOf, type PersonEvent } from '../../machines';
import type { CommonFile } from '../../phrasebanks/schema';
import { spokenAbout } from '../../phrasebanks/spoken';
import { microphoneListed, onMicrophones } from '../hearing/audio/microphone';
import { EmbeddedHearing } from '../hearing/embedded/engine';
import { interruptedVisit } from '../records/interrupted';
import { openStore } from '../records/open';
import type { VisitStart, VisitStore } from '../records/types';
import type { Speaking } from '../speaking/types';
import { Board } from './board';
import { FilingDesk } from './desks/filing';
import { FirstRunDesk } from './desks/firstRun';
import { FollowOn } from './desks/followOn';
import { KeepingDesk } from './desks/keeping';
import { RecordsDesk } from './desks/records';
import { ReviewDesk } from './desks/review';
import type { StudioParts } from './desks/studio';
import { Ears } from './ears';
import { tellFollowers } from './follow/channel';
import { type FollowView, followView } from './follow/followView';
import { type FullLesson, LessonShelf, loadCommon, offered } from './lessons';
import type { OfflineState } from './offline/keep';
import { practiceModule, practiceStart } from './practice';
import { readVisit } from './readVisit';
import { Recorder } from './recorder';
import { RunningVisit } from './runningVisit';
import { playCall } from './services/earcon';
import { loadAgain } from './services/loadAgain';
import { wakeSound } from './services/sound';
import { setLight } from './shared/light';
import { fitScreen } from './shared/screen';
import { fetchSite, type Site } from './site';
import type { StoredVisit } from './state';
import { kioskVoice } from './voice';

/** ms after which the first screen has surely been drawn. */
const afterStart = 4_000;

/** Wires the house together. Lives outside React, which may call things twice. */
export class Kiosk {
  readonly #board = new Board();
  readonly #lessons = new LessonShelf();
  #store: VisitStore | null = null;
  readonly #voice: Speaking = kioskVoice(() => this.#openStore, this.#board);
  readonly #embedded = new EmbeddedHearing({
    modulePhrases: (module, language) => {
      const lesson = this.#lessons.loaded(module, language);
      return lesson ? spokenAbout(lesson.judging, lesson.teaching) : [];
    },
  });
  readonly #ears = new Ears(this.#embedded);
  readonly #recorder = new Recorder(
    () => ['recordings', 'first-run'].includes(this.#page) && !this.#visit.running,
  );

  readonly #visit = new RunningVisit({
    store: () => this.#openStore,
    site: () => this.#site,
    lessons: this.#lessons,
    ears: this.#ears,
    voice: this.#voice,
    prepare: (language) => this.#prepare(language),
    freeMicrophone: () => this.#recorder.stop(),
    clear: () => this.records.close('a visit began'),
    next: (start) => this.#board.quietly(this.followOn.device(start), null),
    onBegun: () => this.#board.turn({ at: 'kiosk' }),
    onFinished: () => this.filing.wake(),
    onLost: this.#board.notice,
  });

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
    onChange: (outbox) => this.#board.set({ outbox }),
    onTrouble: this.#board.notice,
  });

  /** For the screen on which staff review a visit. */
  readonly reviewing = new ReviewDesk({
    store: () => this.#openStore,
    read: (visit) => this.#read(visit),
    room: () => this.records.room,
    page: () => this.#board.state().page,
    turn: this.#board.turn,
    wake: () => this.filing.wake(),
  });

  /** For what comes after a visit: its re-check, and the next lesson of its sitting. */
  readonly followOn = new FollowOn({
    read: (visit) => this.#read(visit),
    load: (module, language) => this.#lessons.load(module, language),
    run: (start, voice) => this.#visit.begin(() => start, voice),
    voice: () => this.#visit.manner,
    page: () => this.#board.state().page,
    turn: this.#board.turn,
    review: (visit) => this.records.review(visit),
    opened: (again, work) => this.records.opened(again, work),
    room: () => this.records.room,
    attempt: this.#board.attempt,
  });

  /** For the screens on which staff see to how long and where visits are kept. */
  readonly keeping = new KeepingDesk({
    store: () => this.#openStore,
    room: () => this.records.fetchRoom(),
    idle: () => this.resting(),
    onChange: (keeping) => this.#board.set({ keeping }),
    onTrouble: this.#board.notice,
    turn: this.#board.turn,
    opened: (again, work) => this.records.opened(again, work),
    gone: (visit) => this.#gone(visit),
  });

  /** For the set-up of a new kiosk. */
  readonly firstRun = new FirstRunDesk({
    store: () => this.#openStore,
    site: () => this.#site,
    sealing: () => this.records.sealing.state,
    room: () => this.records.fetchRoom(),
    turn: this.#board.turn,
    attempt: this.#board.attempt,
    leave: () => this.idle(),
    onChange: (isNew) => this.#board.set({ isNew }),
  });

  /** For the screens on which staff read the records. */
  readonly records: RecordsDesk = new RecordsDesk({
    store: () => this.#openStore,
    site: () => this.#site,
    read: (visit) => this.#read(visit),
    filing: this.filing,
    followOn: this.followOn,
    page: () => this.#board.state().page,
    turn: this.#board.turn,
    set: this.#board.set,
    attempt: this.#board.attempt,
    quietly: this.#board.quietly,
  });

  readonly subscribe = this.#board.subscribe;
  readonly state = this.#board.state;

  /** Nobody is in a visit, and nobody of the staff at work. */
  readonly resting = () => this.#page === 'kiosk' && this.#visit.idle;

  readonly tell = (news: { offline: OfflineState }) => this.#board.set(news);

  /** Reads the settings, opens the store, and offers to go on with a visit that was interrupted. */
  async open(): Promise<void> {
    const { site, given, problems } = await fetchSite();
    this.#board.set({ site, settings: { given, problems }, notices: problems });
    setLight(site.light);
    if (site.screen) fitScreen(site.screen.widthMm);
    this.#ears.allowCloud(site.cloudHearing);
    let lost = false;
    this.#store = await openStore({
      onTrouble: (trouble) => this.#board.notice(trouble.message),
      onFree: () => loadAgain(this.resting),
      onKeyLeft: this.#board.notice,
      onLoss: (sentence) => {
        lost = true;
        this.#board.notice(sentence);
      },
      onNoSecondCopy: this.#board.notice,
      onPuttingBack: (done, visits) => this.#board.turn({ at: 'opening', puttingBack: { visits, done } }),
      onSetAside: (found) =>
        this.#board.notice(
          `A stored entry could not be read and was set aside: ${found.where}, ${found.why}`,
        ),
    });
    this.#visit.open(site.timings);
    // A window that only reads is no kiosk to be followed.
    if (this.#store.mode !== 'read-only') tellFollowers(() => this.#followed(), this.#changes);
    await this.speakIdle(site.language);
    // A site may have named a language that is not there; the reason is among the notices.
    if (!this.#board.state().idle) await this.speakIdle('en');
    onMicrophones(() => {
      if (!this.#visit.running) this.#prepare(this.#idle.language);
    });
    const interrupted = await this.#board.quietly(interruptedVisit(this.#store), null);
    if (interrupted) await this.goOn(interrupted);
    // It is not a new one, even if it looks like one now.
    else if (!lost) await this.firstRun.offer();
    this.#board.turn({ at: 'kiosk' });
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
  get actor() {
    return this.#visit.actor;
  }

  get lesson(): FullLesson {
    return this.#visit.lessonHere;
  }

  /** What is written now is gone when the page closes. */
  get inMemory(): boolean {
    return this.#store?.mode === 'memory';
  }

  /** Whatever a person does on a visit's screen. */
  readonly person = (event: PersonEvent) => {
    wakeSound();
    this.#visit.person(event);
  };

  /** Says what a thing on the screen is called. */
  readonly name = this.#visit.name;

  /** Any touch or key, wherever. */
  readonly present = () => this.#visit.send({ type: 'PRESENT' });

  readonly idle = () => {
    this.#visit.send({ type: 'CANCEL' });
    this.#board.turn({ at: 'kiosk' });
    this.records.close('left');
  };

  readonly openStart = () =>
    this.#board.attempt(async () => {
      const lessons = await this.#lessons.all();
      this.#visit.send({ type: 'STAFF' });
      this.#board.turn({ at: 'start', lessons, sealing: this.records.sealing.state });
    });

  /** Sets the language of the idle screen and of the practice visit. One that cannot be had changes nothing. */
  readonly speakIdle = (language: string) =>
    this.#board.attempt(async () => {
      const languages = offered()
        .filter(({ module }) => module === practiceModule)
        .map((offer) => offer.language);
      this.#board.set({ idle: { common: await loadCommon(language), languages } });
      // Ear and voice load while the kiosk waits, so that the first sentence comes at once.
      void this.#voice.available(language);
      this.#prepare(language);
    });

  readonly practice = () =>
    this.#begin(async () =>
      practiceStart(this.#site, await this.#lessons.load(practiceModule, this.#idle.language)),
    );

  readonly begin = (start: VisitStart) => this.#begin(() => start);

  #begin(makeStart: () => VisitStart | Promise<VisitStart>): Promise<void> {
    wakeSound();
    return this.#board.attempt(() => this.#visit.begin(makeStart));
  }

  readonly openRecordings = () => {
    wakeSound();
    return this.#board.attempt(async () =>
      this.#board.turn({ at: 'recordings', lessons: await this.#lessons.all() }),
    );
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
  readonly goOn = (visit: string) => this.#board.attempt(() => this.#visit.goOn(visit));

  /** A call for help on the covered screen of a parked visit, which goes on for it. The ward is called at once. */
  readonly helpWhenParked = async (): Promise<void> => {
    wakeSound();
    await this.#board.attempt(this.#visit.goOnWithLast);
    if (this.#visit.running) this.person({ type: 'HELP' });
    else playCall();
  };

  /** One visit as it stands in the store. null: it cannot be read, which staff are told. */
  readonly stored = (visit: string): Promise<StoredVisit | null> =>
    this.#board.quietly(this.#toShow(visit), null);

  async #toShow(visit: string): Promise<StoredVisit> {
    await this.#visit.settled(visit);
    const stored = await this.#read(visit);
    if (!stored) throw new Error('The beginning of this visit could not be read, so it cannot be shown.');
    return stored;
  }

  /** Takes the visit off the screen. What it wrote stays in the store. */
  readonly close = () => {
    this.#visit.close();
    setLight(this.#site.light);
    this.#board.turn({ at: 'kiosk' });
    void this.speakIdle(this.#site.language);
  };

  #gone(visit: string): Promise<void> {
    this.filing.wake();
    if (this.#visit.erased(visit)) setLight(this.#site.light);
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

  #read(visit: string): Promise<StoredVisit | null> {
    return readVisit(this.#openStore, this.#lessons, visit);
  }

  #prepare(language: string): void {
    void microphoneListed().then((there) => {
      if (there) void this.#embedded.prepare(language, new AbortController().signal);
    });
  }

  /** What following windows show. */
  #followed(): FollowView | null {
    const common = this.#visit.lesson?.common ?? this.#board.state().idle?.common;
    return common ? followView(kioskViewOf(this.actor.getSnapshot()), common) : null;
  }

  readonly #changes = (listener: () => void) => {
    const { unsubscribe } = this.actor.subscribe(listener);
    return unsubscribe;
  };

  get #page() {
    return this.#board.state().page.at;
  }

  get #idle(): CommonFile {
    const { idle } = this.#board.state();
    if (!idle) throw new Error('The kiosk is not open yet');
    return idle.common;
  }

  get #openStore(): VisitStore {
    if (!this.#store) throw new Error('The kiosk is not open yet');
    return this.#store;
  }

  get #site(): Site {
    const { site } = this.#board.state();
    if (!site) throw new Error('The kiosk is not open yet');
    return site;
  }
}
