import { StoreError } from './errors';
import type { VisitStore } from './types';

/**
 * The visit that the end of the page cut off, to be offered again; null: none. Where records are sealed that is the one
 * whose key is at hand, not one that came from another kiosk; only where there is none of that kind, the newest.
 */
export async function interruptedVisit(
  store: Pick<VisitStore, 'mode' | 'openVisits' | 'takeUp'>,
): Promise<string | null> {
  if (store.mode !== 'disk') return null;
  const open = await store.openVisits();
  for (const { visit } of open) {
    const sealed = await store.takeUp(visit).then(
      () => false,
      (cause: unknown) => cause instanceof StoreError && cause.code === 'sealed',
    );
    if (!sealed) return visit;
  }
  return open[0]?.visit ?? null;
}
