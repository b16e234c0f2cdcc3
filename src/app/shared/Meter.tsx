import styles from './Meter.module.css';

/** From silence (-60 dBFS) to a loud voice (-10): 0..1. */
const share = (dbfs: number) => Math.max(0, Math.min(1, (dbfs + 60) / 50));

/** A ring that swells with the learner's voice. The words beside it say the same. */
export function Meter({ level, active }: { level: number; active: boolean }) {
  const swell = active ? share(level) : 0;
  return (
    <svg className={styles.meter} viewBox="0 0 200 200" aria-hidden="true" data-level={Math.round(level)}>
      <circle cx="100" cy="100" r={52 + 44 * swell} className={styles.swell} />
      <circle cx="100" cy="100" r="52" className={active ? styles.on : styles.off} />
      <path
        d="M100 70a13 13 0 0 1 13 13v18a13 13 0 0 1-26 0V83a13 13 0 0 1 13-13zM77 98a23 23 0 0 0 46 0M100 121v12"
        className={active ? styles.microphoneOn : styles.microphone}
      />
    </svg>
  );
}
