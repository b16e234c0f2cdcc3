import type { Access, NewPerson, Person, Session } from '../records/seal/access';
import type { Deed, Entry } from '../records/seal/trail';
import type { VisitStore } from '../records/types';

/** What staff may keep open, in ms. (45 CFR 164.312 (a)(2)(iii) asks for a time without naming it: common practice.) */
export const limits = { idle: 120_000, most: 900_000 };

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
}

/** The records as staff open them: closed by hand, when nobody touches anything, and after a while in any case. */
export class StaffRoom implements Room {
  #access: Access | null = null;
  #idle: ReturnType<typeof setTimeout> | undefined;
  #most: ReturnType<typeof setTimeout> | undefined;
  #seen = 0;

  /**
   * @param onClosed after they have been closed, whoever or whatever did it
   * @param signs where touches and keys are noticed
   */
  constructor(
    private readonly store: () => VisitStore,
    private readonly onClosed: () => void,
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

  async setUp(first: NewPerson): Promise<string> {
    const code = await (await this.#ready()).setUp(first);
    this.#watch();
    return code;
  }

  async open(id: string, secret: string): Promise<void> {
    await (await this.#ready()).open(id, secret);
    this.#watch();
  }

  async openInEmergency(name: string, reason: string, code: string): Promise<void> {
    await (await this.#ready()).openInEmergency(name, reason, code);
    this.#watch();
  }

  async close(why: string): Promise<void> {
    if (!this.session) return;
    clearTimeout(this.#idle);
    clearTimeout(this.#most);
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

  async #ready(): Promise<Access> {
    this.#access ??= await this.store().access();
    if (!this.#access)
      throw new Error(
        'Records cannot be opened here: another window has them, or this device keeps nothing. Use the other window.',
      );
    return this.#access;
  }

  #watch(): void {
    this.#seen = Date.now();
    for (const sign of ['pointerdown', 'keydown']) this.signs.addEventListener(sign, this.#active);
    this.#most = setTimeout(() => void this.#closed('open for as long as may be'), limits.most);
    this.#wait();
  }

  #wait(): void {
    clearTimeout(this.#idle);
    this.#idle = setTimeout(() => void this.#closed('nobody touched anything'), limits.idle);
  }

  readonly #active = () => {
    // A device that slept woke with its timers late.
    if (Date.now() - this.#seen > limits.idle) void this.#closed('nobody touched anything');
    else {
      this.#seen = Date.now();
      this.#wait();
    }
  };

  /** The key has gone even if the entry could not be stored. */
  async #closed(why: string): Promise<void> {
    await this.close(why).catch(() => {});
  }
}
