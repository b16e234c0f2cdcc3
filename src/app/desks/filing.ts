import type { FiledPage } from '../../fhir/filed';
import type { OutboxView } from '../../fhir/outbox';
import type { PatientAsked } from '../../fhir/whose';
import type { VisitStore } from '../../records/types';
import type { Outbox } from '../outbox';
import type { Site } from '../site';
import type { StoredVisit } from '../state';
import type { Room } from './staffRoom';

export interface FilingParts {
  store: () => VisitStore;
  read: (visit: string) => Promise<StoredVisit | null>;
  /** Shows the visit anew to staff, who have its review open. */
  show: (visit: string) => Promise<void>;
  /** null: nobody has opened the records. */
  room: () => (Pick<Room, 'note'> & { session: { id: string } | null }) | null;
  onChange: (outbox: OutboxView) => void;
  /** With a sentence for staff. */
  onTrouble: (sentence: string) => void;
}

/** Filing as the kiosk and its staff work with it. Where a site files no visits, nothing here does anything. Never rejects. */
export class FilingDesk {
  #outbox: Outbox | null = null;

  constructor(private readonly parts: FilingParts) {}

  /** A window that only reads files nothing: there is one that writes. */
  open({ recordServer, ward }: Site): Promise<void> {
    const { store, read, onChange, onTrouble } = this.parts;
    return this.#try(async () => {
      if (!recordServer || store().mode === 'read-only') return;
      // A piece of its own: most kiosks may never need it.
      const { Outbox } = await import('../outbox');
      this.#outbox = new Outbox({
        store: store(),
        server: { ...recordServer, kiosk: recordServer.kiosk ?? ward },
        read: async (visit) => {
          const stored = await read(visit);
          return stored?.chart ?? stored;
        },
        onChange,
        onTrouble,
      });
      this.wake();
      window.addEventListener('online', this.wake);
    });
  }

  /** There may be something to file. */
  readonly wake = () => void this.#outbox?.wake();

  /** Staff have opened the records. */
  readonly opened = () => void this.#outbox?.opened();

  /** Files what waits, now: one visit, or all. */
  readonly now = (visit?: string) => this.#try(async () => this.#outbox?.tryAgain(visit));

  /** Takes whose visit this was, and files it. */
  readonly forNumber = (visit: string, number: string) =>
    this.#try(async () => {
      await this.#outbox?.tryAgain(visit, async () => {
        await this.parts.store().append(visit, [{ type: 'record-number', number }]);
        await this.parts.show(visit);
      });
    });

  /** Its review is open: if it is held for want of a word whose it is, whom the server found is looked up for staff. */
  readonly ask = (visit: string) => this.#try(async () => this.#outbox?.askAgain(visit));

  /** Takes what staff said of the patient that was found, and files the visit if it is theirs. */
  readonly answer = (visit: string, { number, patient, name, born }: PatientAsked, yes: boolean) =>
    this.#try(async () => {
      await this.#outbox?.tryAgain(visit, async () => {
        const room = this.parts.room();
        await room?.note(yes ? 'patient-confirmed' : 'patient-refused', visit);
        const by = room?.session?.id;
        const shown = [name, born].filter(Boolean).join(', born ');
        await this.parts
          .store()
          .append(visit, [{ type: 'patient-checked', number, patient, shown, yes, ...(by ? { by } : {}) }]);
        await this.parts.show(visit);
      });
    });

  /** Pages of what all kiosks have filed, newest first; each call gives the next one. */
  async filed({ recordServer }: Site): Promise<() => Promise<FiledPage>> {
    if (!recordServer) throw new Error('This site names no record server.');
    const { readFiled } = await import('../../fhir/filed');
    return readFiled(recordServer);
  }

  /** Somebody of the staff has put it into the chart by hand. */
  readonly settle = (visit: string) =>
    this.#try(async () => {
      await this.parts.room()?.note('filed-by-hand', visit);
      await this.#outbox?.settle(visit);
    });

  async #try(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      this.parts.onTrouble((error as Error).message);
    }
  }
}
