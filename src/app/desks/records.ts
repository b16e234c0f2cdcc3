import { StoreError } from '../../records/errors';
import type { VisitHeader, VisitStore } from '../../records/types';
import type { Site } from '../site';
import type { KioskState, Page, Sealing, StoredVisit } from '../state';
import type { FilingDesk } from './filing';
import type { FollowOn } from './followOn';
import type { StaffRoom } from './staffRoom';

/** Pages that show something of the records. */
const staffOnly = new Set<Page['at']>([
  'visits',
  'review',
  'unreadable',
  'recheck',
  'people',
  'keep',
  'on-server',
  'ward',
]);

interface House {
  store: () => VisitStore;
  site: () => Site;
  /** null: its beginning cannot be read. */
  read: (visit: string) => Promise<StoredVisit | null>;
  filing: FilingDesk;
  followOn: FollowOn;
  page: () => Page;
  turn: (page: Page) => void;
  set: (change: Pick<KioskState, 'closing' | 'persistence'>) => void;
  /** What goes amiss is told to staff. */
  attempt: (work: () => Promise<void>) => Promise<void>;
  quietly: <T>(work: Promise<T>, otherwise: T) => Promise<T>;
}

/** Where staff read the records: who may, which page of them is shown, and what stands in the trail for it. */
export class RecordsDesk {
  /** Who may read the records. */
  #room: StaffRoom | null = null;

  constructor(private readonly house: House) {}

  /** null: nobody has wanted it yet. */
  get room(): StaffRoom | null {
    return this.#room;
  }

  readonly list = (): Promise<void> =>
    this.opened(this.list, async () => {
      const visits = await this.house.store().list();
      this.house.set({ persistence: await this.house.store().persist() });
      const { length: keptAside } = await this.house.quietly(this.house.store().setAside(), []);
      this.house.turn({ at: 'visits', visits, sealing: this.sealing, followUps: null, keptAside });
      void this.#look(visits);
    });

  /** What only the logs tell comes into the list when it stands. */
  async #look(visits: VisitHeader[]): Promise<void> {
    await this.house.followOn.look(visits);
    const unsure = ({ finished, signed }: VisitHeader) => finished !== null && signed === undefined;
    if (!visits.some(unsure)) return;
    await this.house.attempt(async () => {
      const now = await this.house.store().list();
      const page = this.house.page();
      if (page.at === 'visits' && page.visits === visits) this.house.turn({ ...page, visits: now });
    });
  }

  readonly ward = (): Promise<void> =>
    this.opened(this.ward, async () => {
      await this.#room?.note('ward-read');
      const { makeWard } = await import('./ward');
      const note: Parameters<typeof makeWard>[0]['note'] = async (what, detail) =>
        this.#room?.note(what, undefined, detail);
      this.house.turn({
        at: 'ward',
        ward: await makeWard({ store: () => this.house.store(), note, site: this.house.site() }),
      });
    });

  readonly setUp = () =>
    this.house.attempt(async () => this.house.turn({ at: 'set-up', room: await this.fetchRoom() }));

  readonly people = (): Promise<void> =>
    this.opened(this.people, async () => {
      const room = await this.fetchRoom();
      this.house.turn({ at: 'people', room, me: room.session?.id ?? '' });
    });

  /** What all kiosks have filed. Only for staff who have opened: it names patients of others. */
  readonly server = (): Promise<void> =>
    this.opened(this.server, async () => {
      const room = await this.fetchRoom();
      if (!room.session) throw new Error('Set a staff secret first: what others have filed names patients.');
      await room.note('server-listed');
      this.house.turn({ at: 'on-server', room, more: await this.house.filing.filed(this.house.site()) });
    });

  readonly review = (visit: string): Promise<void> =>
    this.opened(
      () => this.review(visit),
      async () => {
        await this.#room?.note('read', visit);
        const stored = await this.house.read(visit).catch((error: unknown) => {
          if (error instanceof StoreError && error.code === 'broken-seal') return error.message;
          throw error;
        });
        if (!stored || typeof stored === 'string') {
          this.house.turn({ at: 'unreadable', visit, why: stored ?? 'Its beginning could not be read.' });
          return;
        }
        this.house.turn({ at: 'review', visit, stored });
        void this.house.filing.ask(visit);
      },
    );

  /** What of a visit left the screen, for the trail. */
  readonly did = (what: 'printed' | 'copied' | 'exported', visit: string) =>
    this.house.attempt(async () => this.#room?.note(what, visit));

  /** Shows something of the records; asks for a secret first where they are sealed and nobody has opened. */
  opened(again: () => void, work: () => Promise<void>): Promise<void> {
    return this.house.attempt(async () => {
      if (!this.house.store().sealed || this.#room?.session) {
        this.house.filing.opened();
        await work();
      } else this.house.turn({ at: 'open-records', room: await this.fetchRoom(), onOpened: again });
    });
  }

  close(why: string): void {
    this.house.followOn.forget();
    if (this.#room) void this.house.quietly(this.#room.close(why), undefined);
  }

  /** Fetched when first wanted: learners do without it. */
  async fetchRoom(): Promise<StaffRoom> {
    const { StaffRoom } = await import('./staffRoom');
    this.#room ??= new StaffRoom(
      () => this.house.store(),
      () => {
        this.house.followOn.forget();
        if (staffOnly.has(this.house.page().at)) this.house.turn({ at: 'kiosk' });
      },
      (closing) => this.house.set({ closing }),
    );
    return this.#room;
  }

  get sealing(): Sealing {
    const { sealed, mode } = this.house.store();
    if (sealed) return { state: 'sealed', by: this.#room?.session?.name ?? '' };
    return { state: mode === 'disk' ? 'open' : 'memory' };
  }
}
