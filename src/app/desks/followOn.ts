import type { Voice } from '../../../machines';
import { type FollowUp, followUps, type Looked, lookAt } from '../../records/followUps';
import { fill } from '../../records/plain';
import { type RecheckEntry, recheckOf } from '../../records/recheck';
import { nextIn, nextStart } from '../../records/sitting';
import type { VisitHeader, VisitStart } from '../../records/types';
import type { FullLesson } from '../lessons';
import { wakeSound } from '../services/sound';
import type { Page, StoredVisit } from '../state';
import type { StaffRoom } from './staffRoom';

/** Days back in which visits are looked through: whoever waits longer is looked after in another way (own choice). */
export const daysBack = 14;

interface House {
  /** null: its beginning cannot be read. */
  read: (visit: string) => Promise<StoredVisit | null>;
  load: (module: string, language: string) => Promise<FullLesson>;
  run: (start: VisitStart, voice?: Voice) => Promise<void>;
  /** How the visit on the screen speaks. */
  voice: () => Voice;
  page: () => Page;
  turn: (page: Page) => void;
  review: (visit: string) => void;
  /** Asks for a secret first where the records are closed. */
  opened: (again: () => void, work: () => Promise<void>) => Promise<void>;
  room: () => Pick<StaffRoom, 'note'> | null;
  /** Tells staff what went wrong. */
  attempt: (work: () => Promise<void>) => Promise<void>;
}

/** A follow-up with the title of the lesson to come. */
export type ShownFollowUp = FollowUp & { title: string };

/** What comes after a visit: the next lesson of its sitting, and its re-check. */
export class FollowOn {
  /** What was read while the records were open, by visit, and by how much was in its log then. */
  readonly #looked = new Map<string, { next: number; looked: Looked | null }>();
  /** Visits after which the next lesson was begun from here. */
  readonly #begun = new Set<string>();

  constructor(private readonly house: House) {}

  /** Tells in the list what is to come after the visits of the last days, as soon as that is known. */
  readonly look = (visits: VisitHeader[]): Promise<void> =>
    this.house.attempt(async () => {
      const shows = () => {
        const page = this.house.page();
        return page.at === 'visits' && page.visits === visits ? page : null;
      };
      const followUps = await this.#found(visits, new Date(), () => shows() !== null);
      const page = shows();
      if (page) this.house.turn({ ...page, followUps });
    });

  /** One after the other, so that nothing else waits for it, while the list is shown. */
  async #found(
    visits: readonly VisitHeader[],
    now: Date,
    shown: () => boolean,
  ): Promise<Map<string, ShownFollowUp>> {
    const since = now.getTime() - daysBack * 86_400_000;
    const found: Looked[] = [];
    for (const { visit, next, lastAt } of visits) {
      if (!shown()) return new Map();
      if (Date.parse(lastAt) < since) continue;
      let known = this.#looked.get(visit);
      if (known?.next !== next) {
        // One that cannot be read says so when it is opened. After a while the records may be closed again.
        const stored = await this.house.read(visit).catch(() => null);
        known = { next, looked: stored && lookAt(stored.record) };
        if (stored && shown()) this.#looked.set(visit, known);
      }
      if (known.looked) found.push(known.looked);
    }
    const all = new Map<string, ShownFollowUp>();
    for (const [visit, followUp] of followUps(found, now))
      all.set(visit, { ...followUp, title: await this.#titleOf(followUp.toCome) });
    return all;
  }

  /** The records are closed: what was read of them goes. */
  forget(): void {
    this.#looked.clear();
  }

  readonly openRecheck = (visit: string, stored: StoredVisit) =>
    this.house.opened(
      () => this.house.review(visit),
      async () => this.house.turn({ at: 'recheck', visit, stored }),
    );

  /** Asks once more what was missed in a visit. */
  readonly recheck = ({ record, lesson }: StoredVisit, entry: RecheckEntry) => {
    wakeSound();
    return this.house.attempt(async () => this.house.run(recheckOf(record, lesson.module, entry)));
  };

  /** Goes on from the last words of a visit to the next lesson, and speaks as that one ended. */
  readonly next = (visit: string) => {
    wakeSound();
    const { rate, volume } = this.house.voice();
    return this.house.attempt(() => this.#next(visit, { rate, volume }));
  };

  /** As staff do from the list of visits. */
  readonly nextFromList = (visit: string): Promise<void> =>
    this.house.opened(
      () => this.nextFromList(visit),
      async () => {
        wakeSound();
        await this.house.room()?.note('went-on', visit);
        await this.#next(visit);
      },
    );

  /** Once. `voice`: it follows at once. */
  async #next(visit: string, voice?: Voice): Promise<void> {
    if (this.#begun.has(visit)) return;
    this.#begun.add(visit);
    try {
      const stored = await this.house.read(visit);
      const next = nextIn(stored?.record.start ?? null);
      if (!stored?.record.start || !next) throw new Error('No lesson is to come after this visit.');
      const { module } = await this.house.load(next.module, stored.record.start.language);
      const about = { visit: crypto.randomUUID(), follows: voice !== undefined };
      const start = nextStart(stored.record, module, about);
      if (start) await this.house.run(start, voice);
    } catch (error) {
      this.#begun.delete(visit);
      throw error;
    }
  }

  /** What the lesson after this one is about, in the words of a sentence; null: none is to come. */
  async device(start: VisitStart): Promise<string | null> {
    const next = nextIn(start);
    if (!next) return null;
    const { teaching } = await this.house.load(next.module, start.language);
    return fill(teaching.device, { ...start, particulars: next.particulars });
  }

  async #titleOf(toCome: FollowUp['toCome']): Promise<string> {
    if (!toCome) return '';
    return this.house.load(toCome.module, toCome.language).then(
      ({ teaching }) => teaching.title,
      // A module that is not taught any more still has its name.
      () => toCome.module,
    );
  }
}
