import type { Sound } from '../src/hearing/types';
import { soundAdvice, type YesNoKey } from './script';

/** How the sound check of a visit stands. */
export interface SoundSoFar {
  /** The sound of the last turn of the sound check, when its engine tells. */
  sound: Sound | null;
  /** What the sound check says next; null: the whole welcome. */
  soundLead: YesNoKey | null;
}

/** What to change, when the sound of an answer was not fine. */
export const adviceOn = (sound: Sound | null): YesNoKey | null =>
  sound === null || sound.verdict === 'fine' ? null : soundAdvice[sound.verdict];

/** Of an answer that was spoken: a button says nothing about the sound. */
export const spokenAdvice = ({ sound }: SoundSoFar) => (sound?.speech == null ? null : adviceOn(sound));

/** The last thing asked for was not a yes or a no about how well we are heard. */
export const advised = ({ soundLead }: SoundSoFar) =>
  soundLead !== null && Object.values(soundAdvice).includes(soundLead);

/** Times that we say what would help. */
export const mostAdvice = 2;

/** For the record: "; speech -24 dBFS, room -61 dBFS". */
export const inFigures = ({ sound }: SoundSoFar): string => {
  if (sound === null) return '';
  const level = (dbfs: number | null) => (dbfs === null ? 'not measured' : `${Math.round(dbfs)} dBFS`);
  return `; speech ${level(sound.speech)}, room ${level(sound.noise)}`;
};
