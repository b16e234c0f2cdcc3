import { useState } from 'react';
import styles from './Captions.module.css';
import { unbroken } from './unbroken';

/**
 * The sentence that sounds now, large; the one before it stays above, softer, so that slow readers keep up.
 * Before the voice begins the first one stands there; when it has ended, the last one that was said.
 */
export function Captions({ sentences, speaking }: { sentences: string[]; speaking: number }) {
  const text = sentences.join('\n');
  const [last, setLast] = useState({ text, index: 0 });
  if (last.text !== text) setLast({ text, index: Math.max(0, speaking) });
  else if (speaking >= 0 && speaking !== last.index) setLast({ text, index: speaking });
  const now = last.text === text ? last.index : Math.max(0, speaking);
  return (
    <div className={styles.captions} data-captions>
      <p className={styles.before} aria-hidden="true">
        {unbroken((now > 0 && sentences[now - 1]) || '')}
      </p>
      <p className={styles.now} aria-live="polite">
        {unbroken(sentences[now] ?? '')}
      </p>
    </div>
  );
}
