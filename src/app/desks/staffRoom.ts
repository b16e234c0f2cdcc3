import type { Access, Session } from '../../records/seal/access';
import type { NewPerson, Person } from '../../records/seal/people';
import type { Deed, Entry } from '../../records/seal/trail';
import type { VisitStore } from '../../records/types';

/** What staff may keep open, in ms. (45 CFR 164.312 (a)(2)(iii) asks for a time without naming it: common practice.) */
export const limits = { idle: 120_000, most: 900_000 };

/** So long before, it is said, and any touch puts it off (WCAG 2.2, 2.2.1: at least 20 s), ms. */
export const warned = 20_000;

const soon = 'The records close in 20 seconds. Touch anything or press a key to keep them open.';
const surely = 'The records close in 20 seconds; they have been open for as long as may be.';

/** All that the screens around opening and closing may do. What goes amiss is rejected with a sentence for staff. */
export interface Room {
  setUp(first: NewPerson): Promise<string>;
  open(id: string, secret: string): Promise<void>;
  openInEmergency(name: string, reason: string, code: string): Promise<void>;
  people(): Promise<Person[]>;
  add(secret: string, person: NewPerson): Promise<void>;
  changeSecret(old: string, secret: string): Promise<void>;
  renewCode(secret: string): Promise<string>;
  exchangeKey(secret: string): Promise<string>;
  remove(id: string): Promise<void>;
  letIn(id: string): Promise<void>;
  trail(): Promise<{ entries: Entry[]; broken: string | null }>;
  note(what: Deed['what'], visit?: string, detail?: string): Promise<void>;
  /** What opens. */
  access(): Promise<Access>;
  /** The records were opened by something else: from now on they close by themselves. */
  watch(): void;
  /** Something that staff began goes on: a sign of life, as a touch is. */
  present(): void;
}

/** The records as staff open them: closed by hand, when nobody touches anything, and after a while in any case. */
export class StaffRoom implements Room {
  #access: Access | null = null;
  #idle: ReturnType<typeof setTimeout>[] = [];
  #most: ReturnType<typeof setTimeout>[] = [];
  #seen = 0;
  /** How often they have been closed, or somebody wanted it. */
  #closings = 0;

  /**
   * @param onClosed after they have been closed, whoever or whatever did it
   * @param onSoon with what to say before they close by themselves; empty when that is put off
   * @param signs where touches and keys are noticed
   */
  constructor(
    private readonly store: () => VisitStore,
    private readonly onClosed: () => void,
    private readonly onSoon: (sentence: string) => void,
    private readonly signs: Pick<EventTarget, 'addEventListener' | 'removeEventListener'> = window,
  ) {}

  /** null: nobody has opened. */
  get session(): Session | null {
    return this.#access?.session ?? null;
  }

  /** Fetches what opens, for the time when the server cannot be reached. */
  async prepare(): Promise<void> {
    this.#access = await this.store().access();
  }

  setUp(first: NewPerson): Promise<string> {
    return this.#opening((access) => access.setUp(first));
  }

  open(id: string, secret: string): Promise<void> {
    return this.#opening((access) => access.open(id, secret));
  }

  openInEmergency(name: string, reason: string, code: string): Promise<void> {
    return this.#opening((access) => access.openInEmergency(name, reason, code));
  }

  /** Whoever goes away meanwhile leaves closed records behind: from `open` on, what opens sees to that. */
  async #opening<T>(open: (access: Access) => Promise<T>): Promise<T> {
    const before = this.#closings;
    const access = await this.#ready();
    if (this.#closings !== before) throw new Error('The records were closed meanwhile. Open them again.');
    const result = await open(access);
    if (access.session) this.watch();
    return result;
  }

  async close(why: string): Promise<void> {
    this.#closings += 1;
    if (!this.session) {
      // A secret that is being tried opens nothing any more.
      await this.#access?.close(why);
      return;
    }
    for (const timer of [...this.#idle, ...this.#most]) clearTimeout(timer);
    this.onSoon('');
    for (const sign of ['pointerdown', 'keydown']) this.signs.removeEventListener(sign, this.#active);
    const closing = this.#access?.close(why);
    this.onClosed();
    await closing;
  }

  people = async () => (await this.#ready()).people();
  add = async (secret: string, person: NewPerson) => (await this.#ready()).add(secret, person);
  changeSecret = async (old: string, secret: string) => (await this.#ready()).changeSecret(old, secret);
  renewCode = async (secret: string) => (await this.#ready()).renewCode(secret);
  exchangeKey = async (secret: string) => (await this.#ready()).exchangeKey(secret);
  remove = async (id: string) => (await this.#ready()).remove(id);
  letIn = async (id: string) => (await this.#ready()).letIn(id);
  trail = async () => (await this.#ready()).trail();

  /** Without a session there is nobody to note: nothing is sealed then. */
  note = async (what: Deed['what'], visit?: string, detail?: string) => {
    if (this.store().sealed) await (await this.#ready()).note(what, visit, detail);
  };

  access = () => this.#ready();

  async #ready(): Promise<Access> {
    this.#access ??= await this.store().access();
    if (!this.#access)
      throw new Error(
        'Records cannot be opened here: another window has them, or this device keeps nothing. Use the other window.',
      );
    return this.#access;
  }

  watch(): void {
    for (const timer of [...this.#idle, ...this.#most]) clearTimeout(timer);
    this.#seen = Date.now();
    for (const sign of ['pointerdown', 'keydown']) this.signs.addEventListener(sign, this.#active);
    this.#most = [
      setTimeout(() => this.onSoon(surely), limits.most - warned),
      setTimeout(() => void this.#closed('open for as long as may be'), limits.most),
    ];
    this.#wait();
  }

  #wait(): void {
    for (const timer of this.#idle) clearTimeout(timer);
    this.#idle = [
      setTimeout(() => this.onSoon(soon), limits.idle - warned),
      setTimeout(() => void this.#closed('nobody touched anything'), limits.idle),
    ];
  }

  present(): void {
    if (this.session) this.#active();
  }

  readonly #active = () => {
    // A device that slept woke with its timers late.
    if (Date.now() - this.#seen > limits.idle) void this.#closed('nobody touched anything');
    else {
      if (Date.now() - this.#seen >= limits.idle - warned) this.onSoon('');
      this.#seen = Date.now();
      this.#wait();
    }
  };

  /** The key has gone even if the entry could not be stored. */
  async #closed(why: string): Promise<void> {
    await this.close(why).catch(() => {});
  }
}
