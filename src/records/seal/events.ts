import { pack } from '../backup/pack';
import { markOf, readEvent, type SealedRow } from '../rows';
import type { VisitEvent } from '../schema';
import type { SetAside } from '../types';
import { seal, unseal } from './box';

/** Place, time and mark stay readable; they are bound to the bytes, so that none can be changed alone. */
const about = ({ visit, seq, at, mark }: Omit<SealedRow, 'sealed' | 'bytes'>) =>
  JSON.stringify(['event', 1, visit, seq, at, mark]);

export async function sealEvent(key: CryptoKey, event: VisitEvent): Promise<SealedRow> {
  const { visit, seq, at, fact } = event;
  const open = { visit, seq, at, mark: markOf(fact) };
  const bytes = await seal(key, new TextEncoder().encode(JSON.stringify(fact)), about(open));
  return { sealed: 1, ...open, bytes };
}

/** The event, or why it is none. */
export async function unsealEvent(
  key: CryptoKey,
  row: SealedRow,
): Promise<{ event: VisitEvent } | { why: string }> {
  const { visit, seq, at } = row;
  const bytes = await unseal(key, row.bytes, about(row));
  if (!bytes) return { why: 'its seal does not hold: it was changed, or belongs elsewhere' };
  try {
    const read = readEvent([visit, seq], {
      visit,
      seq,
      at,
      fact: JSON.parse(new TextDecoder().decode(bytes)),
    });
    return 'why' in read ? read : { event: read.event as VisitEvent };
  } catch (cause) {
    return { why: String(cause) };
  }
}

/** What was found in a row that was set aside: no one can read it, so it is sealed as it is. */
export async function sealFound(key: CryptoKey, row: SetAside): Promise<unknown> {
  const bytes = await seal(key, pack(row.found), `found ${row.where}`);
  return { sealed: 1, bytes };
}
