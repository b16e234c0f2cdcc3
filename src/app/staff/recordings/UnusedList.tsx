import type { ClipInfo } from '../../../records/types';
import styles from './Recordings.module.css';

/** Recordings of what is not said any more: to be heard and deleted, so that nobody's voice stays unseen. */
export function UnusedList({
  clips,
  language,
  onHear,
  onErase,
}: {
  clips: ClipInfo[];
  language: string;
  onHear: (clip: ClipInfo) => void;
  onErase: (clip: ClipInfo) => void;
}) {
  return (
    <fieldset className={styles.group}>
      <legend>Not said any more</legend>
      {clips.map((clip) => (
        <div key={clip.key} className={styles.unused}>
          <span lang={language}>{clip.text}</span>
          <button type="button" onClick={() => onHear(clip)} aria-label={`Listen: ${clip.text}`}>
            Listen
          </button>
          <button type="button" onClick={() => onErase(clip)} aria-label={`Delete: ${clip.text}`}>
            Delete
          </button>
        </div>
      ))}
    </fieldset>
  );
}
