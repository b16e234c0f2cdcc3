import { Action } from '../shared/Action';
import { useWords } from '../shared/words';
import styles from './Away.module.css';

/** Nobody did anything for a while: asks by sight, while the voice asks by sound. Any touch is an answer. */
export function StillThere({ text, onTouch }: { text: string; onTouch: () => void }) {
  const words = useWords();
  return (
    <div className={styles.over} role="alertdialog" aria-label={text} data-away="still-there">
      <p className={styles.text}>{text}</p>
      <Action kind="main" icon="yes" onPress={onTouch}>
        {words.here}
      </Action>
    </div>
  );
}

/** The covered screen shows nothing of the visit. */
export function Cover({ text, onTouch }: { text: string; onTouch: () => void }) {
  return (
    <main className={styles.cover} data-screen="covered">
      <Action kind="main" icon="next" onPress={onTouch}>
        {text}
      </Action>
    </main>
  );
}
