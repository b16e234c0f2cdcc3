import type { Opener } from '../../records/backup/archive';
import type { Restored } from '../../records/backup/plan';
import type { Checked } from '../../records/backup/read';
import type { Access } from '../../records/seal/access';
import type { VisitStore } from '../../records/types';
import type { Retention, RetentionView } from '../retention';
import type { Site } from '../site';
import type { Page } from '../state';
import type { Room } from './staffRoom';

export interface KeepingParts {
  store: () => VisitStore;
  room: () => Promise<Pick<Room, 'note' | 'access' | 'watch' | 'present'>>;
  idle: () => boolean;
  turn: (page: Page) => void;
  /** Asks for a secret first where the records are closed. */
  opened: (again: () => void, work: () => Promise<void>) => Promise<void>;
  /** A visit is there no more. */
  gone: (visit: string) => Promise<void>;
  onChange: (view: RetentionView) => void;
  /** With a sentence for staff. */
  onTrouble: (sentence: string) => void;
}

/** A file that was read through, before anything of it is opened. */
export interface FileSeen {
  checked: Checked;
  /** Saved with the key that this kiosk has? null: it has none yet. */
  sameWard: boolean | null;
  /** Ids that are in it. */
  ids: string[];
  /** Is the code of the envelope in it? */
  code: boolean;
}

/** All that the page of backups may do. What goes amiss is rejected with a sentence for staff. */
export interface Backups {
  save(secret: string, onProgress: (share: number) => void): Promise<{ file: Blob; visits: number }>;
  look(file: Blob, onProgress: (share: number) => void): Promise<FileSeen>;
  restore(seen: FileSeen, opener: Opener, onProgress: (share: number) => void): Promise<Restored>;
}

/** How long visits are kept here, and how all of them are kept elsewhere as well. */
export class KeepingDesk implements Backups {
  #retention: Retention | null = null;

  constructor(private readonly parts: KeepingParts) {}

  /** Keeps visits, and where a site says so no longer than it says. Never rejects. */
  async open({ keepDays, recordServer }: Site): Promise<void> {
    const { store, idle, onChange, onTrouble } = this.parts;
    // Asked early, so that a browser whose administrator allows it keeps visits from the first one on.
    void store().persist();
    if (!keepDays || store().mode !== 'disk') return;
    try {
      const [access, { Retention }] = await Promise.all([store().access(), import('../retention')]);
      if (!access) return;
      this.#retention = new Retention({
        store: store(),
        access,
        keepDays,
        files: recordServer !== undefined,
        idle,
        onChange,
        onTrouble,
      });
      this.#retention.begin();
    } catch (error) {
      onTrouble(`Visits whose time is over cannot be erased now. ${(error as Error).message}`);
    }
  }

  /** Somebody of the staff says that the clock is right. Never rejects. */
  readonly confirmClock = () =>
    this.parts.opened(this.confirmClock, async () => this.#retention?.confirmClock());

  readonly openPage = (): Promise<void> =>
    this.parts.opened(this.openPage, async () => {
      this.parts.turn({ at: 'keep', backups: this, sealed: this.parts.store().sealed });
    });

  /** Staff have said twice that a visit is to be erased. Never rejects. */
  readonly eraseForGood = (visit: string): Promise<void> =>
    this.parts.opened(this.openPage, async () => {
      await this.erase(visit);
      await this.parts.gone(visit);
    });

  /** Erases a visit and all that belongs to it, for good. */
  readonly erase = async (visit: string): Promise<void> => {
    const store = this.parts.store();
    if (store.sealed) await (await this.parts.room()).note('erased', visit);
    // Nobody has said who they are.
    else await (await store.access())?.noteNameless('erased', visit);
    await store.erase(visit);
  };

  readonly save: Backups['save'] = async (secret, onProgress) =>
    (await this.#archive()).save(secret, await this.#withLife(onProgress));

  readonly look: Backups['look'] = async (file, onProgress) => {
    const archive = await this.#archive();
    const checked = await archive.check(file, onProgress);
    const ids = checked.head.people.map(({ id }) => id);
    return {
      checked,
      sameWard: await archive.sameWard(checked),
      ids: ids.filter((id) => id !== archive.envelope),
      code: ids.includes(archive.envelope),
    };
  };

  readonly restore: Backups['restore'] = async ({ checked, sameWard }, opener, onProgress) => {
    const restored = await (await this.#archive()).restore(checked, opener, await this.#withLife(onProgress));
    // The records are open now, with the key that came.
    if (sameWard === null) (await this.parts.room()).watch();
    return restored;
  };

  /** What takes long must not be cut off because nobody touches anything meanwhile. */
  async #withLife(onProgress: (share: number) => void): Promise<(share: number) => void> {
    const room = await this.parts.room();
    return (share) => {
      room.present();
      onProgress(share);
    };
  }

  async #archive(): Promise<Awaited<ReturnType<Access['archive']>>> {
    return (await (await this.parts.room()).access()).archive();
  }
}
