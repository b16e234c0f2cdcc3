/** A file of the built app, as the offline copy keeps it. */
export interface AppFile {
  /** On our own origin: "/assets/index-abc.js". */
  url: string;
  bytes: number;
  /** Subresource Integrity: "sha384-..." */
  integrity: string;
}

/** What the offline copy tells the pages. */
export type OfflineNews = { news: 'stored'; url: string } | { news: 'failed'; url: string; why: string };

/** Written beside the built app. Its `version` is that of the copy which serves the page. */
export interface AppVersion {
  version: string;
  files: number;
  bytes: number;
}

/** Settings of the house: asked for anew each time, the copy serves while there is no answer. */
export const settings = '/site.json';
