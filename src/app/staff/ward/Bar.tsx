import { type Share, wilson } from '../../../records/ward/share';
import styles from './Ward.module.css';
import { fewest } from './words';

/** A share as a bar from 0 to 100 %, its interval as a line with ends. For the eye only: the figures stand beside it. */
export function Bar({ share, kind }: { share: Share; kind: 'missed' | 'after' }) {
  const found = wilson(share);
  if (!found || share.n < fewest) return <span className={styles.few}>{found ? 'too few to draw' : ''}</span>;
  const [low, high] = [100 * found.low, 100 * found.high];
  return (
    <svg
      className={styles.bar}
      data-kind={kind}
      viewBox="0 0 100 24"
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      <path className={styles.grid} d="M0 0V24M50 0V24M100 0V24" />
      <rect className={styles.fill} x="0" y="5" width={(100 * share.k) / share.n} height="14" />
      <path className={styles.whisker} d={`M${low} 12H${high}M${low} 6V18M${high} 6V18`} />
    </svg>
  );
}
