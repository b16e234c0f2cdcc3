import type { VisitEvent, VisitFact } from './schema';
import type { Access } from './seal/access';
import type { SampleShelf } from './ward/sample';
import type { DigestShelf } from './ward/shelf';

export type { By, VisitEvent, VisitFact, VisitStart } from './schema';

/** What a list of visits needs; names stay in the log. */
export interface VisitHeader {
  visit: string;
  practice: boolean;
  startedAt: string;
  lastAt: string;
  /** null: not finished, a candidate for "shall we go on?". */
  finished: 'completed' | 'stopped' | null;
  /** Number the next event gets. */
  next: number;
  /**
   * 'changed': something was added after the last signature. Left out: not known before somebody reads the log, as it
   * was sealed when signatures could not be told from outside.
   */
  signed?: 'no' | 'yes' | 'changed' | undefined;
}

/** Something on disk that could not be read as what it should be. Kept, never deleted by itself. */
export interface SetAside {
  store: 'events' | 'visits' | 'clips' | 'outbox' | 'set-aside';
  /** Empty when the key does not tell. */
  visit: string;
  /** For people: "event 5". */
  where: string;
  why: string;
  /** As it was found. */
  found: unknown;
  at: string;
}

export interface Persistence {
  /** false: the browser may clear the visits when the disk runs low. */
  kept: boolean;
  /** For staff. */
  sentence: string;
}

/**
 * How far the filing of a visit in the hospital's records is. It names nobody: whom it is about stands in the log.
 * A row is there from the moment that the log holds a record number, written in one step with it; it waits once more
 * whenever something is added to the log after the end.
 */
export interface OutboxRow {
  visit: string;
  /** 'held': nothing is tried before somebody of the staff has done something. */
  state: 'waiting' | 'held' | 'filed';
  /** In vain, since somebody last did something. */
  tries: number;
  /** Not to be tried before; null: at once. */
  notBefore: string | null;
  /** For staff: what went wrong last and what to do; empty: nothing. */
  problem: string;
  /** When all of it was filed last; null: not yet. */
  filedAt: string | null;
  /** Held because somebody has to say whether the patient that was found is the right one. */
  asks?: 'patient' | undefined;
  /** How often facts have asked for it to be filed, the first time aside. */
  changes: number;
  /** It may have been filed, and sending it again might file it twice: told before such a try, settled after. */
  doubtful: boolean;
}

/** Every failure is a StoreError. */
export interface OutboxStore {
  /** Unreadable rows are set aside and begin anew, in doubt whether they were filed. */
  outbox(): Promise<OutboxRow[]>;
  /**
   * In place of the one of the same visit. A visit that was erased gets none; where something was added to the log
   * since the row was read, 'filed' becomes 'waiting'.
   */
  saveOutbox(row: OutboxRow): Promise<void>;
}

/** A sentence as somebody of the staff recorded it, without its sound. */
export interface ClipInfo {
  /** Names language and text: `clipKey`. */
  key: string;
  language: string;
  /** Word for word what is said in it. */
  text: string;
  /** Where the sentence stood, to find it again when its text was changed since: `SayableSentence.place`. */
  place: string;
  recordedAt: string;
  seconds: number;
}

export interface Clip extends ClipInfo {
  /** A whole WAV file. */
  wav: Uint8Array<ArrayBuffer>;
}

/** Sentences recorded by staff. Every failure is a StoreError. */
export interface ClipStore {
  /** Sorted by key. Leaves out what is unreadable and sets it aside. */
  clips(): Promise<ClipInfo[]>;
  clip(key: string): Promise<Clip | null>;
  /** In place of the one with the same key; `instead` goes in the same step. */
  saveClip(clip: Clip, instead?: string): Promise<void>;
  eraseClip(key: string): Promise<void>;
}

/** One store behind one interface, on disk or in memory. Every failure is a StoreError. */
export interface VisitStore extends ClipStore, OutboxStore {
  /** 'read-only': another window writes. 'memory': gone when the page closes; staff are told. */
  readonly mode: 'disk' | 'read-only' | 'memory';
  /** All facts or none, numbered without gaps. The first fact of a visit is `visit-started`. */
  append(visit: string, facts: VisitFact[]): Promise<VisitEvent[]>;
  /** In order. Leaves out what is unreadable and sets it aside. */
  events(visit: string): Promise<VisitEvent[]>;
  /** Newest first. */
  list(): Promise<VisitHeader[]>;
  /** Started and not finished, newest first. */
  openVisits(): Promise<VisitHeader[]>;
  setAside(): Promise<SetAside[]>;
  /** Removes a visit and all that was set aside of it. */
  erase(visit: string): Promise<void>;
  /** Where digests of visits lie, for the figures of the ward. A visit that is erased takes its own along. */
  digests(): Promise<DigestShelf>;
  /** Where an invented ward comes in and goes out. */
  sample(): Promise<SampleShelf>;
  /** true: what is stored can be read only while staff have opened. */
  readonly sealed: boolean;
  /** Who may open, and the trail of what was done; null where nothing can be stored. */
  access(): Promise<Access | null>;
  /** Keeps the key of a visit that is gone on with at hand. Throws 'sealed' while nobody has opened. */
  takeUp(visit: string): Promise<void>;
  /** A visit has left the screen: what memory holds of it to read it goes. */
  putDown(): void;
  persist(): Promise<Persistence>;
  close(): void;
}
