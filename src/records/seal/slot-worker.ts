/** As in the File System standard; the types of pages do not have it. */
interface InPlace extends FileSystemFileHandle {
  createSyncAccessHandle(): Promise<{
    write(bytes: Uint8Array, where: { at: number }): number;
    flush(): void;
    close(): void;
  }>;
}

/** Only a worker may write a file in place. Answers null, or what went amiss. */
self.onmessage = async ({ data }: MessageEvent<{ fileName: string; bytes: Uint8Array<ArrayBuffer> }>) => {
  try {
    const root = await navigator.storage.getDirectory();
    const file = (await root.getFileHandle(data.fileName, { create: true })) as InPlace;
    const handle = await file.createSyncAccessHandle();
    try {
      handle.write(data.bytes, { at: 0 });
      handle.flush();
    } finally {
      handle.close();
    }
    self.postMessage(null);
  } catch (cause) {
    self.postMessage(String(cause));
  }
};
