import { Action } from '../shared/Action';
import { en } from '../texts/en';
import styles from './Idle.module.css';

/** What the kiosk shows when nobody is being taught. */
export function Idle({
  onPractice,
  onStart,
  onVisits,
  notices,
}: {
  onPractice: () => void;
  onStart: () => void;
  onVisits: () => void;
  notices: string[];
}) {
  return (
    <main className={styles.idle} data-screen="idle">
      <div className={styles.mark}>
        <img src="/icon.svg" alt="" className={styles.icon} />
        <p className={styles.product}>{en.product}</p>
      </div>
      <div>
        <h1 className={styles.title}>{en.idleTitle}</h1>
        <p className={styles.lead}>{en.idleLead}</p>
      </div>
      <div className={styles.actions}>
        <Action kind="main" icon="next" onPress={onStart}>
          {en.newVisit}
        </Action>
        <Action icon="voice" onPress={onPractice}>
          {en.practice}
        </Action>
        <Action icon="person" kind="quiet" onPress={onVisits}>
          {en.visits}
        </Action>
      </div>
      <ul className={styles.notices} aria-live="polite">
        {notices.map((notice) => (
          <li key={notice}>{notice}</li>
        ))}
      </ul>
      <p className={styles.caution}>
        A teaching aid. It diagnoses nothing and changes no orders. The maker’s instructions, the care team
        and local rules come first.
      </p>
    </main>
  );
}
