import { fill } from '../../../machines/script';
import type { DeriveTexts } from '../../records/derive';
import { inventedWard, isInvented } from '../../records/invented';
import type { Deed } from '../../records/seal/trail';
import type { VisitEvent, VisitStore } from '../../records/types';
import type { VisitDigest } from '../../records/ward/digest';
import { inventWard } from '../../records/ward/invent';
import { bringUpToDate } from '../../records/ward/update';
import { loadCommon, loadTaught, offered } from '../lessons';
import { particularsOf } from '../particulars';
import { download } from '../shared/download';
import type { Site } from '../site';

/** What is counted, and how many visits are not, by why. */
export interface WardRead {
  /** Of one ward, the real or the invented one. */
  visits: VisitDigest[];
  invented: boolean;
  left: { practice: number; unfinished: number; unreadable: number; invented: number };
}

/** The ward view's way to the records. What goes amiss is rejected with a sentence for staff. */
export interface Ward {
  /** By id, with all slots of their texts filled. */
  texts: Record<string, DeriveTexts>;
  /** The name of the ward that is counted. */
  nameOf(read: WardRead): string;
  read(onProgress: (done: number, of: number) => void, signal: AbortSignal): Promise<WardRead>;
  /** Hands a table to the browser's downloads, with an entry in the trail. */
  save(name: string, text: string): Promise<void>;
  /** An invented ward of so many visits, where there are no real ones. */
  loadSample(visits: number, onProgress: (done: number) => void, signal: AbortSignal): Promise<void>;
  eraseSample(): Promise<void>;
}

interface Parts {
  store: () => VisitStore;
  note: (what: Deed['what'], detail?: string) => Promise<void>;
  site: Site;
}

/** Invented visits that are stored in one step. */
const batch = 25;

export async function makeWard({ store, note, site }: Parts): Promise<Ward> {
  const modules = [...new Set(offered().map(({ module }) => module))];
  const particulars = particularsOf(await loadCommon('en'), site);
  const texts = Object.fromEntries(
    await Promise.all(
      modules.map(async (module) => [module, filled(await loadTaught(module, 'en'), particulars)] as const),
    ),
  );
  return {
    texts,
    nameOf: ({ invented }) => (invented ? inventedWard : site.ward),
    async read(onProgress, signal) {
      const shelf = await store().digests();
      const { digests, headers } = await bringUpToDate({ store: store(), shelf, texts, onProgress, signal });
      const counted = digests.filter((digest): digest is VisitDigest => !('why' in digest));
      const real = counted.filter(({ visit }) => !isInvented(visit));
      const made = counted.filter(({ visit }) => isInvented(visit));
      // Never both: whoever looks must know which ward it is.
      const invented = real.length === 0 && made.length > 0;
      return {
        visits: invented ? made : real,
        invented,
        left: {
          practice: headers.filter(({ practice }) => practice).length,
          unfinished: headers.filter(({ practice, finished }) => !practice && !finished).length,
          unreadable: digests.length - counted.length,
          invented: invented ? 0 : made.length,
        },
      };
    },
    async save(name, text) {
      await note('ward-saved', name);
      download(name, new Blob([text], { type: 'text/csv' }));
    },
    async loadSample(visits, onProgress, signal) {
      await note('sample-loaded', `${visits} visits`);
      const shelf = await store().sample();
      const logs = inventWard({
        visits,
        seed: 1,
        now: new Date(),
        texts: Object.values(texts),
        particulars,
      });
      for (let done = 0; done < visits; done += batch) {
        signal.throwIfAborted();
        onProgress(done);
        const lot: VisitEvent[][] = [];
        while (lot.length < batch) {
          const next = logs.next();
          if (next.done) break;
          lot.push(next.value);
        }
        await shelf.add(lot);
      }
    },
    async eraseSample() {
      await note('sample-erased');
      await (await store().sample()).erase();
    },
  };
}

/** Labels may hold words that a site chooses. */
function filled({ module, teaching }: DeriveTexts, slots: Record<string, string>): DeriveTexts {
  const concepts = Object.fromEntries(
    Object.entries(teaching.concepts).map(([id, one]) => [id, { ...one, label: fill(one.label, slots) }]),
  );
  return { module, teaching: { ...teaching, title: fill(teaching.title, slots), concepts } };
}
