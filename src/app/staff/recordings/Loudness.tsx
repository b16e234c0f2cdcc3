import styles from './Recordings.module.css';

/** From silence (-60 dBFS) to full scale. The words beside it say what to do. */
export function Loudness({ level }: { level: number }) {
  return (
    <div className={styles.loudness} aria-hidden="true">
      <svg viewBox="0 0 100 4" preserveAspectRatio="none" role="presentation">
        <rect width={Math.max(0, Math.min(100, (level + 60) * (100 / 60)))} height="4" />
      </svg>
    </div>
  );
}
