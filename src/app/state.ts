import type { CommonFile } from '../../phrasebanks/schema';
import type { FiledPage } from '../fhir/filed';
import type { OutboxView } from '../fhir/outbox';
import type { VisitRecord } from '../records/derive';
import type { Persistence, VisitHeader } from '../records/types';
import type { FirstRunPage } from './desks/firstRun';
import type { ShownFollowUp } from './desks/followOn';
import type { Backups } from './desks/keeping';
import type { Room } from './desks/staffRoom';
import type { Ward } from './desks/ward';
import type { FullLesson } from './lessons';
import type { OfflineState } from './offline/keep';
import type { RetentionView } from './retention';
import type { Site } from './site';

/* What the screens are drawn from. */

export interface StoredVisit {
  record: VisitRecord;
  lesson: FullLesson;
  /** The same in the language of staff and chart, where the visit was held in another one. */
  chart?: { record: VisitRecord; lesson: FullLesson };
}

/** How the records lie: open, sealed and opened by somebody, or in memory only, where nothing can be sealed. */
export type Sealing = { state: 'open' } | { state: 'sealed'; by: string } | { state: 'memory' };

/** Pages of the staff that lie over the idle kiosk. The kiosk's own screens come from its machine. */
export type Page =
  | { at: 'opening'; puttingBack?: { visits: number; done: number } }
  | { at: 'kiosk' }
  | { at: 'start'; lessons: FullLesson[]; sealing: Sealing['state'] }
  | { at: 'open-records'; room: Room; onOpened: () => void }
  | { at: 'set-up'; room: Room }
  | { at: 'people'; room: Room; me: string }
  | { at: 'on-server'; room: Room; more: () => Promise<FiledPage> }
  | {
      at: 'visits';
      visits: VisitHeader[];
      sealing: Sealing;
      followUps: Map<string, ShownFollowUp> | null;
      /** So many entries could not be read and are set aside. */
      keptAside: number;
    }
  | { at: 'recheck'; visit: string; stored: StoredVisit }
  | { at: 'ward'; ward: Ward }
  | { at: 'recordings'; lessons: FullLesson[] }
  | { at: 'keep'; backups: Backups; sealed: boolean }
  | { at: 'unreadable'; visit: string; why: string }
  | FirstRunPage
  | { at: 'review'; visit: string; stored: StoredVisit };

export interface KioskState {
  page: Page;
  /** Of the idle screen and the practice visit: what is shared in its language, and all languages to choose from. */
  idle: { common: CommonFile; languages: string[] } | null;
  site: Site | null;
  /** How far the filing of visits is; null: this site files none. */
  outbox: OutboxView | null;
  /** How long visits are kept; left out: until staff erase them. */
  keeping?: RetentionView;
  /** The copy for work without a server; left out: none is kept here. */
  offline?: OfflineState;
  /** What was read from site.json, for the set-up. */
  settings?: { given: string[]; problems: string[] };
  /** Nothing has been set up here yet, and staff are offered to be led through it. */
  isNew?: boolean;
  /** Whether the browser promised to keep what is stored. */
  persistence?: Persistence;
  /** For staff: what does not work as it should. */
  notices: string[];
  /** The records are about to close by themselves. */
  closing?: string;
}
