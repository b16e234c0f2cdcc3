/** Why a backup cannot be restored. */
export type BackupTrouble =
  | 'foreign'
  | 'too-new'
  | 'truncated'
  | 'altered'
  | 'misfit'
  | 'closed'
  | 'unreadable';

const next: Record<BackupTrouble, string> = {
  foreign: 'Choose a file whose name ends in “.ownwords”.',
  'too-new': 'Load the newest Ownwords on this kiosk first.',
  truncated: 'Copy it once more from where it was saved.',
  altered: 'Copy it once more from where it was saved, or take another one.',
  misfit: 'Take another one, and tell your administrator.',
  closed: 'Check the id and the secret; they are those of the time when the file was saved.',
  unreadable: 'Is the stick or the disk still there?',
};

/** One sentence of what is the matter and where, and one of what to do. Nothing was changed. */
export class BackupError extends Error {
  override readonly name = 'BackupError';
  constructor(
    readonly code: BackupTrouble,
    what: string,
  ) {
    super(`${what} ${next[code]} Nothing was changed here.`);
  }
}

/** For people: "1,048,576". */
export const byteAt = (at: number): string => `byte ${at.toLocaleString('en')}`;
