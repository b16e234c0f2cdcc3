import type { VisitStore } from '../../records/types';
import { loadCommon, offered } from '../lessons';
import { wakeSound } from '../services/sound';
import type { Site } from '../site';
import type { Sealing } from '../state';
import type { Room } from './staffRoom';

/*
 * Whether staff were led through the set-up of this kiosk, or did not want to be. Remembered by the browser; where it
 * keeps nothing, it is offered at each start.
 */

const name = 'ownwords-set-up';

export function wasLedThrough(storage: () => Storage = () => localStorage): boolean {
  try {
    return storage().getItem(name) !== null;
  } catch {
    return false;
  }
}

/** @param how for whoever looks into it: 'done' or 'later' */
export function rememberLedThrough(how: 'done' | 'later', storage: () => Storage = () => localStorage): void {
  try {
    storage().setItem(name, how);
  } catch {
    // It is offered again.
  }
}

export interface FirstRunPage {
  at: 'first-run';
  languages: string[];
  /** Where nothing can be stored there is no secret to set. */
  secret: 'open' | 'set' | 'none';
  room: Room;
  /** To try the loudspeaker, in the language of the site. */
  sentence: string;
}

interface House {
  store: () => Pick<VisitStore, 'mode' | 'sealed' | 'list'>;
  site: () => Site;
  sealing: () => Sealing['state'];
  room: () => Promise<Room>;
  turn: (page: FirstRunPage) => void;
  /** Tells staff what went wrong. */
  attempt: (work: () => Promise<void>) => Promise<void>;
  /** To the idle screen. */
  leave: () => void;
  /** Is it to be offered on the idle screen? */
  onChange: (isNew: boolean) => void;
}

const secrets = { open: 'open', sealed: 'set', memory: 'none' } as const;

/** The set-up of a new kiosk, and whether it is offered. */
export class FirstRunDesk {
  constructor(private readonly house: House) {}

  /** On a device on which nothing is sealed, and no visit was held but for practice. */
  offer(): Promise<void> {
    const { store, attempt, onChange } = this.house;
    return attempt(async () => {
      const { mode, sealed } = store();
      if (wasLedThrough() || mode === 'read-only' || sealed) return;
      onChange((await store().list()).every(({ practice }) => practice));
    });
  }

  readonly openPage = (): Promise<void> => {
    const { site, sealing, room, turn, attempt } = this.house;
    wakeSound();
    return attempt(async () => {
      // Where the site's own cannot be had the idle screen speaks English too.
      const common = await loadCommon(site().language).catch(() => loadCommon('en'));
      turn({
        at: 'first-run',
        languages: [...new Set(offered().map(({ language }) => language))],
        secret: secrets[sealing()],
        room: await room(),
        sentence: common.screens.idleLead,
      });
    });
  };

  /** Staff were led through it, or do not want to be. */
  readonly leave = (how: 'done' | 'later'): void => {
    rememberLedThrough(how);
    this.house.onChange(false);
    this.house.leave();
  };
}
