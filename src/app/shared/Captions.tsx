import styles from './Captions.module.css';

/** The sentence that sounds now, large; the one before it stays above, softer, so that slow readers keep up. */
export function Captions({ sentences, speaking }: { sentences: string[]; speaking: number }) {
  const now = Math.max(0, Math.min(speaking < 0 ? sentences.length - 1 : speaking, sentences.length - 1));
  return (
    <div className={styles.captions} data-captions>
      <p className={styles.before} aria-hidden="true">
        {now > 0 ? sentences[now - 1] : ''}
      </p>
      <p className={styles.now} aria-live="polite">
        {sentences[now] ?? ''}
      </p>
    </div>
  );
}
