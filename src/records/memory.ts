import { headerAfter, newestFirst, rowAfter, rowToKeep, toClipRow, toEvents } from './rows';
import type {
  Clip,
  ClipInfo,
  OutboxRow,
  Persistence,
  SetAside,
  VisitEvent,
  VisitFact,
  VisitHeader,
  VisitStore,
} from './types';
import type { SampleShelf } from './ward/sample';
import type { DigestShelf } from './ward/shelf';

const byKey = (a: ClipInfo, b: ClipInfo) => (a.key < b.key ? -1 : 1);

/** Keeps visits until the page closes. For a device that saves nothing: the visit still goes on. */
export class MemoryStore implements VisitStore {
  readonly mode = 'memory';
  readonly #visits = new Map<string, { header: VisitHeader; events: VisitEvent[] }>();

  readonly #outbox = new Map<string, OutboxRow>();
  readonly #clips = new Map<string, Clip>();

  constructor(private readonly now: () => Date = () => new Date()) {}

  /** Takes over events that were read elsewhere, to go on from them. */
  adopt(events: readonly VisitEvent[]): void {
    const visit = events[0]?.visit;
    const header = headerAfter(null, events);
    if (!visit || !header) return;
    this.#visits.set(visit, { header, events: structuredClone([...events]) });
    this.#toOutbox(
      visit,
      events.map(({ fact }) => fact),
    );
  }

  has(visit: string): boolean {
    return this.#visits.has(visit);
  }

  async append(visit: string, facts: VisitFact[]): Promise<VisitEvent[]> {
    const before = this.#visits.get(visit);
    const added = toEvents(visit, before?.header.next ?? 0, this.now().toISOString(), facts);
    const header = headerAfter(before?.header ?? null, added);
    if (header) this.#visits.set(visit, { header, events: [...(before?.events ?? []), ...added] });
    this.#toOutbox(visit, facts);
    return structuredClone(added);
  }

  #toOutbox(visit: string, facts: readonly VisitFact[]): void {
    const row = rowAfter(this.#outbox.get(visit) ?? null, visit, facts);
    if (row) this.#outbox.set(visit, row);
  }

  async events(visit: string): Promise<VisitEvent[]> {
    return structuredClone(this.#visits.get(visit)?.events ?? []);
  }

  async list(): Promise<VisitHeader[]> {
    return newestFirst([...this.#visits.values()].map(({ header }) => ({ ...header })));
  }

  async openVisits(): Promise<VisitHeader[]> {
    return (await this.list()).filter((header) => header.finished === null);
  }

  async setAside(): Promise<SetAside[]> {
    return [];
  }

  async erase(visit: string): Promise<void> {
    this.#visits.delete(visit);
    this.#outbox.delete(visit);
  }

  async outbox(): Promise<OutboxRow[]> {
    return structuredClone([...this.#outbox.values()]);
  }

  async saveOutbox(row: OutboxRow): Promise<void> {
    if (!this.has(row.visit)) return;
    const there = this.#outbox.get(row.visit) ?? null;
    this.#outbox.set(row.visit, structuredClone(rowToKeep(there, row)));
  }

  async clips(): Promise<ClipInfo[]> {
    return [...this.#clips.values()].map(({ wav: _, ...info }) => info).sort(byKey);
  }

  async clip(key: string): Promise<Clip | null> {
    return structuredClone(this.#clips.get(key) ?? null);
  }

  async saveClip(clip: Clip, instead?: string): Promise<void> {
    const row = structuredClone(toClipRow(clip));
    if (instead !== undefined) this.#clips.delete(instead);
    this.#clips.set(row.key, row);
  }

  async eraseClip(key: string): Promise<void> {
    this.#clips.delete(key);
  }

  /** All that is here is read at once: nothing is kept besides. */
  async digests(): Promise<DigestShelf> {
    return { pieces: async () => ({ pieces: [], bad: [] }), put: async () => {} };
  }

  async sample(): Promise<SampleShelf> {
    const { memorySample } = await import('./ward/sample');
    return memorySample({
      headers: () => [...this.#visits.values()].map(({ header }) => header),
      add: (log) => this.adopt(log),
      erase: (visit) => this.erase(visit),
    });
  }

  readonly sealed = false;

  async access(): Promise<null> {
    return null;
  }

  async takeUp(): Promise<void> {}

  putDown(): void {}

  async persist(): Promise<Persistence> {
    return {
      kept: false,
      sentence:
        'Visits are only held in memory and are gone when this page closes. Print or copy the note first.',
    };
  }

  close(): void {}
}
