/** As in the Storage Buckets draft (wicg.github.io/storage-buckets); the types of pages do not have it. */
interface Buckets {
  open(name: string, options: { durability: 'strict'; persisted: true }): Promise<{ indexedDB: IDBFactory }>;
}

/**
 * Where the second copy of the visits lies: a storage bucket, whose database is in files of its own, so that what spoils
 * the one does not spoil the other. null: this browser has none; only Chromium throws a damaged database away, and it
 * has them.
 */
export async function secondBucket(): Promise<IDBFactory | null> {
  const buckets = (globalThis.navigator as { storageBuckets?: Buckets } | undefined)?.storageBuckets;
  if (!buckets) return null;
  return (await buckets.open('second-copy', { durability: 'strict', persisted: true })).indexedDB;
}
