import type { By, VisitFact, VisitStore } from '../../records/types';
import type { Page, StoredVisit } from '../state';
import type { StaffRoom } from './staffRoom';

/** What staff may add to the record of a visit. */
type Added = Extract<
  VisitFact,
  { type: 'decided' | 'decision-taken-back' | 'answered' | 'show-me' | 'signed' }
>;
type Unsaid<F> = F extends unknown ? Omit<F, 'by'> : never;
/** The same before it is known who adds it. */
export type Addition = Unsaid<Added>;

/** As the trail names it. */
const deeds = {
  decided: 'decided-otherwise',
  'decision-taken-back': 'decided-otherwise',
  answered: 'answered',
  'show-me': 'seen-later',
  signed: 'signed',
} as const;

interface House {
  store: () => Pick<VisitStore, 'append'>;
  /** null: its beginning cannot be read. */
  read: (visit: string) => Promise<StoredVisit | null>;
  room: () => Pick<StaffRoom, 'note' | 'session'> | null;
  page: () => Page;
  turn: (page: Page) => void;
  /** There may be something to file. */
  wake: () => void;
}

/** Where staff add to the record of a visit that is over: decisions, answers, what they saw, their signature. */
export class ReviewDesk {
  constructor(private readonly house: House) {}

  /** Whoever has opened the sealed records; null: the records lie open, and anybody may say who they are. */
  get me(): By | null {
    const session = this.house.room()?.session;
    return session ? { name: session.name, id: session.id } : null;
  }

  /**
   * Stores all of it or nothing, and shows the review anew. Rejects with a sentence for staff.
   * @param name as it was typed; whoever has opened the records goes before it
   */
  readonly add = async (visit: string, additions: readonly Addition[], name: string): Promise<void> => {
    const { store, room, read, page, turn, wake } = this.house;
    const by = this.me ?? { name: name.trim() };
    const [first] = additions;
    if (!by.name) throw new Error('Write your name.');
    if (!first) throw new Error('Nothing was changed.');
    const before = page();
    if (first.type === 'signed' && before.at === 'review' && before.stored.record.state === 'open')
      throw new Error('This visit is not over. It can be signed when it has ended.');
    // Nothing is added without its entry in the trail.
    await room()?.note(deeds[first.type], visit);
    await store().append(
      visit,
      additions.map((addition) => ({ ...addition, by })),
    );
    wake();
    const stored = await read(visit);
    const now = page();
    if (stored && now.at === 'review' && now.visit === visit) turn({ ...now, stored });
  };
}
